"""What is typed about the sheet: a load, and the row to go to."""

from __future__ import annotations

from bench.craft.text import Fault
from bench.design.operations import TypeLoad
from bench.screens.drawing.drawing import Drawing
from bench.screens.drawing.question import Question
from bench.screens.drawing.worked_out import load_in_words


def load_question(drawing: Drawing) -> Question:
    """Ask for the load of the cursor's strand; it goes to all that the spread reaches."""
    strand = drawing.cell.strand
    reached = drawing.spread.strands(strand)
    strands = " ".join(map(str, reached))
    whose = f"strand {strand}" if len(reached) == 1 else f"strands {strands}"

    def typed(text: str) -> TypeLoad:
        return TypeLoad(strand=strand, beads=text, spread=drawing.spread.name)

    def look(text: str) -> str:
        draft = drawing.draft
        try:
            drawing.preview = typed(text).on(draft.sheet, draft.desk)
        except Fault as fault:
            return str(fault)
        return ""

    def keep(text: str) -> None:
        drawing.do(typed(text))

    return Question(
        f"The load of {whose}, in order of release, as 3a 2b 20(3a 2b):",
        look,
        keep,
        load_in_words(drawing.draft.sheet.loads[strand - 1]),
    )


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
