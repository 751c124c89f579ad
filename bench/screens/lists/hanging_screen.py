"""Where the pieces of a commission hang: places on lines, pieces moved along by LEFT and RIGHT."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial

from bench.commission.book import CommissionBook, keep
from bench.commission.changing import with_lot, with_values
from bench.commission.hanging import Hung, cost_of
from bench.commission.hanging_plan import HangingPlan, hang_answer, pieces_of, plan_of
from bench.commission.pieces import read_pieces
from bench.craft.text import Fault
from bench.documents.commission import Commission, Lot
from bench.documents.errors import DocumentError
from bench.journal.commission_payloads import HangingKept
from bench.making.worked_pattern import WorkedPattern
from bench.screens.lists.companion import ListsCompanion
from bench.screens.lists.form import FormRow, FormScreen
from bench.screens.lists.sheet_screen import SheetScreen
from bench.screens.lists.shop_writing import append, readable, writable, write
from bench.screens.lists.typed_values import typed_number
from bench.screens.lists.written_sheets import WrittenSheet
from bench.sheets.hanging import hanging_html, hanging_lines, hanging_svg, told_lines

PLACES_ASKS = (
    "How many places, the width of the rail (or “hoop” and its diameter), and the drops in turn,"
    " all in mm: 24 1200 40,80,120   or   12 hoop 300 50,90"
)


class HangingScreen(FormScreen):
    """Shows and changes the arrangement; nothing is written before it is kept."""

    own_help = (("LEFT RIGHT", "the piece changes places with the one before, or after"),)

    def __init__(self, companion: ListsCompanion, book: CommissionBook) -> None:
        super().__init__(companion)
        self.book = book
        self.heading = f"{book.commission.title}: hanging"
        self.plan: HangingPlan | None = None
        self.moved = False
        if book.commission.hanging is not None:
            self._work_out(anew=False)

    @property
    def changed(self) -> bool:
        """Whether the arrangement is other than it was kept."""
        return self.plan is not None and (self.moved or not self.plan.kept)

    def rows(self) -> Sequence[FormRow]:
        """The places as a whole, then each with its piece."""
        rows = [FormRow("places", self._said(), typed=self._set_places, asks=PLACES_ASKS)]
        if self.plan is None:
            return rows
        rows += [
            FormRow("alike are", self._alike(), turn=self._turn_alike),
            FormRow("what hangs", self._hang(), opens=self._choose_lots),
            FormRow("drawing, cut list", "look at them", opens=self._look),
            FormRow("work it out anew", "near what is kept", opens=self._anew),
        ]
        for number, piece in enumerate(self.plan.hung.at):
            name = "–" if piece is None else self.plan.pieces[piece].hung.name
            place = self.plan.rail.places[number]
            rows.append(
                FormRow(
                    *(f"{number + 1}: {place.x_mm:.0f} along", f"{name}, {place.drop_mm:.0f} down"),
                    turn=partial(self._move, number),
                )
            )
        return rows

    def below(self) -> Sequence[str]:
        """What is to be told of the arrangement, and the cautions."""
        if self.plan is None:
            return ["Say first where pieces can hang."]
        told = hang_answer(self.book, self.plan)
        return [*told_lines(told, 1000), *told.cautions]

    def written(self) -> Sequence[WrittenSheet]:
        """The drawing with its cut list, and the drawing alone."""
        if self.plan is None:
            return ()
        told, name = hang_answer(self.book, self.plan), f"{self.book.name}-hanging"
        return (
            WrittenSheet("p", "print", f"{name}.html", partial(hanging_html, told)),
            WrittenSheet("d", "drawing", f"{name}.svg", partial(hanging_svg, told)),
        )

    def _look(self) -> None:
        assert self.plan is not None
        told = hang_answer(self.book, self.plan)
        lines = partial(hanging_lines, told)
        self.app.push_screen(SheetScreen(self.companion, self.heading, lines, self.written()))

    def _alike(self) -> str:
        hanging = self.book.commission.hanging
        by_colour = hanging is not None and hanging.alike == "colourway"
        return "two of one colourway" if by_colour else "two of one pattern, size, colourway"

    def _turn_alike(self, step: int) -> None:
        hanging = self.book.commission.hanging
        assert hanging is not None
        values = hanging.model_dump()
        values["alike"] = "kind" if hanging.alike == "colourway" else "colourway"
        self._keep_order(with_values(self.book.commission, hanging=values))

    def _hang(self) -> str:
        out = [lot.name for lot in self.book.commission.lots if not lot.hangs]
        return f"all but {', '.join(out)}" if out else "the pieces of all lots"

    def _choose_lots(self) -> None:
        self.app.push_screen(HangingLots(self.companion, self.book, self._keep_order))

    def _said(self) -> str:
        hanging = self.book.commission.hanging
        return "–" if hanging is None else f"{len(hanging.places)} on a {hanging.shape}"

    def _move(self, one: int, step: int) -> None:
        plan, other = self.plan, one + step
        if plan is None or not 0 <= other < len(plan.hung.at):
            raise Fault("There is no place further on.")
        at = list(plan.hung.at)
        at[one], at[other] = at[other], at[one]
        cost = cost_of(plan.rail, [piece.hung for piece in plan.pieces], at, plan.before)
        self.plan = replace(plan, hung=Hung(tuple(at), cost, exact=False))
        self.moved = True
        self.picked += other - one

    def _anew(self) -> None:
        self._work_out(anew=True)
        self.moved = True

    def _work_out(self, *, anew: bool) -> None:
        companion, journal = self.companion, readable(self.companion)
        try:
            worked: dict[str, WorkedPattern] = {
                lot.id or "": companion.session.work_up(lot.pattern, lot.size, lot.colourway)
                for lot in self.book.commission.lots
            }
        except DocumentError as error:
            raise Fault(str(error)) from None
        found = read_pieces(journal, self.book)
        pieces = pieces_of(self.book.commission, found, worked, companion.settings)
        self.plan = plan_of(journal, self.book, pieces, anew=anew)

    def _set_places(self, text: str) -> None:
        self._keep_order(with_values(self.book.commission, hanging=places_of(text)))

    def _keep_order(self, changed: Commission) -> None:
        """Keep the order with other places or lots that hang, and work it out anew."""
        companion = self.companion
        journal = writable(companion)
        try:
            entries = keep(self.book, changed, dt.date.today())
        except DocumentError as error:
            raise Fault(str(error)) from None
        append(journal, entries)
        self.book = self.book.reopened(companion.library, journal)
        self._work_out(anew=True)

    def keep(self, choice: str | None = None) -> None:
        """Keep which piece hangs where."""
        if self.plan is not None:
            write(self.companion, self.book, (HangingKept(self.plan.keys), self.book.id, None))
        self.app.pop_screen()


class HangingLots(FormScreen):
    """Which lots hang with the others; a change is kept with the order at once."""

    keeps = ""
    heading = "what hangs"

    def __init__(
        self, companion: ListsCompanion, book: CommissionBook, keep: Callable[[Commission], None]
    ) -> None:
        super().__init__(companion)
        self.commission, self._keep_it = book.commission, keep

    def rows(self) -> Sequence[FormRow]:
        """The lots."""
        return tuple(
            FormRow(
                *(lot.name, "hangs" if lot.hangs else "does not hang"),
                turn=partial(self._turn, lot),
            )
            for lot in self.commission.lots
        )

    def _turn(self, lot: Lot, step: int) -> None:
        changed = with_lot(self.commission, lot.id or lot.name, {"hangs": not lot.hangs})
        self._keep_it(changed)
        self.commission = changed


def places_of(text: str) -> dict[str, object]:
    """Places as they are typed: a count, a width or a hoop, and drops. Raises Fault."""
    words = text.split()
    hoop = "hoop" in words
    numbers = [word for word in words if word != "hoop"]
    if len(numbers) != 3:
        raise Fault("Type a count, a width and drops: 24 1200 40,80,120")
    if not numbers[0].isdecimal():
        raise Fault(f"'{numbers[0]}' is no number of places")
    count = int(numbers[0])
    wide = typed_number(numbers[1], "The width")
    drops = [typed_number(drop, "A drop") for drop in numbers[2].split(",")]
    if not 1 <= count <= 1000:
        raise Fault("There can be 1 to 1000 places.")
    step = math.pi * wide / count if hoop else wide / max(1, count - 1)
    places = [(round(at * step, 1), drops[at % len(drops)]) for at in range(count)]
    return {
        "shape": "hoop" if hoop else "rail",
        "places": places,
        "diameter_mm": wide if hoop else None,
    }
