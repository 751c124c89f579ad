"""The answers about money, from an offer, what was accepted, or an account."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from bench.answers.forecast import HoursInterval
from bench.answers.money import (
    AccountAnswer,
    AccountLine,
    CostRange,
    DeliveredLine,
    Letter,
    MoneyLine,
    OfferAnswer,
    OfferLine,
    PartDelivery,
)
from bench.commission.account import Acceptance, Account
from bench.commission.book import CommissionBook
from bench.commission.money import shown
from bench.commission.offer import Offer, OfferedLot, Range, totals
from bench.commission.part_deliveries import Handed, parts_of
from bench.craft.text import Fault
from bench.craft.words import full_name
from bench.documents.errors import DocumentError
from bench.documents.library import Library
from bench.documents.settings import ShopSettings
from bench.journal.commission_payloads import AgreedLot, OfferAccepted
from bench.pace.intervals import Interval


def offer_answer(
    book: CommissionBook, found: Offer, level: float | None, letter: Letter
) -> OfferAnswer:
    """Tell an offer that is open."""
    totals_, kinds = found.totals, kinds_of(book)
    return OfferAnswer(
        commission=book.name,
        title=book.commission.title,
        whom=book.commission.whom,
        letter=letter,
        note=book.commission.terms.note,
        currency=found.currency,
        lots=tuple(_line(lot, level, kinds) for lot in found.lots),
        design=shown(found.design),
        notions=shown(found.notions),
        discount=shown(totals_.discount),
        net=shown(totals_.net),
        tax_name=found.tax_name,
        tax_percent=_percent(found.tax_percent),
        tax=shown(totals_.tax),
        gross=shown(totals_.gross),
        deposit=shown(totals_.deposit),
        due=None if found.due is None else found.due.isoformat(),
        holds_until=found.holds_until.isoformat(),
        hours=_hours(found.hours, level),
        cost=_cost(found.cost),
        unpriced=found.unpriced,
        accepted=None,
        file=None,
        waits=False,
        warnings=tuple(_left_out(found)),
    )


def _left_out(found: Offer) -> Iterator[str]:
    """Say what the prices that were worked out leave out."""
    for lot in found.lots:
        if lot.unpriced and not lot.agreed:
            yield (
                f"the price of {lot.lot.name} leaves out what has no price in your stock:"
                f" {', '.join(lot.unpriced)}"
            )


def acceptance_of(found: Offer, level: float | None, day: str) -> OfferAccepted:
    """What is frozen of an offer when it is accepted."""
    hours = found.hours
    priced = [lot.materials for lot in found.lots if lot.materials is not None]
    return OfferAccepted(
        day=day,
        currency=found.currency,
        lots=tuple(
            AgreedLot(lot.lot.id or "", lot.lot.name, lot.lot.pieces, shown(lot.each))
            for lot in found.lots
        ),
        design=shown(found.design),
        notions=shown(found.notions),
        discount_percent=_percent(found.discount_percent),
        tax_name=found.tax_name,
        tax_percent=_percent(found.tax_percent),
        deposit=shown(found.totals.deposit),
        hours_low=hours.low_s / 3600,
        hours_median=hours.median_s / 3600,
        hours_high=hours.high_s / 3600,
        level=level,
        materials=shown(sum(priced, Decimal(0))) if priced else None,
        due=None if found.due is None else found.due.isoformat(),
    )


def accepted_answer(book: CommissionBook, accepted: Acceptance, letter: Letter) -> OfferAnswer:
    """Tell an offer as it was accepted."""
    said, kinds = accepted.said, kinds_of(book)
    lots = tuple(
        OfferLine(
            lot=lot.lot,
            name=lot.name,
            kind=kinds.get(lot.lot, ""),
            pieces=lot.pieces,
            each=lot.each,
            price=shown(Decimal(lot.each) * lot.pieces),
            agreed=True,
            hours=None,
            materials=None,
            cost=None,
        )
        for lot in said.lots
    )
    lines = sum((Decimal(lot.price) for lot in lots), Decimal(said.design) + Decimal(said.notions))
    sums = totals(lines, Decimal(said.discount_percent), Decimal(said.tax_percent), Decimal(0))
    return OfferAnswer(
        commission=book.name,
        title=book.commission.title,
        whom=book.commission.whom,
        letter=letter,
        note=book.commission.terms.note,
        currency=said.currency,
        lots=lots,
        design=said.design,
        notions=said.notions,
        discount=shown(sums.discount),
        net=shown(sums.net),
        tax_name=said.tax_name,
        tax_percent=said.tax_percent,
        tax=shown(sums.tax),
        gross=shown(sums.gross),
        deposit=said.deposit,
        due=said.due,
        holds_until=None,
        hours=HoursInterval(
            level=said.level,
            low_h=round(said.hours_low, 2),
            median_h=round(said.hours_median, 2),
            high_h=round(said.hours_high, 2),
        ),
        cost=None,
        unpriced=(),
        accepted=said.day,
        file=None,
        waits=False,
    )


def letter_of(shop: ShopSettings, today: dt.date) -> Letter:
    """Who writes, and on which day."""
    return Letter(maker=shop.maker, day=today.isoformat())


def kinds_of(book: CommissionBook) -> dict[str, str]:
    """What each lot is by its id, as a customer reads it: title of its pattern, size, colourway."""
    titles = {lot.pattern: _title(book.library, lot.pattern) for lot in book.commission.lots}
    return {
        lot.id or "": full_name(titles[lot.pattern], lot.size, lot.colourway)
        for lot in book.commission.lots
    }


def _title(library: Library | None, pattern: str) -> str:
    """The title of a pattern; its name where that cannot be read."""
    if library is None:
        return pattern
    try:
        return library.plan(library.pattern_path(pattern)).pattern.title
    except (DocumentError, Fault):
        return pattern


@dataclass(frozen=True)
class Ways:
    """How a maker gets to what a warning speaks of, as a clause: by a command, or by a page."""

    undo_acceptance: str = "`account COMMISSION --undo accepted`"
    lot_price: str = "`commission NAME --lot LOT --price AMOUNT`"
    sheet: str = "`account COMMISSION --html FILE` is a sheet for that, `--agreed` keeps that it is"


def account_answer(
    book: CommissionBook,
    found: Account,
    currency: str,
    letter: Letter,
    handed: Sequence[Handed] = (),
    ways: Ways = Ways(),
) -> AccountAnswer:
    """Tell how a commission stands in money; `handed`: the pieces that were handed over."""
    said, kinds = None if found.acceptance is None else found.acceptance.said, kinds_of(book)
    return AccountAnswer(
        commission=book.name,
        title=book.commission.title,
        whom=book.commission.whom,
        letter=letter,
        currency=currency if said is None else said.currency,
        accepted=None if said is None else said.day,
        offered=None if said is None else shown(found.offered),
        changed=found.is_changed,
        agreed=found.agreed.day if found.agreed is not None and found.is_agreed else None,
        ready=found.day,
        offered_ready=None if said is None else said.due,
        lines=tuple(
            AccountLine(
                lot=line.lot,
                name=line.name,
                kind=kinds.get(line.lot, ""),
                pieces=line.pieces,
                charged=line.charged,
                offered=line.offered,
                each=shown(line.each),
                price=shown(line.price),
                change=shown(line.change),
            )
            for line in found.lines
        ),
        besides=besides_of(found),
        due=None if found.due is None else shown(found.due.gross),
        tax=None if found.due is None else shown(found.due.tax),
        received=shown(found.received),
        to_pay=None if found.to_pay is None else shown(found.to_pay),
        deposit=None if said is None else said.deposit,
        deposit_missing=shown(found.deposit_missing),
        movements=tuple(
            MoneyLine(
                event=moved.event,
                day=moved.said.day,
                what=moved.said.what,
                amount=shown(moved.amount),
                note=moved.said.note,
            )
            for moved in found.movements
        ),
        parts=tuple(_parts(book, found, handed)),
        day=None,
        to_stock=sum(one.stock for one in book.history.settled(book.commission).values()),
        file=None,
        waits=False,
        warnings=(*_warnings(found, ways), *_agreed_anew(book, found, ways)),
    )


def besides_of(account: Account) -> tuple[tuple[str, str], ...]:
    """What is due beside the lots by the accepted offer: only what there is of it."""
    if account.acceptance is None or account.due is None:
        return ()
    due = account.due
    return _besides(account.acceptance.said, *account.besides, due.discount, due.tax)


def _besides(
    said: OfferAccepted, design: Decimal, notions: Decimal, discount: Decimal, tax: Decimal
) -> tuple[tuple[str, str], ...]:
    amounts = (
        ("design", design),
        ("boxes, findings, post", notions),
        ("discount", -discount),
        (f"{said.tax_name} {said.tax_percent} %", tax),
    )
    return tuple((what, shown(amount)) for what, amount in amounts if amount)


def _parts(
    book: CommissionBook, found: Account, handed: Sequence[Handed]
) -> Iterator[PartDelivery]:
    now = {lot.id or "": lot.name for lot in book.commission.lots}
    names = {**book.history.lot_names, **now}
    kinds = kinds_of(book)
    for part in parts_of(found, handed, names):
        assert found.acceptance is not None
        said = found.acceptance.said
        yield PartDelivery(
            day=part.day,
            lines=tuple(
                DeliveredLine(
                    lot=line.lot,
                    name=line.name,
                    kind=kinds.get(line.lot, ""),
                    pieces=line.pieces,
                    numbers=line.numbers,
                    charged=line.charged,
                    each=None if line.each is None else shown(line.each),
                    price=shown(line.price),
                )
                for line in part.lines
            ),
            besides=_besides(said, part.design, part.notions, part.discount, part.tax),
            due=shown(part.due),
            tax=shown(part.tax),
            paid=shown(part.paid),
            to_pay=shown(part.to_pay),
            to_come=shown(part.to_come),
        )


def part_of_day(answer: AccountAnswer, day: str) -> PartDelivery:
    """What was handed over on a day. Raises Fault if nothing was, or no offer is accepted."""
    if answer.accepted is None:
        raise Fault("no offer is accepted yet: nothing is due for what was handed over")
    for part in answer.parts:
        if part.day == day:
            return part
    days = ", ".join(part.day for part in answer.parts) or "nothing yet"
    raise Fault(f"nothing was handed over on {day}; there is: {days}")


def _agreed_anew(book: CommissionBook, found: Account, ways: Ways) -> Iterator[str]:
    """Say that prices or terms were changed since the offer was accepted, and count for nothing."""
    if found.acceptance is None:
        return
    said, terms = found.acceptance.said, book.commission.terms
    each = {line.lot: line.each for line in found.lines}
    priced = [lot for lot in book.commission.lots if lot.price is not None]
    changed = any(each.get(lot.id or "", lot.price) != lot.price for lot in priced)
    changed = changed or Decimal(said.notions) != terms.notions
    if changed or Decimal(said.discount_percent) != terms.discount_percent:
        yield (
            "prices or terms were changed after the offer was accepted: the accepted ones hold; to"
            f" agree anew take the acceptance back ({ways.undo_acceptance})"
        )


def _warnings(found: Account, ways: Ways) -> list[str]:
    said = [
        f"lot '{name}' came after the offer and has no price: it is not in what is due; give it"
        f" one ({ways.lot_price})"
        for name in found.unpriced
    ]
    for moved in found.foreign:
        said.append(
            f"{moved.said.what} of {moved.said.amount} {moved.said.currency} on {moved.said.day} is"
            " in another currency than the order: it is not counted; take it back, write it anew"
        )
    if found.received < 0:
        said.append("more money went back than came in: is an amount wrong, or one missing?")
    offered = found.acceptance
    if found.cancelled is not None:
        due = "due is what is charged of it; what of a deposit goes back is as you have agreed"
        return [f"cancelled on {found.cancelled.words}: {due}", *said]
    if offered is not None and not found.is_agreed:
        said.append(
            "the order is another one than was accepted: it has to be agreed on with the customer"
            f" ({ways.sheet})"
        )
    if found.others:
        said.append("offers were accepted at two benches; the first counts, take the other back")
    return said


def _line(lot: OfferedLot, level: float | None, kinds: Mapping[str, str]) -> OfferLine:
    return OfferLine(
        lot=lot.lot.id or "",
        name=lot.lot.name,
        kind=kinds.get(lot.lot.id or "", ""),
        pieces=lot.lot.pieces,
        each=shown(lot.each),
        price=shown(lot.price),
        agreed=lot.agreed,
        hours=_hours(lot.hours, level),
        materials=None if lot.materials is None else shown(lot.materials),
        cost=_cost(lot.cost),
    )


def _hours(said: Interval, level: float | None) -> HoursInterval:
    return HoursInterval(
        level=level,
        low_h=round(said.low_s / 3600, 2),
        median_h=round(said.median_s / 3600, 2),
        high_h=round(said.high_s / 3600, 2),
    )


def _cost(found: Range | None) -> CostRange | None:
    if found is None:
        return None
    return CostRange(low=f"{found.low:.2f}", median=f"{found.median:.2f}", high=f"{found.high:.2f}")


def _percent(value: Decimal) -> str:
    return f"{value.normalize():f}"
