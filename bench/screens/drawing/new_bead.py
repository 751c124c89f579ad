"""A bead put into the palette: its size by a key, its colour from the list; or all of it typed."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import get_args

from bench.craft.beads import TABLE, BeadSize
from bench.craft.pattern import Bead, ColourChange, Shape
from bench.craft.text import Fault, plain
from bench.design.board_operations import AddBead
from bench.design.colour_names import colour_and_name
from bench.design.palette import gaps
from bench.screens.drawing.at_hand import named_beads
from bench.screens.drawing.bead_choices import KEYS
from bench.screens.drawing.choosing import Choice, Choosing
from bench.screens.drawing.colour_page import ColourPage
from bench.screens.drawing.drawing import Drawing
from bench.screens.drawing.host import BoardHost
from bench.screens.drawing.question import Question

SHAPES: tuple[Shape, ...] = get_args(Shape)
EXPECTED = "type size, shape if it is not round, colour, name: 8/0 teal, or 3.4 mm drop #bfe3ee ice"


def bead_of(text: str, own: Mapping[str, str]) -> Bead:
    """The bead that a line names; `own`: colours of the maker's beads by their names.

    Raises Fault with what is expected.
    """
    words = plain(text).split()
    wrong = Fault(EXPECTED)
    for count in (1, 2):
        size, rest = " ".join(words[:count]), words[count:]
        said = next((shape for shape in SHAPES if rest and rest[0] == shape), None)
        shape, rest = said or "round", rest[1 if said else 0 :]
        known = [one.name for one in TABLE if one.shape == shape]
        if size in known:
            if not rest:
                raise Fault(EXPECTED)
            colour, name = colour_and_name(" ".join(rest), own)
            return Bead(size=size, shape=shape, colour=colour, name=name or "bead")
        if count == 1 and len(words) > 1:
            wrong = Fault(f"there is no {shape} bead {size[:20]} in the table: {', '.join(known)}")
    raise wrong


def bead_more(host: BoardHost) -> None:
    """Choose the size of a bead for the palette, then its colour; or type it in one line."""

    def of_size(size: BeadSize) -> Callable[[], None]:
        shape = next(shape for shape in SHAPES if shape == size.shape)
        return lambda: colour_of_new_bead(host, size.name, shape, lambda letter: None)

    choices = [
        Choice(key, f"{size.name} {size.shape}", of_size(size))
        for key, size in zip(KEYS.replace("t", ""), TABLE, strict=False)
    ]
    choices.append(Choice("t", "type it", lambda: host.ask(bead_question(host))))
    host.to_mode(Choosing(host, "A BEAD MORE for the palette: its size; then its colour", choices))


def colour_of_new_bead(
    host: BoardHost,
    size: str,
    shape: Shape,
    then: Callable[[str], None],
    back: Callable[[], None] | None = None,
) -> None:
    """Choose the colour of a new bead of a size; `then` gets its letter.

    `back`: where it goes without one; else to painting.
    """
    bead = Bead(size=size, shape=shape, colour="#808080", name="bead")

    def take(look: ColourChange) -> None:
        letter = put_in(host.drawing, bead.model_copy(update=look.model_dump()))
        if letter:
            then(letter)

    heading = f"COLOUR of a new bead, {size} {shape}"
    host.to_mode(ColourPage(host, bead, heading, take, back=back))


def put_in(drawing: Drawing, bead: Bead) -> str:
    """Put a bead into the palette and into the hand; return its letter, "" if that cannot be."""
    known = bead in drawing.draft.sheet.beads.values()
    if not known and not drawing.do(AddBead(bead=bead)):
        return ""
    letter = next(x for x, other in drawing.draft.sheet.beads.items() if other == bead)
    drawing.hand = letter
    there = " is such a bead already, and" if known else ""
    drawing.said = f"{letter}{there} is in hand: {drawing.key('lay')} lays it."
    unsaid = gaps(drawing.draft.sheet, letter)
    if unsaid:
        where, keys = ", ".join(unsaid), f"{drawing.key('size')} and {drawing.key('colour')}"
        drawing.said = (
            f"{letter} is the same in {where}: {keys} change it, {drawing.key('shown')} first."
        )
    return letter


def bead_question(host: BoardHost) -> Question:
    """Ask for a bead in one line."""
    drawing = host.drawing
    own = named_beads(host)

    def look(text: str) -> str:
        try:
            bead_of(text, own)
        except Fault as fault:
            return str(fault)
        return ""

    def keep(text: str) -> None:
        put_in(drawing, bead_of(text, own))

    return Question("A bead for the palette: size, shape, colour, name?", look, keep)
