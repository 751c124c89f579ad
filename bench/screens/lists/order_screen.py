"""An order made and changed: what it is called, for whom, when, and its lots, kept together."""

from __future__ import annotations

import contextlib
import datetime as dt
from collections.abc import Callable, Sequence
from functools import partial

from bench.commission.account import Account, read_account
from bench.commission.book import CommissionBook, MadeMore, keep
from bench.commission.changing import with_lot, with_terms, with_values, without_lot
from bench.commission.money import shown
from bench.commission.versions import differences
from bench.craft.text import Fault
from bench.craft.words import full_name, plural
from bench.documents.commission import Commission, Lot
from bench.documents.errors import DocumentError
from bench.screens.lists.companion import ListsCompanion
from bench.screens.lists.form import FormRow, FormScreen
from bench.screens.lists.lot_screen import LotScreen
from bench.screens.lists.order_ahead import named_after
from bench.screens.lists.shop_writing import append, writable
from bench.screens.lists.typed_values import DAY_ASKS, day_to_come

PERCENT_ASKS = "Percent, as 30; “none” goes by your settings."
WEEK = dt.timedelta(days=7)
MADE_MORE = ("charged", "stock")
TERMS = (
    ("deposit_percent", "deposit, %", PERCENT_ASKS),
    ("tax_percent", "tax, %", PERCENT_ASKS),
    ("discount_percent", "discount, %", "Percent off the whole price, as 5."),
    ("design_hours", "design hours", "Hours of drawing and talking, at your hourly rate."),
    ("notions", "boxes, post", "What else it takes, as an amount."),
    ("holds_until", "offer holds until", DAY_ASKS),
    ("note", "line for the sheet", "A line for the customer's sheet."),
)


