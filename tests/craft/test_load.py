"""Loads as they are written: counts, letters, repeats, moves without a bead."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bench.craft.load import parse_load, write_load
from bench.craft.stringing import fold_load
from bench.craft.text import Fault


@pytest.mark.parametrize(
    ("text", "beads"),
    [
        ("3a b", "aaab"),
        ("2(c 2d) a", "cddcdda"),
        ("2a 3- b", "aa---b"),
        ("- a", "-a"),
        ("3(a -) b", "a-a-a-b"),
        ("", ""),
    ],
)
def test_a_load_is_read_move_by_move(text: str, beads: str) -> None:
    """Counts, repeats and moves without a bead give one letter, or `-`, a move."""
    assert parse_load(text) == beads


@pytest.mark.parametrize("text", ["-3a", "3--", "3 -a", "a-b", "--"])
def test_a_dash_stands_alone_like_a_letter(text: str) -> None:
    """A dash that is stuck to something else is told, with what is expected."""
    with pytest.raises(Fault, match="is not a count and a bead letter such as 3a"):
        parse_load(text)


@given(st.text("abc-", max_size=60))
def test_what_is_written_is_read_again(beads: str) -> None:
    """Written plain or with repeats folded, a load is read as it was."""
    assert parse_load(write_load(beads)) == beads
    assert parse_load(fold_load(beads)) == beads
