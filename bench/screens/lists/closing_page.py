"""What a commission took: pieces, days, hours by stage, materials and price."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from textual.geometry import Size

from bench.commission.closing import Closing, closing
from bench.commission.progress import CommissionProgress
from bench.craft.words import duration, plural
from bench.screens.kit.canvas import Canvas, wrap
from bench.screens.kit.foot import Key
from bench.screens.kit.help_page import Lines
from bench.screens.kit.plot import bar
from bench.screens.kit.words import STAGE_WORDS
from bench.screens.lists.commission_page import (
    CommissionFigures,
    WorkedOutPage,
    hours,
    price_words,
)
from bench.screens.lists.pace_words import local_day


class ClosingPage(WorkedOutPage):
    """Shows what the commission took so far; ENTER opens the whole sheet."""

    page = "closing"
    own_help: Lines = (("ENTER", "the whole sheet: lots, offer against fact, invoice; print it"),)

    def __init__(
        self, figures: CommissionFigures, turn: Callable[[str], None], whole: Callable[[], None]
    ) -> None:
        """`whole`: opens the sheet."""
        super().__init__(figures, turn)
        self._whole = whole

    def act_here(self, action: str, size: Size) -> None:
        """Open the sheet."""
        if action == "open":
            self._whole()

    def keys(self) -> Sequence[Key]:
        """The key of the sheet."""
        return (("ENTER", "whole sheet, print, CSV", "open"),)

    def draw_page(
        self, canvas: Canvas, found: CommissionProgress, named: Callable[[str], str]
    ) -> None:
        """Draw the sheet."""
        total = closing(found)
        head = "CLOSING SHEET" if found.done else "SO FAR (the closing sheet, once all is made)"
        canvas.text(1, 2, head, "bold")
        pieces = f"{total.good} good, {plural(total.seconds, 'second')}, {total.given_up} given up"
        canvas.text(1, 3, f"pieces     {pieces}", "", canvas.width - 2)
        ends = [t.finished_at for lot in found.lots for t in lot.pieces if t.finished_at]
        if ends:
            first, last = local_day(min(ends)), local_day(max(ends))
            said = f"first finished {first:%d %b %Y}, last {last:%d %b %Y}"
            canvas.text(1, 4, f"days       {said}", "", canvas.width - 2)
        y = self._draw_hours(canvas, 6, total)
        y = self._draw_materials(canvas, y)
        money = self.figures.money
        if money or found.price is not None:
            canvas.text(1, y, "money" if money else "price")
            words = money or price_words(self.figures, found)
            for line in wrap(words, canvas.width - 14)[:2]:
                canvas.text(12, y, line, "", canvas.width - 13)
                y += 1

    def _draw_hours(self, canvas: Canvas, y: int, total: Closing) -> int:
        """Draw the hours by stage; return the line below them."""
        parts = [(STAGE_WORDS[stage], seconds) for stage, seconds in total.stages.items()]
        if total.whole_s:
            parts.append(("typed in", total.whole_s))
        work_s = sum(seconds for _, seconds in parts)
        for name, seconds in parts:
            canvas.text(1, y, name)
            canvas.right(y, f"{hours(seconds)} h", "", 20)
            share = seconds / work_s if work_s else 0.0
            canvas.right(y, f"{100 * share:.0f} %", "", 27)
            canvas.text(28, y, bar(share, max(4, canvas.width - 36)), "call")
            y += 1
        canvas.text(1, y, "hands-on", "bold")
        canvas.right(y, f"{hours(work_s)} h", "bold", 20)
        y += 1
        canvas.text(1, y, "rework")
        canvas.right(y, f"{hours(total.rework_s)} h", "", 20)
        said = "no hours of a good piece are known yet"
        if total.each_s is not None:
            timed = "" if total.timed == total.good else f" with known hours ({total.timed})"
            each = duration(total.each_s)
            said = f"for each good piece{timed} {each}, spoilt ones and rework in it"
        for line in wrap(said, canvas.width - 29):
            canvas.text(28, y, line)
            y += 1
        return y + 1

    def _draw_materials(self, canvas: Canvas, y: int) -> int:
        """Draw what the materials cost, by tubes and as planned; return the line below."""
        canvas.text(1, y, "materials")
        for said, unpriced in self._materials():
            for line in wrap(said, canvas.width - 14):
                canvas.text(12, y, line, "", canvas.width - 13)
                y += 1
            if unpriced:
                for line in _without(unpriced, canvas.width - 13):
                    canvas.text(12, y, line, "warn")
                    y += 1
        return y

    def _materials(self) -> Iterator[tuple[str, Sequence[str]]]:
        """What is said of used and planned materials, each with what of it has no price."""
        used, planned = self.figures.used, self.figures.materials
        if used is not None and used.drawn:
            cost = "not known" if used.amount is None else f"{used.amount:,.2f}"
            yield (
                f"used {cost}: tubes gave for {used.drawn} of {plural(used.begun, 'piece')}",
                used.unpriced,
            )
        if planned is None:
            yield "prices of your tubes would give their cost: 7 shop, tubes", ()
        else:
            cost = f"{planned.amount:,.2f} {planned.currency}"
            yield f"planned {cost} for all pieces, spare included", planned.unpriced


def _without(unpriced: Sequence[str], width: int) -> Sequence[str]:
    """What has no price, as many names as there is room for in two lines, and how many more."""
    for shown in range(len(unpriced), 0, -1):
        more = "" if shown == len(unpriced) else f"; {len(unpriced) - shown} more (ENTER: all)"
        lines = wrap(f"without a price: {'; '.join(unpriced[:shown])}{more}", width)
        if len(lines) <= 2:
            return lines
    return (f"without a price: {len(unpriced)} (ENTER: all)",)
