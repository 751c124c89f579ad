"""What is typed about the sheet: a load, and the row to go to."""

from __future__ import annotations

from bench.craft.load import SKIP, LoadFault, parse_load
from bench.craft.text import Fault
from bench.design.operations import TypeLoad
from bench.design.sheet import OPEN, Sheet
from bench.screens.drawing.drawing import Drawing
from bench.screens.drawing.question import Question
from bench.screens.drawing.worked_out import load_in_words


def load_question(drawing: Drawing) -> Question:
    """Ask for the load of the cursor's strand; it goes to all that the spread reaches."""
    strand = drawing.cell.strand
    load, reached = drawing.draft.sheet.loads[strand - 1], drawing.spread.strands(strand)
    strands = " ".join(map(str, reached))
    whose = f"strand {strand}" if len(reached) == 1 else f"strands {strands}"

    def typed(text: str) -> TypeLoad:
        return TypeLoad(strand=strand, beads=text, spread=drawing.spread.name)

    def look(text: str) -> str:
        draft = drawing.draft
        if not text:
            return "type counts and bead letters such as 3a 2b; - is a move without a bead"
        try:
            drawing.preview = typed(text).on(draft.sheet, draft.desk)
        except Fault as fault:
            return str(fault)
        return ""

    def keep(text: str) -> None:
        drawing.do(typed(text))

    return Question(
        f"The load of {whose}, as 3a 2b 20(3a 2b):",
        look,
        keep,
        "" if OPEN in load else load_in_words(load),
        lambda text: _place_of_fault(text, drawing.draft.sheet),
    )


def _place_of_fault(text: str, sheet: Sheet) -> int | None:
    """At which sign a typed load goes wrong, or names a bead that the board does not have."""
    try:
        beads = parse_load(text)
    except LoadFault as fault:
        return fault.at
    unknown = next((x for x in beads if x != SKIP and x not in sheet.beads), None)
    return None if unknown is None else text.index(unknown)


def strands_question(drawing: Drawing) -> Question:
    """Ask for the strands that painting is to reach together; they become the present spread."""
    strands = drawing.draft.sheet.strands

    def look(text: str) -> str:
        words = text.replace(",", " ").split()
        if not words or not all(word.isascii() and word.isdigit() for word in words):
            return "type strands by their numbers, as 1 3 5"
        if not all(1 <= int(word) <= strands for word in words):
            return f"strands go from 1 to {strands}"
        return ""

    def keep(text: str) -> None:
        drawing.chosen = tuple(int(word) for word in text.replace(",", " ").split())
        drawing.reach = len(drawing.spreads) - 1

    return Question("Which strands are to be reached together, as 1 3 5?", look, keep)


def row_question(drawing: Drawing) -> Question:
    """Ask for the row to go to."""

    def look(text: str) -> str:
        if not (text.isascii() and text.isdigit()):
            return "a row is a number"
        if not 1 <= int(text) <= drawing.last_row:
            return f"rows go from 1 to {drawing.last_row:,}"
        return ""

    def keep(text: str) -> None:
        drawing.row = int(text)

    return Question(f"Go to which row, of {drawing.draft.sheet.rows:,}?", look, keep)
