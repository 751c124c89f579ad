"""What can be done with the marked rows: put in, take out, copy, repeat, turn round, move on."""

from __future__ import annotations

from typing import Literal

from bench.craft.text import Fault
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
        self._asked: str | None = None
        """The key of a move that is shown and not done yet."""
        first, last = host.drawing.marked_rows
        rows = f"row {first}" if first == last else f"rows {first} to {last}"
        super().__init__(
            host,
            f"ROWS: {rows}. {host.drawing.key('block')} marks more of them, before this.",
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

    def press(self, key: str, character: str | None) -> None:
        """As choices do; what was only shown of a move is let go with any other key."""
        if self._asked is not None and key != self._asked:
            self._asked = self.drawing.preview = None
        super().press(key, character)

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
        """Move the rows on; where that leaves ends open it is shown first, and asked."""
        drawing = self.drawing
        first, last = drawing.marked_rows
        key = "right" if stripes > 0 else "left"
        left_open = len(uneven_ends(drawing.draft.sheet, first, last, stripes))
        if not left_open or self._asked == key:
            self._asked = drawing.preview = None
            self._rows("move on", count=stripes)
            return
        move = Rows(do="move on", first=first, last=last, count=stripes)
        try:
            drawing.preview = move.on(drawing.draft.sheet, drawing.draft.desk)
        except Fault as fault:
            drawing.said = f"{fault}."
            return
        self._asked = key
        cells = plural(left_open, "cell")
        drawing.said = f"So it would be, {cells} open at the ends; {key.upper()} again does it."

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
