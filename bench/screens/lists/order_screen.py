"""An order made and changed: what it is called, for whom, when, and its lots, kept together."""

from __future__ import annotations

import contextlib
import datetime as dt
from collections.abc import Callable, Sequence
from decimal import Decimal
from functools import partial

from bench.commission.account import Account, read_account
from bench.commission.book import CommissionBook, MadeMore, cancel, keep
from bench.commission.changing import moved_before, with_lot, with_terms, with_values, without_lot
from bench.commission.commission_answer import commission_answer
from bench.commission.money import shown
from bench.commission.versions import differences
from bench.craft.text import Fault
from bench.craft.words import full_name, plural
from bench.documents.commission import TERM_WORDS, Commission, Lot
from bench.documents.errors import DocumentError
from bench.journal.commission_payloads import CommissionCancelled
from bench.screens.lists.companion import ListsCompanion
from bench.screens.lists.dated_form import DatedForm
from bench.screens.lists.form import FormRow
from bench.screens.lists.lot_screen import LotScreen
from bench.screens.lists.order_ahead import named_after
from bench.screens.lists.shop_writing import append, writable, write
from bench.screens.lists.typed_values import DAY_ASKS, day_to_come
from bench.screens.lists.written_sheets import WrittenSheet
from bench.sheets.commission import commission_html

PERCENT_ASKS = "Percent, as 30; “none” goes by your settings."
WEEK = dt.timedelta(days=7)
MADE_MORE = ("charged", "stock")
TERMS = {
    "deposit_percent": PERCENT_ASKS,
    "tax_percent": PERCENT_ASKS,
    "discount_percent": "Percent off the whole price, as 5.",
    "design_hours": "Hours of drawing and talking, at your hourly rate.",
    "notions": "What else it takes, as an amount.",
    "holds_until": DAY_ASKS,
    "note": "A line for the customer's sheet.",
}
"""What is asked for each term."""


