"""Versions of a pattern: written once, read back, and told by what changed in them."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bench.craft.pattern import Bead, Halts, SizeChange
from bench.design.painting import paint
from bench.design.pattern_changes import changes
from bench.design.sheet import Cell, Sheet
from bench.documents.errors import DocumentError
from bench.documents.pattern_versions import note_kept, read_versions, say_why, versions_path
from bench.journal.clock import Instant
from tests.support.boards import board, with_loads

NOW = Instant(1_800_000_000.0, 60, "boot", 0.0)


def kept(home: Path, sheet: Sheet, why: str, before: Sheet | None = None) -> bool:
    """Note a sheet as a version of the pattern `try`."""
    was = None if before is None else (before.to_pattern(), before.structure)
    return note_kept(home, "try", was, (sheet.to_pattern(), sheet.structure), why, NOW)


def test_versions_are_read_back_in_their_order(tmp_path: Path) -> None:
    """The content that was there first is one too; the same content twice is one version."""
    first = board()
    second = paint(first, [Cell(3, 2)], "d")
    assert kept(tmp_path, second, "a dot, \u001b[31mred", before=first)
    assert not kept(tmp_path, second, "again")
    assert kept(tmp_path, first, "back")
    versions, told = read_versions(tmp_path, "try")
    assert told == ()
    assert [(one.number, one.why) for one in versions] == [
        (1, "as it was"), (2, "a dot, \ufffd[31mred"), (3, "back"),
    ]  # fmt: skip
    assert {one.at for one in versions} == {"2027-01-15T09:00:00+01:00"}
    assert versions[1].pattern == second.to_pattern()
    assert read_versions(tmp_path, "other") == ((), ())


def test_why_can_be_said_later(tmp_path: Path) -> None:
    """The last word counts; one about a version that is not there is told and left out."""
    kept(tmp_path, board(), "")
    kept(tmp_path, with_loads("aab"), "")
    say_why(tmp_path, "try", 1, "too\tpale")
    say_why(tmp_path, "try", 1, "far too pale")
    say_why(tmp_path, "try", 9, "nothing")
    versions, told = read_versions(tmp_path, "try")
    assert [one.why for one in versions] == ["far too pale", ""]
    assert len(told) == 1


def test_a_line_that_cannot_be_read_is_told_and_the_others_stand(tmp_path: Path) -> None:
    """A torn end is closed before the next version is written; nothing is written over."""
    kept(tmp_path, board(), "one")
    path = versions_path(tmp_path, "try")
    with path.open("ab") as file:
        file.write(b'{"format": 1, "at"')
    kept(tmp_path, with_loads("aab"), "two")
    versions, told = read_versions(tmp_path, "try")
    assert [one.why for one in versions] == ["one", "two"]
    assert told == (f"{path}, line 2: this is no version; it is left out",)
    path.unlink()
    path.mkdir()
    with pytest.raises(DocumentError, match="the versions cannot be read"):
        read_versions(tmp_path, "try")


def test_changes_are_told_by_row_strand_and_bead() -> None:
    """One bead, a whole row, rows more, a size, a colour, a title: each in a sentence.

    Beads are told in the palette's order.
    """
    before = board("second-drop").to_pattern()
    sheet = board("second-drop")
    after = paint(sheet, [Cell(1, 15), Cell(5, 15)], "c")
    after = paint(after, [Cell(strand, 1) for strand in range(1, 9)], "b")
    after = after.with_pattern(
        title="Third Drop",
        beads={**after.beads, "b": after.beads["b"].model_copy(update={"size": "8/0"}),
               "e": Bead(size="8/0", colour="#000000")},
        sizes={"small": SizeChange()},
        plain_end=8,
        core=None,
        halts=Halts(let_out_mm=200),
    )  # fmt: skip
    assert changes(before, after.to_pattern(), 8) == (
        "row 1 on all strands: a became b",
        "row 15 on strand 1 5: f became c",
        "bead e is new",
        "bead b: size 11/0 became 8/0",
        "size small is new",
        "title: Second Drop became Third Drop",
        "plain end: 4 became 8",
        "core changed",
        "halts changed",
    )
    dark = {x: bead.model_copy(update={"colour": "#000000"}) for x, bead in sheet.beads.items()}
    told = changes(before, sheet.with_pattern(beads=dark).to_pattern(), 8)
    assert [line.split(":")[0] for line in told] == [f"bead {letter}" for letter in sheet.beads]
    longer = sheet.with_loads(load + "aa" for load in sheet.loads).to_pattern()
    assert changes(before, longer, 8) == (f"2 rows more, {sheet.rows + 2} in all",)
    assert changes(longer, before, 8) == (f"2 rows less, {sheet.rows} in all",)
    other = with_loads("d" * 16).to_pattern()
    assert changes(with_loads("a" * 16).to_pattern(), other, 8) == (
        "beads of 16 rows changed, from row 1 to row 16",
    )


@given(st.lists(st.text("abc-", min_size=3, max_size=5), min_size=16, max_size=16))
def test_equal_patterns_alone_have_no_changes(loads: list[str]) -> None:
    """Nothing is told of two equal versions, and something of any two that differ."""
    ours, theirs = (with_loads(*(load + "a" for load in part)) for part in (loads[:8], loads[8:]))
    one, other = ours.to_pattern(), theirs.to_pattern()
    assert changes(one, one, 8) == ()
    assert bool(changes(one, other, 8)) == (ours.loads != theirs.loads)
