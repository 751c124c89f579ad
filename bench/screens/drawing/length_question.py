"""A length in mm made of whole repeats."""

from __future__ import annotations

from bench.design.length import SWATCH_ROWS
from bench.design.operations import Lengthen
from bench.design.repeats import found_repeat, standing
from bench.design.sheet import OPEN
from bench.screens.drawing.drawing import Drawing
from bench.screens.drawing.question import Question

EXPECTED = "type mm as 300, or 300-24 where clasp and ends take 24; behind it a swatch: 300 101"
MOST_MM = 100_000


def beaded_of(word: str) -> float:
    """The mm of beads of "300", or of "300-24-6": a length less what is not of beads.

    Raises ValueError for what is no such length.
    """
    whole, *less = (float(part) for part in word.split("-"))
    return whole - sum(less)


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
            drawing.said = (
                f"No rows stand there twice in a row; mark them with {drawing.key('block')}."
            )
            return None
        first, last, times = found

    if any(OPEN in load[first - 1 : last] for load in sheet.loads):
        drawing.said = "The rows to repeat are open still: lay beads in them first."
        return None

    def operation(text: str) -> Lengthen:
        mm, *swatch = (beaded_of(word) for word in text.replace(",", ".").split())
        return Lengthen(
            length_mm=mm,
            first=first,
            last=last,
            standing=times,
            swatch_mm=swatch[0] if swatch else None,
        )

    def look(text: str) -> str:
        words = text.replace(",", ".").split()
        try:
            figures = [beaded_of(word) for word in words]
        except ValueError:
            return EXPECTED
        if len(figures) not in {1, 2} or not all(1 <= mm <= MOST_MM for mm in figures):
            return EXPECTED
        return ""

    def keep(text: str) -> None:
        if not drawing.do(operation(text)):
            return
        drawing.corner = None
        now = standing(drawing.draft.sheet, first, last)
        stand = f"Rows {first} to {last} stand" if first < last else f"Row {first} stands"
        drawing.said = f"{stand} {now:,} times now."
        short = [n for n, load in enumerate(sheet.loads, 1) if len(load) < sheet.rows]
        if short:
            drawing.said += f" Strands {' '.join(map(str, short))} are shorter: no rows of theirs."
        elif len(text.split()) == 1:
            drawing.said += (
                f" Predicted: braid a swatch of {SWATCH_ROWS} rows before it is loaded;"
                f" {drawing.key('length')} again takes what it measures."
            )

    rows = f"rows {first} to {last} (now {times} times)" if first < last else f"row {first}"
    asks = f"Repeat {rows} to how many mm? 300; or 300 101, if {SWATCH_ROWS} rows measured 101:"
    return Question(asks, look, keep)