class OrderScreen(DatedForm):
    """Changes a commission; nothing is written before it is kept, as of the day of the change."""

    keeps = "keep"

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
        self.heading = book.heading if book.text else "a new commission"
        self._ahead, self._told = ahead, told
        self.reason = ""
        """Why it is changed; kept with the change."""
        self._why_cancelled: str | None = None
        """Why it is to be cancelled, while it is asked what becomes of what is made."""
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
            *self._other_versions(),
            FormRow("called", draft.title, typed=partial(self._set, "title"), starts=draft.title),
            FormRow(
                *("for", draft.whom or "–"),
                typed=partial(self._set, "whom"),
                asks="For whom, or “none”; it stays out of exports unless you ask for it.",
                starts=draft.whom,
            ),
            FormRow(
                *("due", _day(draft.due)),
                turn=self._by_weeks if draft.due else None,
                turns="a week",
                typed=self._set_due,
                asks=DAY_ASKS,
            ),
            *(self._lot_row(lot) for lot in draft.lots),
            FormRow("another lot", "like the last one, to be changed", opens=self._new_lot),
            *(self._of_the_change() if self.book.text else ()),
            *(
                FormRow(
                    *(TERM_WORDS[key], _value(getattr(draft.terms, key))),
                    typed=partial(self._set_term, key),
                    asks=asks,
                )
                for key, asks in TERMS.items()
            ),
            *(self._cancelling() if self.book.text else ()),
        )

    def _of_the_change(self) -> Sequence[FormRow]:
        """When and why it is changed."""
        asks = "Why it is changed; it stands in the history of the order."
        return (
            self.day_row("agreed on"),
            FormRow("why", self.reason or "–", typed=self._set_reason, asks=asks),
        )

    def _other_versions(self) -> Sequence[FormRow]:
        """Versions that another bench kept and that stand beside this one, or after it."""
        rows = []
        for version in self.book.elsewhere if self.book.text else ():
            other = with_values(self.book.joined(version), whom=self.draft.whom)
            said = "; ".join(differences(self.book.commission, other))
            take = partial(self._changed, other)
            words = "taken over: K keeps it" if self.draft == other else f"ENTER takes it: {said}"
            rows.append(FormRow("at another bench", words, opens=take))
        return rows

    def _is_passed_over(self) -> bool:
        """Whether another bench has a version, and the draft takes none of them over."""
        others = [self.book.joined(version) for version in self.book.elsewhere]
        mine = with_values(self.draft, whom=self.book.commission.whom)
        return bool(others) and mine not in others

    def _cancelling(self) -> Sequence[FormRow]:
        if self.book.cancelled is not None:
            said = f"it is cancelled since {self.book.cancelled.day}"
            return (FormRow("go on with it", said, opens=self._go_on),)
        asks = "Why it is cancelled. What is made and paid stays written down."
        return (FormRow("cancel it", "asks why", typed=self._cancel, asks=asks),)

    def _set_reason(self, text: str) -> None:
        self.reason = "" if text == "none" else text

    def _cancel(self, reason: str, goes: str = "") -> None:
        """Cancel it; where something is made, ask first what becomes of it."""
        if self.changed:
            raise Fault("Keep or leave the changes first (K).")
        self._why_cancelled = None
        try:
            said = cancel(self.book, self.day, reason, goes)
        except MadeMore as more:
            self._why_cancelled = reason
            self._ask_what_becomes(more)
            return
        self._leave_with(said)

    def _go_on(self) -> None:
        if self.changed:
            raise Fault("Keep or leave the changes first (K).")
        self._leave_with(CommissionCancelled(self.day_said, undone=True))

    def _leave_with(self, said: CommissionCancelled) -> None:
        write(self.companion, self.book, (said, self.book.id, None))
        self.companion.fill_home()
        self.app.pop_screen()

    def _ask_what_becomes(self, more: MadeMore) -> None:
        self.choices = MADE_MORE
        self.said = f"{more.made}: 1 they are charged, 2 they go to finished stock"

    def _lot_row(self, lot: Lot) -> FormRow:
        made = full_name(lot.pattern, lot.size, lot.colourway)
        good = self.book.made.get(lot.id or "", 0)
        parts = [plural(lot.pieces, "piece"), made]
        each = self._agreed(lot) or lot.price
        parts += [f"{shown(each)} each"] if each is not None else []
        parts += [f"due {lot.due}"] if lot.due else []
        in_hand = self.book.in_hand.get(lot.id or "", 0)
        parts += [f"{good} made"] if good else []
        parts += [f"{in_hand} in hand"] if in_hand else []
        return FormRow(
            *(lot.name, ", ".join(parts)),
            turn=lambda step: self._count(lot, lot.pieces + step),
            opens=lambda: self._open_lot(lot),
        )

    def below(self) -> Sequence[str]:
        """What is different, what is due for it, and what it means for days and materials."""
        found = []
        if not self.book.text:
            found.append("K keeps it; then its days, its beads and its offer are worked out.")
        else:
            found += list(differences(self.book.commission, self.draft))
            before, now = (
                sum(lot.pieces for lot in one.lots) for one in (self.book.commission, self.draft)
            )
            found += [f"{now} pieces in all, in place of {before}"] if now != before else []
            if self.draft.whom != self.book.commission.whom:
                found.append(f"for {self.draft.whom or 'nobody named'}")
        if self.book.text and self._is_passed_over():
            found.append("K keeps what stands here, and it goes before the other bench's.")
        for lot in self.draft.lots:
            handed = self.book.handed.get(lot.id or "", 0)
            if handed > lot.pieces:
                found.append(f"! {handed} of '{lot.name}' are handed over already")
        found += self._money()
        holds, due = self.draft.terms.holds_until, self.draft.due
        if holds is not None and due is not None and holds > due:
            found.append(f"! the offer would hold until {holds}, after the order is due")
        return [*self._told, *found, *self._lines]

    def _money(self) -> list[str]:
        now = self._account
        if now is None or now.due is None or now.to_pay is None or now.acceptance is None:
            return []
        currency = now.acceptance.said.currency
        left = f"still to pay {shown(now.to_pay)}"
        if now.to_pay < 0:
            left = f"{shown(-now.to_pay)} to give back"
        said = f"due {shown(now.due.gross)} {currency}, {left}"
        if now.unpriced:
            said += f"; no price yet for {', '.join(now.unpriced)}"
        if now.is_agreed:
            return [said]
        more = f"{now.change:+.2f} against" if now.change else "another order than"
        return [said, f"{more} the accepted offer: agree on it with the customer"]

    def on_screen_resume(self) -> None:
        """Money may have moved meanwhile, and its places may be others."""
        journal = self.companion.journal
        if journal is not None and self.book.text and not self.changed:
            with contextlib.suppress(DocumentError, Fault):
                self.book = self.book.reopened(self.companion.library, journal)
                self.draft = self.book.commission
        self._account = _account_of(self.companion, self.book, self.draft)
        super().on_screen_resume()

    def written(self) -> Sequence[WrittenSheet]:
        """The order as it is kept, for the folder."""
        if not self.book.text:
            return ()
        told = partial(commission_answer, self.book, self.book.commission, (), waits=False)
        name = f"{self.book.name}-order.html"
        return (WrittenSheet("p", "print", name, lambda: commission_html(told())),)

    # Changes

    def _changed(self, draft: Commission) -> None:
        self.draft = draft
        self._account = _account_of(self.companion, self.book, draft)
        if self._ahead is not None:
            self._lines = ("Days and beads are worked out anew …",)
            self._ahead(draft, partial(self._show_ahead, draft))

    def _show_ahead(self, draft: Commission, lines: Sequence[str]) -> None:
        if draft == self.draft:
            self._lines = lines
            self.redraw()

    def _set(self, key: str, text: str) -> None:
        emptied = key == "whom" and text == "none"
        self._changed(with_values(self.draft, **{key: "" if emptied else text}))

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
        key = lot.id or lot.name
        self.app.push_screen(
            LotScreen(
                *(self.companion, lot, self._take_lot),
                self._take_out if len(self.draft.lots) > 1 else None,
                partial(self._move_lot, key),
                self._price_all,
                self.draft,
                self._agreed(lot),
            )
        )

    def _agreed(self, lot: Lot) -> Decimal | None:
        """What was accepted for a piece of a lot, if anything was."""
        lines = () if self._account is None else self._account.lines
        return next((line.each for line in lines if line.lot == lot.id and line.offered), None)

    def _new_lot(self) -> None:
        """Take one more lot in, and open it to be changed."""
        names = {lot.name for lot in self.draft.lots}
        first = len(names) + 1
        name = next(n for n in (f"Lot {i}" for i in range(first, first + 2000)) if n not in names)
        values = self.draft.lots[-1].model_dump(exclude={"id"})
        values |= {"name": name, "due": None, "price": None}
        self._changed(with_lot(self.draft, name, values))
        self._open_lot(self.draft.lots[-1])

    def _move_lot(self, key: str, step: int) -> str:
        """Make a lot earlier or later, or only say where it stands."""
        lots = self.draft.lots
        at = lots.index(self.draft.lot(key))
        to = max(0, min(len(lots) - 1, at + step))
        if to != at:
            after = to + (1 if to > at else 0)
            other = lots[after].id or lots[after].name if after < len(lots) else None
            self._changed(moved_before(self.draft, key, other))
        return f"{to + 1} of {len(lots)}"

    def _price_all(self, like: Lot) -> None:
        """Take a lot over, and give its price to every lot of its pattern and size."""
        self._take_lot(like)
        draft = self.draft
        for lot in draft.lots:
            if (lot.pattern, lot.size) != (like.pattern, like.size):
                continue
            draft = with_lot(draft, lot.id or lot.name, {"price": like.price})
        self._changed(draft)

    def _take_lot(self, lot: Lot) -> None:
        values = lot.model_dump(exclude={"id"})
        self._changed(with_lot(self.draft, lot.id or lot.name, values))

    def _take_out(self, lot: Lot) -> None:
        self._changed(without_lot(self.draft, lot.id or lot.name))

    # Keeping

    def keep(self, choice: str | None = None) -> None:
        """Write file and event; where more is made than a lowered count, ask what becomes of it."""
        journal = writable(self.companion)
        if choice is None:
            self._why_cancelled = None
        if self._why_cancelled is not None and choice is not None:
            self._cancel(self._why_cancelled, choice)
            return
        if not (self.changed or self.book.elsewhere):
            self.app.pop_screen()
            return
        is_new = not self.book.text
        try:
            if is_new:
                self.book = named_after(self.companion.library, self.draft)
                self.draft = self.book.commission
            entries = keep(self.book, self.draft, self.day, self.reason, choice or "")
        except MadeMore as more:
            self._ask_what_becomes(more)
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
    if isinstance(value, float):
        return f"{value:g}"
    return "–" if value is None or value == "" else str(value)
