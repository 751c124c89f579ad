"""The money of a commission: the offer accepted, deposits, payments and refunds as they come."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from decimal import Decimal
from functools import partial

from bench.answers.money import AccountAnswer
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
from bench.commission.pricing import NoRate, read_offer
from bench.craft.text import Fault
from bench.documents.errors import DocumentError
from bench.journal.commission_payloads import CommissionUndone, MoneyMoved, Move
from bench.journal.payload_base import Payload
from bench.pace.intervals import LEVEL
from bench.screens.lists.companion import ListsCompanion
from bench.screens.lists.dated_form import DatedForm
from bench.screens.lists.form import FormRow
from bench.screens.lists.order_ahead import by_the_page, money_words
from bench.screens.lists.rates_screen import RatesScreen
from bench.screens.lists.sheet_screen import SheetScreen
from bench.screens.lists.shop_writing import write
from bench.screens.lists.written_sheets import WrittenSheet
from bench.sheets.account import account_html, account_lines
from bench.sheets.offer import customer_lines, maker_lines, offer_html

ACCEPT = "accept it"
"""What can be chosen after it was told what is accepted."""


class MoneyScreen(DatedForm):
    """Each line writes down at once what it says; the last of it can be taken back."""

    own_help = (("ENTER", "write down what the line says"), *DatedForm.own_help)

    def __init__(self, companion: ListsCompanion, book: CommissionBook) -> None:
        super().__init__(companion)
        self.book = book
        self.heading = f"{book.commission.title}: money"
        self.account = self._read()

    def _read(self) -> Account:
        journal = self.companion.journal
        if journal is None:
            raise Fault("There is no journal to read.")
        book = self.book
        return read_account(journal, book.id, book.commission, book.history)

    def rows(self) -> Sequence[FormRow]:
        """The offer, the ways in which money moves, and the last step back."""
        missing = self.account.deposit_missing
        to_pay = self.account.to_pay or Decimal(0)
        rows = [
            FormRow("the offer", "look at it, print it, or as a text to send", opens=self._show),
            FormRow("rates", self._rates(), opens=self._open_rates),
            self.day_row(),
        ]
        if self.account.acceptance is None:
            said = f"{self.day_words}; it is frozen then"
            rows.append(FormRow("accept the offer", said, opens=self._ask_to_accept))
        rows += [
            self._move("deposit", "deposit came in", shown(missing) if missing else ""),
            self._move("payment", "payment came in", shown(to_pay) if to_pay > 0 else ""),
            self._move("refund", "money went back", ""),
        ]
        if self.account.movements:
            last = self.account.movements[-1]
            said = f"{last.said.what} of {last.said.amount} on {last.said.day}"
            rows.append(FormRow("take back", said, opens=lambda: self._undo(last.event)))
        elif self.account.acceptance is not None:
            event = self.account.acceptance.event
            rows.append(
                FormRow("take back", "that it is accepted", opens=lambda: self._undo(event))
            )
        return rows

    def _move(self, what: Move, name: str, starts: str) -> FormRow:
        return FormRow(
            *(name, starts or "–"),
            typed=lambda text: self._moved(what, text),
            asks="The amount, as 280.00.",
            starts=starts,
        )

    def _told(self) -> AccountAnswer:
        return account_answer(self.book, self.account, self.companion.settings.work.currency)

    def below(self) -> Sequence[str]:
        """How it stands."""
        told, now = self._told(), money_words(self.account)
        warned = [f"! {by_the_page(said)}" for said in told.warnings]
        return [*([now] if now else []), *warned, "", *account_lines(told)[2:]]

    def written(self) -> Sequence[WrittenSheet]:
        """What is due and paid, as a sheet for the customer."""
        if self.account.acceptance is None:
            return ()
        name = f"{self.book.name}-account.html"
        return (WrittenSheet("p", "print", name, lambda: account_html(self._told())),)

    def _moved(self, what: Move, text: str) -> None:
        amount = shown(read_amount(text, "It"))
        accepted = self.account.acceptance
        currency = self.companion.settings.work.currency
        if accepted is not None:
            currency = accepted.said.currency
        told = f"{what} of {amount} {currency}, {self.day_words}: written down."
        self._write(MoneyMoved(what, amount, currency, self.day_said), told)

    def _undo(self, event: str) -> None:
        self._write(CommissionUndone(event), "Taken back.")

    def _write(self, said: Payload, told: str) -> None:
        """Write it down; the first line is picked, so that a second press takes nothing back."""
        write(self.companion, self.book, (said, self.book.id, None))
        self.picked, self.said = 0, told
        self.account = self._read()

    def _show(self) -> None:
        if self.account.acceptance is not None:
            told = accepted_answer(self.book, self.account.acceptance)
        else:
            found, level = self._offer()
            told = offer_answer(self.book, found, level)

        def lines(width: int) -> Sequence[str]:
            return [*customer_lines(told, width), "", *maker_lines(told, width)]

        def text() -> str:
            return "\n".join(customer_lines(told)) + "\n"

        name = f"{self.book.name}-offer"
        written = (
            WrittenSheet("p", "print", f"{name}.html", partial(offer_html, told)),
            WrittenSheet("t", "a text to send", f"{name}.txt", text),
        )
        heading = f"{self.book.commission.title}: offer"
        self.app.push_screen(SheetScreen(self.companion, heading, lines, written))

    def _rates(self) -> str:
        work = self.companion.settings.work
        if work.hourly_rate is None:
            return "say first what an hour costs; tax, deposit"
        return f"{work.hourly_rate:g} {work.currency} an hour; tax, deposit, rounding"

    def _open_rates(self) -> None:
        self.app.push_screen(RatesScreen(self.companion))

    def _ask_to_accept(self) -> None:
        found, _ = self._offer()
        sums = found.totals
        asked = f", deposit {shown(sums.deposit)}" if sums.deposit else ""
        self.choices = (ACCEPT,)
        self.said = f"{shown(sums.gross)} {found.currency}{asked}, {self.day_words}: 1 accepts it"

    def keep(self, choice: str | None = None) -> None:
        """Accept the offer, where that was asked."""
        if choice == ACCEPT:
            self._accept()

    def _accept(self) -> None:
        found, level = self._offer()
        self._write(acceptance_of(found, level, self.day_said), f"Accepted, {self.day_words}.")

    def _offer(self) -> tuple[Offer, float | None]:
        """The offer as it is now, and how often its ranges hold."""
        companion = self.companion
        assert companion.journal is not None
        model = companion.pace.model
        try:
            found = read_offer(
                companion.journal, companion.library, companion.settings, self.book.commission,
                model, dt.date.today(),
            )  # fmt: skip
        except DocumentError as error:
            raise Fault(str(error)) from None
        except NoRate:
            raise Fault(
                "No hourly rate is set yet: say on the line “rates” what an hour costs."
            ) from None
        return found, None if model.is_guess else LEVEL
