"""Leafing through the appearances of a repeat, by keys."""

from __future__ import annotations

from bench.craft.pattern import Bead
from bench.design.board_operations import AddBead
from bench.design.operations import Paint
from bench.screens.drawing.appearance_page import AppearancePage
from tests.support.boards import with_loads

from .bare_board import BareBoard


def test_two_beads_or_more_are_counted_and_listed_where_they_are_few() -> None:
    """36 in two beads; in three 834, a sample of them, and 498, each of them, end over end.

    The number of necklaces and of bracelets of eight beads in three colours: OEIS A001867(8) and
    A027671(8), from memory.
    """
    at = BareBoard(with_loads("aaaa"))
    at.to_mode(AppearancePage(at))
    assert "in two beads  1 of 36" in at.shown()
    at.press("c")
    assert "in three beads  834 in all: 1 of a sample" in at.shown()
    assert "b, c on a" in at.shown()
    at.press("e")
    assert "in three beads  1 of 498" in at.shown()
    at.press(*["right"] * 14)
    assert "one stripe of the 1st, one stripe of the 2nd" in at.shown()
    at.press("end", "right", "right", "right", "enter")
    laid = at.drawing.draft.sheet
    assert set(laid.counts()) <= {"a", "b", "c"}
    assert len(laid.counts()) > 1
    again = BareBoard(laid)
    again.to_mode(AppearancePage(again))
    again.press("c", "c", "c")
    assert "in two beads" in again.shown()


def test_on_a_shape_an_appearance_lays_colours_and_each_bead_keeps_its_size() -> None:
    """Rows of four sizes stay what they are; with O the beads themselves are laid."""
    at = BareBoard(with_loads("aabbccddccbbaa"))
    before = at.drawing.draft.sheet
    sizes = [[before.beads[x].size for x in load] for load in before.loads]
    at.to_mode(AppearancePage(at))
    at.press("right")
    made = at.drawing.preview
    assert made is not None
    assert [[made.beads[x].size for x in load] for load in made.loads] == sizes
    looks = {before.beads[x].colour for x in "ab"}
    assert {made.beads[x].colour for x in made.counts()} == looks
    at.press("o", "enter")
    assert set(at.drawing.draft.sheet.counts()) == {"a", "b"}


def test_what_would_need_too_many_letters_is_told() -> None:
    """With all 26 in use nothing is shown that could not be taken; digits pick what is there."""
    at = BareBoard(with_loads("aabbccddccbbaa"))
    at.to_mode(AppearancePage(at))
    at.press("right", "9")
    assert at.drawing.preview is not None
    assert len(at.drawing.letters) < 9
    for number in range(26 - len(at.drawing.letters)):
        bead = Bead(size="8/0", colour=f"#{number:02x}4060", name=f"shade {number}")
        assert at.drawing.do(AddBead(bead=bead))
    cells = zip(at.drawing.letters, range(1, 14), strict=False)
    for letter, row in cells:
        assert at.drawing.do(Paint(bead=letter, strands=(1,), first=row))
    for letter, row in zip(at.drawing.letters[13:], range(1, 14), strict=True):
        assert at.drawing.do(Paint(bead=letter, strands=(2,), first=row))
    at.to_mode(AppearancePage(at))
    at.press("right")
    assert at.drawing.preview is None
    assert "all 26 letters are in use" in at.shown()
