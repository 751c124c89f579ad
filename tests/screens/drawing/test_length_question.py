"""A length in mm, typed at the board."""

from __future__ import annotations

from bench.screens.drawing.length_question import EXPECTED, length_question
from tests.support.boards import with_loads

from .bare_board import BareBoard


def lengthened(text: str) -> BareBoard:
    """A rope of one bead made so long."""
    at = BareBoard(with_loads("b" * 24))
    question = length_question(at.drawing)
    assert question is not None
    assert question.look(text) == ""
    question.keep(text)
    return at


def test_what_clasp_and_ends_take_is_taken_off() -> None:
    """300 less 24 and 6 is a length of 270 mm of beads."""
    long, short = lengthened("300-24-6"), lengthened("270")
    assert long.drawing.draft.sheet == short.drawing.draft.sheet
    assert long.drawing.draft.sheet.rows < lengthened("300").drawing.draft.sheet.rows
    assert "Row 1 stands" in long.drawing.said
    assert "Predicted: braid a swatch of 24 rows" in long.drawing.said
    assert "Predicted" not in lengthened("300 70").drawing.said


def test_a_length_that_is_none_is_told() -> None:
    """Letters, nothing, more than two figures, and what leaves no bead at all."""
    question = length_question(BareBoard(with_loads("b" * 24)).drawing)
    assert question is not None
    for text in ("", "long", "300 101 5", "24-300", "1e9", "nan", "300-"):
        assert question.look(text) == EXPECTED, text
    at = BareBoard(with_loads("aa????bb"))
    assert length_question(at.drawing) is None
    assert "open still" in at.drawing.said
    at = BareBoard(with_loads("abcd"))
    assert length_question(at.drawing) is None
    assert "No rows stand there twice in a row; mark them with B." in at.drawing.said
