"""A bead put into the palette: its size, shape, colour and name in one line."""

from __future__ import annotations

import re
from typing import get_args

from bench.craft.beads import TABLE
from bench.craft.growth import size_of
from bench.craft.pattern import Bead, Shape
from bench.craft.text import Fault, plain
from bench.design.board_operations import AddBead
from bench.design.palette import gaps
from bench.screens.drawing.drawing import Drawing
from bench.screens.drawing.question import Question

SHAPES: tuple[Shape, ...] = get_args(Shape)
_LINE = re.compile(
    rf"(?P<size>.{{1,60}}?)(?:\s+(?P<shape>{'|'.join(SHAPES)}))?\s+(?P<colour>#[0-9a-fA-F]{{6}})"
    r"(?:\s+(?P<name>.{1,60}))?"
)


def bead_of(text: str) -> Bead:
    """The bead that a line names. Raises Fault with what is expected."""
    found = _LINE.fullmatch(plain(text))
    if found is None:
        raise Fault("write it as: 8/0 #9fb8c8 rain grey, or 3.4 mm drop #bfe3ee ice drop")
    given = {key: value for key, value in found.groupdict().items() if value}
    bead = Bead.model_validate(given)
    try:
        size_of(bead)
    except Fault:
        known = ", ".join(size.name for size in TABLE if size.shape == bead.shape)
        raise Fault(f"there is no {bead.shape} bead {bead.size} in the table: {known}") from None
    return bead


def bead_question(drawing: Drawing) -> Question:
    """Ask for a bead to be put into the palette; it is in hand then."""

    def look(text: str) -> str:
        try:
            bead_of(text)
        except Fault as fault:
            return str(fault)
        return ""

    def keep(text: str) -> None:
        bead = bead_of(text)
        if drawing.do(AddBead(bead=bead)):
            beads = drawing.draft.sheet.beads
            drawing.hand = next(letter for letter in beads if beads[letter] == bead)
            unsaid = gaps(drawing.draft.sheet, drawing.hand)
            if unsaid:
                where = ", ".join(unsaid)
                drawing.said = f"{drawing.hand} is the same in {where}: S and C change it, V first."

    return Question("A bead for the palette: size, shape, colour, name?", look, keep)
