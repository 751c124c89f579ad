"""The money of a commission: the offer accepted, deposits, payments and refunds as they come."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from decimal import Decimal
from functools import partial

from bench.answers.money import AccountAnswer, OfferAnswer, PartDelivery
from bench.commission.account import Account, read_account
from bench.commission.book import CommissionBook
from bench.commission.money import read_amount, shown
from bench.commission.money_answers import (
    acceptance_of,
    accepted_answer,
    account_answer,
    offer_answer,
)
from bench.commission.offer import Offer
from bench.commission.part_deliveries import handed_over
from bench.commission.pieces import read_pieces
from bench.craft.text import Fault
from bench.journal.commission_payloads import CommissionUndone, MoneyMoved, Move
from bench.journal.payload_base import Payload
from bench.screens.kit.board_screen import BoardScreen
from bench.screens.kit.canvas import wrap
from bench.screens.lists.companion import ListsCompanion
from bench.screens.lists.dated_form import DatedForm
from bench.screens.lists.form import FormRow
from bench.screens.lists.offer_ahead import BEING_WORKED_OUT, OfferAhead, OfferFound
from bench.screens.lists.order_ahead import BY_PAGE, letter_now, money_words
from bench.screens.lists.rates_screen import RatesScreen
from bench.screens.lists.sheet_screen import SheetScreen
from bench.screens.lists.shop_writing import write
from bench.screens.lists.written_sheets import WrittenSheet
from bench.sheets.account import account_html, account_lines
from bench.sheets.offer import customer_lines, maker_lines, offer_html
from bench.sheets.part_delivery import part_csv, part_html, part_lines, part_said

ACCEPT, REFUND = "accept it", "write it down anyway"
"""What can be chosen after it was told what is accepted, or given back."""


class MoneyScreen(DatedForm):
    """Each line writes down at once what it says; the last of it can be taken back."""

    own_help = (("ENTER", "write down what the line says"), *DatedForm.own_help)

    def __init__(self, companion: ListsCompanion, book: CommissionBook, ahead: OfferAhead) -> None:
        """Show the money of a commission; ahead: works its offer out and keeps it."""
        super().__init__(companion)
        self.book, self._ahead = book, ahead
        self._waits: Callable[[], None] | None = None
        """What was asked for and can be done once the offer is known."""
        self._asked: OfferFound | None = None
        """The offer that is to be accepted, as it was told."""
        self._refund: tuple[MoneyMoved, str] | None = None
        """A refund of more than came in, which was asked about."""
        self.heading = f"{book.heading}: money"
        self.account = self._read()
        self.owed = self._tell()

    def on_screen_resume(self) -> None:
        """Have the offer worked out, unless it is as it was; the currency may be another one."""
        self.owed = self._tell()
        self._want_offer()
        super().on_screen_resume()

    def times_read(self) -> None:
        """The offer goes by the pace."""
        self._want_offer()
        super().times_read()

    def _want_offer(self) -> None:
        if self.account.acceptance is None:
            self._ahead.want(self, self.book, self._offer_known)

    def _offer_known(self) -> None:
        """Do what waits for the offer, and show it where it is up."""
        waits, self._waits = self._waits, None
        if waits is not None and self.app.screen is self:
            self.said = ""
            self._try(waits)
        shown = self.app.screen
        if isinstance(shown, BoardScreen):
            shown.redraw()

    def press(self, key: str, character: str | None) -> None:
        """A key more, and nobody waits for what the one before has asked."""
        self._waits = None
        super().press(key, character)

    def _read(self) -> Account:
        journal = self.companion.journal
        if journal is None:
            raise Fault("There is no journal to read.")
        book = self.book
        self.handed = handed_over(read_pieces(journal, book))
        return read_account(journal, book.id, book.commission, book.history)

    def rows(self) -> Sequence[FormRow]:
        """The offer, the ways in which money moves, and the last step back."""
        missing = self.account.deposit_missing
        to_pay, asked = self.account.to_pay or Decimal(0), self._open_now()
        rows = [
            FormRow("the offer", "look at it, print it, or as a text to send", opens=self._show),
            FormRow("rates", self._rates(), opens=self._open_rates),
            self.day_row(),
            self._agreeing(),
            self._move("deposit", "deposit", shown(missing) if missing else ""),
            self._move("payment", "payment", shown(asked) if asked > 0 else ""),
            self._move("refund", "refund", shown(-to_pay) if to_pay < 0 else ""),
            *self._parts(),
        ]
        if self.account.agreed is not None:
            said = f"that the change was agreed on, {self.account.agreed.day}"
            event = self.account.agreed_event
            rows.append(FormRow("take back", said, opens=partial(self._undo, event)))
        if self.account.movements:
            last = self.account.movements[-1]
            said = f"{last.said.what} of {last.said.amount} on {last.said.day}"
            rows.append(FormRow("take back", said, opens=lambda: self._undo(last.event)))
        elif self.account.acceptance is not None and self.account.agreed is None:
            event = self.account.acceptance.event
            rows.append(
                FormRow("take back", "that it is accepted", opens=lambda: self._undo(event))
            )
        return rows

    def _agreeing(self) -> FormRow:
        """One line, so that those below keep their places: accept it, accepted, agree anew."""
        accepted, due = self.account.acceptance, self.account.due
        if accepted is None or due is None:
            said = f"{self.day_words}; it is frozen then"
            return FormRow("accept the offer", said, opens=self._ask_to_accept)
        if not self.account.is_agreed:
            said = f"the customer agrees, {self.day_words}: {shown(due.gross)}"
            return FormRow("the change", said, opens=self._agree)
        agreed = self.account.agreed
        if agreed is not None and self.account.is_changed:
            return FormRow("the change", f"is agreed on, {agreed.day}")
        return FormRow("the offer", f"is accepted, {accepted.said.day}; it is frozen")

    def _move(self, what: Move, name: str, starts: str) -> FormRow:
        way = "to go back" if what == "refund" else "to come"
        return FormRow(
            *(name, f"{starts} is {way}: ENTER writes it down" if starts else "ENTER: type it"),
            typed=lambda text: self._moved(what, text),
            asks="The amount, as 280.00.",
            starts=starts,
        )

    def _open_now(self) -> Decimal:
        """What is still to be paid of what was handed over; of all of it where nothing is open."""
        parts = sum((Decimal(part.to_pay) for part in self.owed.parts), Decimal(0))
        return parts or self.account.to_pay or Decimal(0)

    def _parts(self) -> Iterator[FormRow]:
        """What was handed over, day by day, each with its sheet."""
        told = self.owed
        for part in told.parts:
            said = part_said(part, told.currency)
            yield FormRow(f"part of {part.day}", said, opens=partial(self._open_part, told, part))

    def _open_part(self, told: AccountAnswer, part: PartDelivery) -> None:
        name = f"{self.book.name}-part-{part.day}"
        written = (
            WrittenSheet("p", "print", f"{name}.html", partial(part_html, told, part)),
            WrittenSheet("c", "invoice CSV", f"{name}.csv", partial(part_csv, told, part)),
        )
        heading = f"{self.book.commission.title}: handed over on {part.day}"
        lines = partial(part_lines, told, part)
        self.app.push_screen(SheetScreen(self.companion, heading, lines, written))

    def _tell(self) -> AccountAnswer:
        currency = self.companion.settings.work.currency
        return account_answer(
            self.book, self.account, currency, letter_now(self.companion), self.handed, BY_PAGE
        )

    def below(self) -> Sequence[str]:
        """How it stands."""
        told, now = self.owed, money_words(self.account)
        warned = [f"! {said}" for said in told.warnings]
        return [*([now] if now else []), *warned, "", *account_lines(told)[2:]]

    def written(self) -> Sequence[WrittenSheet]:
        """What is due and paid, as a sheet for the customer."""
        if self.account.acceptance is None:
            return ()
        name = f"{self.book.name}-account.html"
        return (WrittenSheet("p", "print", name, lambda: account_html(self.owed)),)

    def _moved(self, what: Move, text: str) -> None:
        amount = shown(read_amount(text, "It"))
        accepted = self.account.acceptance
        currency = self.companion.settings.work.currency
        if accepted is not None:
            currency = accepted.said.currency
        told = f"{what} of {amount} {currency}, {self.day_words}: written down."
        said = MoneyMoved(what, amount, currency, self.day_said)
        if what == "refund" and Decimal(amount) > self.account.received:
            self._refund = (said, told)
            self.choices = (REFUND,)
            came = shown(self.account.received)
            self.said = f"{amount} is more than the {came} that came in: 1 writes it down anyway"
            return
        self._write(said, told)

    def _agree(self) -> None:
        said = self.account.agreement(self.day_said)
        self._write(said, f"Agreed on, {self.day_words}: written down.")

    def _undo(self, event: str) -> None:
        """Take it back; the first line is picked, so that a second press takes no other back."""
        self._write(CommissionUndone(event), "Taken back.")
        self.picked = 0

    def _write(self, said: Payload, told: str) -> None:
        write(self.companion, self.book, (said, self.book.id, None))
        self.said = told
        self.account = self._read()
        self.owed = self._tell()
        self._want_offer()

    def _show(self) -> None:
        """Show the offer at once; what it says as soon as it is known."""
        if self._ahead.found is not None and self.account.acceptance is None:
            self._offer()

        def lines(width: int) -> Sequence[str]:
            try:
                told = self._offer_told()
            except Fault as not_yet:
                return wrap(str(not_yet), width)
            warned = [part for said in told.warnings for part in wrap(f"! {said}", width)]
            return [*warned, *customer_lines(told, width), "", *maker_lines(told, width)]

        def text() -> str:
            return "\n".join(customer_lines(self._offer_told())) + "\n"

        name = f"{self.book.name}-offer"
        written = (
            WrittenSheet("p", "print", f"{name}.html", lambda: offer_html(self._offer_told())),
            WrittenSheet("t", "a text to send", f"{name}.txt", text),
        )
        heading = f"{self.book.commission.title}: offer"
        self.app.push_screen(SheetScreen(self.companion, heading, lines, written))

    def _offer_told(self) -> OfferAnswer:
        """The offer as it was accepted, or as it is now. Raises Fault where it is not known."""
        if self.account.acceptance is not None:
            return accepted_answer(self.book, self.account.acceptance, letter_now(self.companion))
        offer, level = self._offer()
        return offer_answer(self.book, offer, level, letter_now(self.companion))

    def _rates(self) -> str:
        work = self.companion.settings.work
        if work.hourly_rate is None:
            return "say first what an hour costs; tax, deposit"
        return f"{work.hourly_rate:g} {work.currency} an hour; tax, deposit, rounding"

    def _open_rates(self) -> None:
        self.app.push_screen(RatesScreen(self.companion))

    def _ask_to_accept(self) -> None:
        if self._ahead.found is None:
            self.said, self._waits = BEING_WORKED_OUT, self._ask_to_accept
            return
        offer, _ = self._offer()
        self._asked = self._ahead.found
        sums = offer.totals
        asked = f", deposit {shown(sums.deposit)}" if sums.deposit else ""
        self.choices = (ACCEPT,)
        self.said = f"{shown(sums.gross)} {offer.currency}{asked}, {self.day_words}: 1 accepts it"

    def keep(self, choice: str | None = None) -> None:
        """Accept the offer as it was told, or write a refund down, where that was asked."""
        asked = self._asked
        if choice == REFUND and self._refund is not None:
            self._write(*self._refund)
        elif choice == ACCEPT and asked is not None and asked.offer is not None:
            said = acceptance_of(asked.offer, asked.level, self.day_said)
            self._write(said, f"Accepted, {self.day_words}.")

    def _offer(self) -> tuple[Offer, float | None]:
        """The offer, and how often its ranges hold. Raises Fault where it is not known."""
        found = self._ahead.found
        if found is None or found.offer is None:
            raise Fault(BEING_WORKED_OUT if found is None else found.wrong)
        return found.offer, found.level
