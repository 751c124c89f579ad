"""A length in mm made of whole repeats."""

from __future__ import annotations

from bench.craft.text import Fault
from bench.design.operations import Lengthen
from bench.design.repeats import found_repeat, standing
from bench.screens.drawing.drawing import Drawing
from bench.screens.drawing.question import Question


def length_question(drawing: Drawing) -> Question | None:
    """Ask how long the beads are to be; the marked rows are repeated, or the repeat that is found.

    None, with a word about it, where there is no repeat.
    """
    sheet = drawing.draft.sheet
    if drawing.corner is not None:
        first, last = drawing.marked_rows
        times = standing(sheet, first, last)
    else:
        found = found_repeat(sheet)
        if found is None:
            drawing.said = "No rows stand there twice in a row; mark the rows to repeat with B."
            return None
        first, last, times = found

    def operation(text: str) -> Lengthen:
        mm = float(text.replace(",", "."))
        return Lengthen(length_mm=mm, first=first, last=last, standing=times)

    def look(text: str) -> str:
        try:
            mm = float(text.replace(",", "."))
        except ValueError:
            return "type a length in mm"
        return "" if 1 <= mm <= 100_000 else "1 to 100,000 mm"

    def keep(text: str) -> None:
        try:
            done = drawing.do(operation(text))
        except Fault as fault:
            drawing.said = f"{fault}."
            return
        if done:
            drawing.corner = None
            now = standing(drawing.draft.sheet, first, last)
            drawing.said = (
                f"Rows {first} to {last} stand {now:,} times now. Predicted: measure a swatch"
                " of 24 rows before a long piece is loaded."
            )

    rows = f"rows {first} to {last} (now {times} times)" if first < last else f"row {first}"
    return Question(f"How long are the beads to be, in mm? {rows} are repeated.", look, keep)
