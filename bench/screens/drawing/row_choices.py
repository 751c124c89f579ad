"""What can be done with the marked rows: put in, take out, copy, repeat, turn round, move on."""

from __future__ import annotations

from typing import Literal

from bench.craft.words import plural
from bench.design.board_operations import StepSize
from bench.design.operations import Rows
from bench.design.rows import uneven_ends
from bench.screens.drawing.choosing import Choice, Choosing
from bench.screens.drawing.host import BoardHost
from bench.screens.drawing.question import Question

Act = Literal["insert", "take out", "copy", "move", "repeat", "mirror", "move on"]
MOST_TIMES = 5_000


class RowChoices(Choosing):
    """The choices for the rows that are marked, or the cursor's."""

    def __init__(self, host: BoardHost) -> None:
        first, last = host.drawing.marked_rows
        rows = f"row {first}" if first == last else f"rows {first} to {last}"
        super().__init__(
            host,
            f"ROWS: {rows}. B marks more of them, before this.",
            (
                Choice("i", "open row in", lambda: self._do("insert"), stays=True),
                Choice("t", "take out", lambda: self._do("take out")),
                Choice("c", "copy behind", lambda: self._do("copy")),
                Choice("v", "move to row …", self._ask_where),
                Choice("n", "stand … times", self._ask_times),
                Choice("m", "turn the order", lambda: self._do("mirror"), stays=True),
                Choice("right", "stripe on", lambda: self._move_on(1), stays=True),
                Choice("left", "stripe back", lambda: self._move_on(-1), stays=True),
                Choice("+", "a size larger", lambda: self._step(1), stays=True),
                Choice("-", "a size smaller", lambda: self._step(-1), stays=True),
            ),
        )

    def _rows(self, do: Act, before: int | None = None, count: int = 1) -> bool:
        first, last = self.drawing.marked_rows
        operation = Rows(do=do, first=first, last=last, before=before, count=count)
        return self.drawing.do(operation)

    def _do(self, act: Act) -> None:
        first, last = self.drawing.marked_rows
        before = {"insert": first, "copy": last + 1}.get(act)
        if self._rows(act, before) and act in {"take out", "copy"}:
            self.drawing.corner = None

    def _move_on(self, stripes: int) -> None:
        first, last = self.drawing.marked_rows
        open_ends = len(uneven_ends(self.drawing.draft.sheet, first, last, stripes))
        if self._rows("move on", count=stripes) and open_ends:
            cells = plural(open_ends, "cell")
            self.drawing.said = f"{cells} at the ends of these rows are open now: fill them."

    def _step(self, steps: int) -> None:
        """Grow or shrink the rows, on the strands that the spread reaches from the block's."""
        drawing = self.drawing
        first, last = drawing.marked_rows
        strands = drawing.marked[0] if drawing.corner is not None else ()
        drawing.do(
            StepSize(
                strands=strands,
                first=first,
                last=last,
                spread=drawing.spread.name,
                steps=steps,
                shown=drawing.draft.size,
            )
        )

    def _ask_where(self) -> None:
        rows = self.drawing.draft.sheet.rows

        def look(text: str) -> str:
            return number_wrong(text, 1, rows + 1)

        def keep(text: str) -> None:
            if self._rows("move", before=int(text)):
                self.drawing.corner = None

        self.host.ask(Question(f"Before which row, 1 to {rows + 1:,}?", look, keep))

    def _ask_times(self) -> None:
        def look(text: str) -> str:
            return number_wrong(text, 1, MOST_TIMES)

        def keep(text: str) -> None:
            if self._rows("repeat", count=int(text)):
                self.drawing.corner = None

        first, last = self.drawing.marked_rows
        self.host.ask(Question(f"How often are rows {first} to {last} to stand?", look, keep))


def number_wrong(text: str, least: int, most: int) -> str:
    """What is wrong with a whole number that was typed."""
    if not (text.isascii() and text.isdigit()):
        return "type a number"
    if not least <= int(text) <= most:
        return f"{least:,} to {most:,}"
    return ""
