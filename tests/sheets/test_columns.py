"""Columns of a table stay under each other, whatever a maker's words are made of."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len

from bench.craft.text import is_plain
from bench.sheets.words import column


@given(st.text(max_size=60), st.integers(4, 40))
def test_a_column_is_as_wide_as_it_is_asked_to_be(text: str, wide: int) -> None:
    """It fills its columns, two for a wide letter, and no control character is left in it."""
    shown = column(text, wide)
    assert cell_len(shown) == wide
    assert all(is_plain(ch) for ch in shown)
    assert shown.endswith("  ")


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("Plum", "Plum    "),
        ("Plum, grey", "Plum,…  "),
        ("梅の花", "梅の花  "),
        ("梅の花です", "梅の…   "),
    ],
)
def test_what_is_too_long_is_cut_with_a_sign(text: str, says: str) -> None:
    """What fits stands as it is; else as much of it as leaves room for the sign."""
    assert column(text, 8) == says