class OrderScreen(FormScreen):
    """Changes a commission; nothing is written before it is kept."""

    def __init__(
        self,
        companion: ListsCompanion,
        book: CommissionBook,
        ahead: Callable[[Commission, Callable[[Sequence[str]], None]], None] | None = None,
        told: Sequence[str] = (),
    ) -> None:
        """Change a commission.

        ahead: works out what a changed one means for days and materials, and hands lines back.
        told: what stands before that, as what is different from an earlier order.
        """
        super().__init__(companion)
        self.book, self.draft = book, book.commission
        self.heading = book.commission.title if book.text else "a new commission"
        self._ahead, self._told = ahead, told
        self._lines: Sequence[str] = ()
        self._account = _account_of(companion, book, self.draft)

    def on_mount(self) -> None:
        """Work out what it means."""
        self._changed(self.draft)

    @property
    def changed(self) -> bool:
        """Whether there is something to keep."""
        return self.draft != self.book.commission or not self.book.text

    def rows(self) -> Sequence[FormRow]:
        """The whole, its lots, a lot more, its terms."""
        draft = self.draft
        return (
            FormRow("called", draft.title, typed=partial(self._set, "title"), starts=draft.title),
            FormRow(
                *("for", draft.whom or "–"),
                typed=partial(self._set, "whom"),
                asks="For whom; it stays out of exports unless you ask for it.",
                starts=draft.whom,
            ),
            FormRow(
                *("due", _day(draft.due)),
                turn=self._by_weeks if draft.due else None,
                typed=self._set_due,
                asks=DAY_ASKS,
            ),
            *(self._lot_row(lot) for lot in draft.lots),
            FormRow("another lot", "", opens=self._new_lot),
            *(
                FormRow(
                    *(name, _value(getattr(draft.terms, key))),
                    typed=partial(self._set_term, key),
                    asks=asks,
                )
                for key, name, asks in TERMS
            ),
        )

    def _lot_row(self, lot: Lot) -> FormRow:
        made = full_name(lot.pattern, lot.size, lot.colourway)
        good = self.book.made.get(lot.id or "", 0)
        parts = [plural(lot.pieces, "piece"), made]
        parts += [f"{shown(lot.price)} each"] if lot.price is not None else []
        parts += [f"due {lot.due}"] if lot.due else []
        parts += [f"{good} made"] if good else []
        return FormRow(
            *(lot.name, ", ".join(parts)),
            turn=lambda step: self._count(lot, lot.pieces + step),
            opens=lambda: self._open_lot(lot),
        )

    def below(self) -> Sequence[str]:
        """What is different, what is due for it, and what it means for days and materials."""
        found = []
        if self.book.text:
            found += list(differences(self.book.commission, self.draft))
            if self.draft.whom != self.book.commission.whom:
                found.append(f"for {self.draft.whom or 'nobody named'}")
        found += self._money()
        return [*self._told, *found, *self._lines]

    def _money(self) -> list[str]:
        now = self._account
        if now is None or now.due is None or now.to_pay is None or now.acceptance is None:
            return []
        currency = now.acceptance.said.currency
        said = f"due {shown(now.due.gross)} {currency}, still to pay {shown(now.to_pay)}"
        if now.unpriced:
            said += f"; no price yet for {', '.join(now.unpriced)}"
        return [said]

    def on_screen_resume(self) -> None:
        """Money may have moved meanwhile, and its places may be others."""
        journal = self.companion.journal
        if journal is not None and self.book.text and not self.changed:
            with contextlib.suppress(DocumentError, Fault):
                self.book = self.book.reopened(self.companion.library, journal)
                self.draft = self.book.commission
        self._account = _account_of(self.companion, self.book, self.draft)
        super().on_screen_resume()

    # Changes

    def _changed(self, draft: Commission) -> None:
        self.draft = draft
        self._account = _account_of(self.companion, self.book, draft)
        if self._ahead is not None:
            self._lines = ("Days and beads are worked out anew …",)
            self._ahead(draft, partial(self._show_ahead, draft))

    def _show_ahead(self, draft: Commission, lines: Sequence[str]) -> None:
        if draft is self.draft:
            self._lines = lines
            self.redraw()

    def _set(self, key: str, text: str) -> None:
        self._changed(with_values(self.draft, **{key: text}))

    def _set_due(self, text: str) -> None:
        self._changed(with_values(self.draft, due=day_to_come(text)))

    def _set_term(self, key: str, text: str) -> None:
        value = day_to_come(text) if key == "holds_until" else None if text == "none" else text
        if value is None and key not in {"deposit_percent", "tax_percent", "holds_until"}:
            value = "" if key == "note" else "0"
        self._changed(with_terms(self.draft, {key: value}))

    def _by_weeks(self, step: int) -> None:
        assert self.draft.due is not None
        self._changed(with_values(self.draft, due=self.draft.due + step * WEEK))

    def _count(self, lot: Lot, pieces: int) -> None:
        self._changed(with_lot(self.draft, lot.id or lot.name, {"pieces": pieces}))

    def _open_lot(self, lot: Lot) -> None:
        self.app.push_screen(LotScreen(self.companion, lot, self._take_lot, self._take_out))

    def _new_lot(self) -> None:
        first = self.draft.lots[-1]
        lot = first.model_copy(
            update={"id": None, "name": f"Lot {len(self.draft.lots) + 1}", "pieces": 1, "due": None}
        )
        self.app.push_screen(LotScreen(self.companion, lot, self._take_lot, None))

    def _take_lot(self, lot: Lot) -> None:
        if lot.id is None and any(lot.name == other.name for other in self.draft.lots):
            raise Fault(f"There is a lot '{lot.name}' already; call this one otherwise.")
        values = lot.model_dump(exclude={"id"})
        self._changed(with_lot(self.draft, lot.id or lot.name, values))

    def _take_out(self, lot: Lot) -> None:
        self._changed(without_lot(self.draft, lot.id or lot.name))

    # Keeping

    def keep(self, choice: str | None = None) -> None:
        """Write file and event; where more is made than a lowered count, ask what becomes of it."""
        journal = writable(self.companion)
        if not self.changed:
            self.app.pop_screen()
            return
        is_new = not self.book.text
        try:
            if is_new:
                self.book = named_after(self.companion.library, self.draft)
                self.draft = self.book.commission
            entries = keep(self.book, self.draft, dt.date.today(), "", choice or "")
        except MadeMore as more:
            self.choices = MADE_MORE
            self.said = f"{more}: 1 they are charged, 2 they go to finished stock"
            return
        except DocumentError as error:
            raise Fault(str(error)) from None
        append(journal, entries)
        self.companion.fill_home()
        self.app.pop_screen()
        if is_new:
            self.companion.show_commission(self.book.name)


def _account_of(
    companion: ListsCompanion, book: CommissionBook, draft: Commission
) -> Account | None:
    if companion.journal is None:
        return None
    return read_account(companion.journal, book.id, draft, book.history)


def _day(day: dt.date | None) -> str:
    return "–" if day is None else day.isoformat()


def _value(value: object) -> str:
    return "–" if value in (None, "", 0) else str(value)
