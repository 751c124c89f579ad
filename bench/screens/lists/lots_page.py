"""The lots of a commission: what is made, what is to come and when, and what comes next."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from textual.geometry import Size

from bench.commission.closing import closing
from bench.commission.place_turns import PlaceTurn
from bench.commission.progress import CommissionProgress, LotProgress
from bench.craft.stages import BEGINNINGS, Stage
from bench.craft.words import STAGES_DOING, plural
from bench.screens.kit import words
from bench.screens.kit.canvas import Canvas, clauses, wrap
from bench.screens.kit.foot import Key
from bench.screens.kit.help_page import Lines
from bench.screens.kit.picking import draw_list, moved
from bench.screens.lists.commission_page import (
    CommissionFigures,
    WorkedOutPage,
    date,
    day_said,
    hours,
    price_words,
)
from bench.screens.lists.surety_words import by_weeks, holds

if TYPE_CHECKING:
    from bench.journal.piece_state import PieceState

FULL = "Nothing was begun: every piece of this lot is made or begun already."
LIKELY = 0.5


@dataclass(frozen=True)
class NextPiece:
    """What the keys do with a lot: the piece of it in the making, the number of a new one."""

    in_hand: PieceState | None = None
    number: int = 1


class LotsPage(WorkedOutPage):
    """Goes on with the picked lot's piece, or begins its next one."""

    page = "lots"
    own_help: Lines = (
        ("UP DOWN", "choose a lot"),
        ("ENTER", "go on with the lot's piece that is begun; else begin its next one"),
        ("N", "begin a new piece of the lot while another one is in the making"),
        ("W", "what a new piece begins with: loading, setting up or braiding"),
    )

    def __init__(
        self,
        figures: CommissionFigures,
        turn: Callable[[str], None],
        lots: int,
        begin: Stage = "braid",
        look: Callable[[int], NextPiece] = lambda lot: NextPiece(),
        start: Callable[[int, Stage], None] = lambda lot, stage: None,
        go_on: Callable[[str], None] = lambda piece: None,
    ) -> None:
        """Show so many lots.

        begin: the stage that a new piece begins with. look: reads what the keys do with a lot;
        start: begins a lot's next piece at a stage; go_on: takes up the piece of an id.
        """
        super().__init__(figures, turn)
        self.lots, self.begin = lots, begin
        self._look, self._start, self._go_on = look, start, go_on
        self.next = look(0)
        self.place: PlaceTurn | None = None
        """The place whose piece comes next, where pieces are made by their places."""
        self.of_place: int | None = None
        """The number of its lot."""

    def pick(self, line: int) -> None:
        """Pick a lot."""
        self.picked = line
        self.next = self._look(line)

    def keep_to(self, lots: int) -> None:
        """Keep to so many lots: the commission has been changed."""
        self.lots, self.picked = lots, max(0, min(self.picked, lots - 1))

    def follow(self, place: PlaceTurn | None, lots: Sequence[str | None]) -> None:
        """Pick the lot of the place whose piece comes next, once it is another one."""
        if place != self.place and place is not None:
            self.pick(lots.index(place[1]))
        self.place = place
        self.of_place = None if place is None else lots.index(place[1])

    def read(self) -> None:
        """Read anew what the keys do: a piece may have been begun, or made, meanwhile."""
        self.pick(self.picked)

    def act_here(self, action: str, size: Size) -> None:
        """Begin, go on, or pick a lot."""
        if action == "begin":
            self.begin = BEGINNINGS[(BEGINNINGS.index(self.begin) + 1) % len(BEGINNINGS)]
            begins = STAGES_DOING[self.begin]
            self.said = f"New pieces begin with {begins} from now on, here and on the cards."
        elif action == "open" and self.next.in_hand is not None:
            self._go_on(self.next.in_hand.uuid)
        elif action == "open" and self._is_full():
            self.said = FULL
        elif action in {"open", "new"}:
            self._start(self.picked, self.begin)
        else:
            self.pick(moved(self.picked, action, self.lots))

    def _is_full(self) -> bool:
        """Whether every piece of the picked lot is made or begun."""
        found = self.figures.progress
        return found is not None and not found.lots[self.picked].to_make

    def keys(self) -> Sequence[Key]:
        """The keys of the lots."""
        first: list[Key] = [("ENTER", "next piece", "open")]
        if self._is_full():
            first = [("N", "one more", "new")]
        if self.next.in_hand is not None:
            first = [("ENTER", "go on", "open"), ("N", "new", "new")]
        return (*first, ("W", "begin with", "begin"), ("UP DOWN", "lot", ""))

    def draw_page(
        self, canvas: Canvas, found: CommissionProgress, named: Callable[[str], str]
    ) -> None:
        """Draw the list of lots, the sum below, and what the keys do with the picked one."""
        width = canvas.width
        wide = width >= 76
        x = width - 58 if wide else width - 35
        heads = [("lot", 3), ("made", x), ("begun", x + 7)]
        if wide:
            heads += [("hours to come", x + 13), ("done by", x + 30), ("due", x + 39)]
            heads += [("late", x + 48)]
        else:
            heads += [("hours", x + 13), ("done by", x + 20), ("late", x + 28)]
        for head, at in heads:
            canvas.text(at, 2, head, "dim")
        choices = self._choices(found.lots[self.picked], named)
        room = max(1, canvas.height - 12 - len(choices))

        def draw_line(number: int, y: int, style: str) -> None:
            lot = found.lots[number]
            canvas.text(3, y, lot.work.lot.name, style or "bold", x - 4)
            canvas.text(x, y, f"{len(lot.good)}/{lot.work.lot.pieces}", style)
            canvas.text(x + 7, y, str(len(lot.making)) if lot.making else "–", style)
            self._draw_lot(canvas, x, y, lot, style, wide)

        shown = draw_list(canvas, 3, room, len(found.lots), self.picked, draw_line)
        canvas.rule(3 + len(shown))
        if len(shown) < len(found.lots):
            said = f" lots {shown.start + 1} to {shown.stop} of {len(found.lots)} "
            canvas.right(3 + len(shown), said, "dim", width - 1)
        self._draw_sum(canvas, 4 + len(shown), found, canvas.height - 3 - len(choices))
        for line, text in enumerate(reversed(choices)):
            canvas.text(1, canvas.height - 4 - line, text, "", width - 2)

    def _choices(self, lot: LotProgress, named: Callable[[str], str]) -> list[str]:
        """What the keys do with the picked lot: go on with its piece, begin the next one."""
        again = "" if lot.to_make else ", one more than agreed"
        begins = STAGES_DOING[self.begin]
        new = f"begins piece {self.next.number} of this lot with {begins}{again}"
        if self.place is not None and self.picked == self.of_place:
            new += f"; place {self.place[0]} comes next"
        state = self.next.in_hand
        if state is None:
            return [f"{named('ENTER' if lot.to_make else 'N')} {new}"]
        made = f", {plural(state.made, 'cross')} made" if state.made else ""
        stage = words.doing(state)
        goes_on = f"{named('ENTER')} goes on with {state.name}: {stage}{made}"
        return [goes_on, f"{named('N')} {new}"]

    def _draw_lot(
        self, canvas: Canvas, x: int, y: int, lot: LotProgress, style: str, wide: bool
    ) -> None:
        comes = lot.to_come if lot.beyond is None or lot.done_by is not None else lot.beyond
        low, middle, high = (hours(comes.quantile(p)) for p in (0.1, 0.5, 0.9))
        to_come = f"{middle} ({low}–{high})" if wide else middle
        canvas.text(x + 13, y, to_come if lot.to_make or lot.making else "done", style, 16)
        by = "spare" if lot.beyond is not None else ""
        by = by if lot.done_by is None else date(self.figures.now, lot.done_by.median_days)
        canvas.text(x + (30 if wide else 20), y, by, style)
        found = self.figures.progress
        due = None if found is None else found.commission.due_of(lot.work.lot)
        if wide and due is not None:
            canvas.text(x + 39, y, day_said(self.figures.now, due), style)
        is_guess = found is not None and found.is_guess and (lot.late or 0.0) < 1
        if lot.late is not None and is_guess and lot.late >= LIKELY:
            canvas.text(x + (48 if wide else 28), y, "LATE?" if wide else "!", style or "warn")
        if lot.late is not None and not is_guess:
            is_late = lot.late >= LIKELY
            sign = "" if not is_late else "LATE " if wide else "!"
            late = f"{sign}{100 * lot.late:.0f} %"
            canvas.text(x + (48 if wide else 28), y, late, style or ("warn" if is_late else ""))

    def _draw_sum(self, canvas: Canvas, y: int, found: CommissionProgress, below: int) -> None:
        """Draw what the lots come to on the lines above `below`, as far as there is room."""
        room = canvas.width - 12
        lines = self._sum(found)
        spare = below - y - len(lines)
        if spare < 0:
            cut = len(lines) + spare - 1
            more = f"… {plural(len(lines) - cut, 'line')} more: a taller window has room for them"
            lines, spare = [*lines[:cut], ("", more)], 0
        for head, text in lines:
            canvas.text(1, y, head, "bold")
            broken = wrap(text, room)
            if len(broken) - 1 > spare:
                broken = [clauses(text, room + 1)]
            spare -= len(broken) - 1
            for line in broken:
                canvas.text(10, y, line, "", room + 1)
                y += 1

    def _sum(self, found: CommissionProgress) -> list[tuple[str, str]]:
        """What the lots come to, each line with its head."""
        total = closing(found)
        pieces = sum(lot.work.lot.pieces for lot in found.lots)
        counted = sum(min(len(lot.good), lot.work.lot.pieces) for lot in found.lots)
        made = f"{counted} of {pieces} pieces good in {hours(found.done_s)} h"
        beside = [f"{total.good - counted} spare"] if total.good > counted else []
        beside += [plural(total.seconds, "second")] if total.seconds else []
        beside += [f"{total.given_up} given up"] if total.given_up else []
        if beside:
            made += f"; {' and '.join(beside)} beside them"
        lines = [("so far", made)]
        if found.finish is None:
            lines.append(("to come", "nothing: every lot has its pieces"))
        else:
            said = f"{_between(found)} h, spoilt pieces allowed for"
            parts = sum(round(lot.to_come.quantile(0.5) / 3600, 1) for lot in found.lots)
            if abs(parts - found.to_come.quantile(0.5) / 3600) >= 0.05:
                said += "; the lots' hours are middles and need not add up to it"
            ends = (found.finish.low_days, found.finish.median_days, found.finish.high_days)
            low, middle, high = (date(self.figures.now, days) for days in ends)
            sure = holds(is_guess=found.is_guess)
            between = f"{sure} {low} and {high}" if low != high else "within that day 8 in 10"
            if low == high and found.is_guess:
                between = "a guess"
            finish = f"{middle} {by_weeks(found)}, {between}"
            lines += [("to come", said), ("finish", finish)]
        beyond = [lot.beyond for lot in found.lots if lot.beyond is not None]
        if beyond:
            middle = hours(sum(comes.quantile(0.5) for comes in beyond))
            lines.append(("spare", f"about {middle} h in the making beyond what is agreed"))
        if self.figures.money:
            lines.append(("money", self.figures.money))
        else:
            lines.append(("price", price_words(self.figures, found)))
        return lines + [("besides", note) for note in self.figures.notes]


def _between(found: CommissionProgress) -> str:
    low, middle, high = (hours(found.to_come.quantile(p)) for p in (0.1, 0.5, 0.9))
    return f"{middle} h, {holds(is_guess=found.is_guess)} {low} and {high}"
