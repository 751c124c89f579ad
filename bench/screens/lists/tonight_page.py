"""Tonight: with the time at hand what to do in which order, and whether the promised days hold."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from textual.geometry import Size

from bench.answers.tonight import TonightAnswer
from bench.commission.progress import CommissionProgress
from bench.craft.words import clock, plural
from bench.screens.kit.canvas import Canvas, clauses, wrap
from bench.screens.kit.foot import Key
from bench.screens.kit.help_page import Lines
from bench.screens.kit.large_letters import HEIGHT, big
from bench.screens.kit.picking import scrolled
from bench.screens.lists.commission_page import CommissionFigures, WorkedOutPage
from bench.sheets.tonight import (
    BY_PLACE,
    day_words,
    left_over,
    out_of_turn_words,
    step_words,
    turn_name,
    turn_words,
)

STEP_S = 900.0
MOST_S = 12 * 3600.0
USUAL_S = 8100.0
TOP = 4 + HEIGHT
"""The line on which the order of the work begins."""
Line = tuple[str, str, str]
"""When, what, and the style of a line."""


class TonightPage(WorkedOutPage):
    """Asks how much time there is, and shows the evening once it is worked out."""

    page = "tonight"
    own_help: Lines = (
        ("LEFT RIGHT", "less or more time at hand; the evening is worked out anew"),
        ("W", "one stand more; after the last of yours one again"),
        ("UP DOWN", "scroll; the order of the lots and the promised days stand below"),
        ("ENTER", "the whole evening as a sheet, and to print it"),
    )

    def __init__(
        self,
        figures: CommissionFigures,
        turn: Callable[[str], None],
        stands: Callable[[], int],
        said: tuple[float, int] | None,
        keep: Callable[[tuple[float, int]], None],
        whole: Callable[[TonightAnswer], None],
    ) -> None:
        """`stands`: how many the maker has; `said`: seconds at hand and stands as said before.

        `keep` keeps those for the next order's evening; `whole` opens the sheet.
        """
        super().__init__(figures, turn)
        self.at_hand_s, self._free = said or (USUAL_S, 0)
        self.evening: TonightAnswer | None = None
        self.first = 0
        self._most, self._keep, self._whole = stands, keep, whole

    @property
    def stands(self) -> int:
        """On how many stands the evening is laid out: all that the maker has, or fewer."""
        return min(self._free or self._most(), self._most())

    @property
    def asked(self) -> tuple[float, int]:
        """The time at hand in seconds, and the stands that are free."""
        return self.at_hand_s, self.stands

    def act_here(self, action: str, size: Size) -> None:
        """Have less or more time, another number of stands, or scroll."""
        if action in {"left", "right"}:
            step = STEP_S if action == "right" else -STEP_S
            self.at_hand_s = max(STEP_S, min(MOST_S, self.at_hand_s + step))
            self.evening, self.first = None, 0
            self._keep((self.at_hand_s, self._free))
        elif action == "begin" and self._most() == 1:
            self.said = "You have one stand; if you have more, say so: 7 shop, rates."
        elif action == "begin":
            self._free = self.stands % self._most() + 1
            self.evening, self.first = None, 0
            self._keep((self.at_hand_s, self._free))
        elif action == "open":
            if self.evening is not None:
                self._whole(self.evening)
        elif self.evening is not None:
            count = len(list(_lines(self.evening, size.width - 16)))
            self.first = scrolled(self.first, action, count, size.height - 3 - TOP - 1)

    def keys(self) -> Sequence[Key]:
        """The keys of the time at hand."""
        return (
            ("LEFT", "less", "left"),
            ("RIGHT", "more time", "right"),
            ("W", "stands", "begin"),
            ("ENTER", "print", "open"),
            ("UP DOWN", "scroll", ""),
        )

    def draw_page(
        self, canvas: Canvas, found: CommissionProgress, named: Callable[[str], str]
    ) -> None:
        """Draw the time, what gets finished in it, and the order of the work."""
        canvas.text(1, 3, "YOU HAVE", "bold")
        canvas.text(1, 4, plural(self.stands, "stand"))
        x = big(canvas, 11, 3, clock(round(self.at_hand_s / 60)), "call") + 4
        room = canvas.width - x - 1
        if self.evening is None:
            canvas.text(x, 3, "working it out")
            return
        evening = self.evening
        text = f"{plural(len(evening.finished), 'piece')} will be finished"
        none = "no piece is sure to be finished"
        canvas.text(x, 3, text if evening.finished else none, "bold", room)
        canvas.text(x, 4, clauses(", ".join(evening.finished), room), "", room)
        for y, line in enumerate(chances(evening), 5):
            canvas.text(x, y, line, "", room)
        short = next((day for day in evening.promised if day.short_h > 0), None)
        if short is not None:
            said = f"{short.due} cannot hold: {short.short_h:.1f} h short"
            canvas.text(x, 7, said, "warn", room)
        self._draw_lines(canvas, evening)

    def _draw_lines(self, canvas: Canvas, evening: TonightAnswer) -> None:
        lines = list(_lines(evening, canvas.width - 16))
        room = canvas.height - 3 - TOP - (len(lines) > canvas.height - 3 - TOP)
        first = scrolled(self.first, "", len(lines), room)
        for y, (when, what, style) in enumerate(lines[first : first + room], TOP):
            canvas.text(1, y, when, "bold" if when.isupper() else "", 14)
            canvas.text(15, y, what, style, canvas.width - 16)
        below = len(lines) - room - first
        if below > 0:
            canvas.right(TOP + room, f" {below} more below: DOWN ", "bold", canvas.width - 1)


def _lines(evening: TonightAnswer, room: int) -> Iterator[Line]:
    """The steps; the lots in their turn and why; what can be done where a day cannot hold."""
    yield from _steps(evening, room)
    left = left_over(evening)
    if left:
        yield from _wrapped(*left, room)
    for caution in evening.cautions:
        yield from _wrapped("", f"! {caution}", room)
    if evening.by_place:
        yield from _wrapped("ORDER", BY_PLACE, room)
    for said in evening.batches:
        yield from _wrapped("BATCH", said, room)
    if evening.out_of_turn:
        yield from _wrapped("OR", out_of_turn_words(evening), room)
    if evening.next_order:
        yield from _wrapped("NEXT", evening.next_order, room)
    for day in evening.promised:
        said = day_words(day)
        if said:
            yield ("", "", "")
            style = "warn" if day.short_h > 0 else ""
            yield from _wrapped("PROMISED", f"{said}{'. You can' * bool(style)}", room, style)
        for choice in day.choices:
            yield from _wrapped("", f"– {choice}", room)
    if evening.turns:
        yield ("", "", "")
        yield ("IN THIS TURN", "", "")
    for turn in evening.turns:
        yield from _wrapped("", f"{turn_name(turn)}: {turn_words(turn)}", room)


def _wrapped(head: str, text: str, room: int, style: str = "") -> Iterator[Line]:
    for number, line in enumerate(wrap(text, room)):
        yield ("" if number else head, line, style)


def _steps(evening: TonightAnswer, room: int) -> Iterator[Line]:
    now = 0
    for step in evening.steps:
        if step.start_min - now > 1:
            yield (f"{clock(now)}–{clock(step.start_min)}", "wait until it is dry", "")
        times = f"{clock(step.start_min)}–{clock(step.end_min)}"
        yield from _wrapped(times, step_words(step), room)
        now = step.end_min
    if evening.nothing:
        yield from _wrapped("", f"Nothing to do: {evening.nothing}.", room)
        if any(turn.waits for turn in evening.turns):
            yield ("", "A lot waits for the sign-off of its sample: 7 shop, pieces.", "")
    if not evening.turns and not evening.nothing:
        yield ("", "Nothing is left to make: inspect and pack it (7 shop, pieces).", "")


def chances(evening: TonightAnswer) -> list[str]:
    """With what chance its pieces get finished, and one more would, in words."""
    if evening.chance is None:
        return ["a guess: no piece of yours is timed"]
    said = [f"chance: {odds(evening.chance)}"] if evening.finished else []
    if evening.one_more is not None:
        which = "a piece more" if evening.finished else "one piece"
        said.append(f"{which}: {odds(evening.one_more)}")
    return said


def odds(chance: float) -> str:
    """A chance as a maker takes it: of a hundred evenings like this, or of ten."""
    if chance >= 0.99:
        return "as good as sure"
    if chance >= 0.95:
        return "19 in 20"
    tenths = int(10 * chance + 1e-6)  # never more than it is
    if tenths < 1:
        return "hardly a chance"
    return f"{min(9, tenths)} in 10"
