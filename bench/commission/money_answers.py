"""The answers about money, from an offer, what was accepted, or an account."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from bench.answers.forecast import HoursInterval
from bench.answers.money import (
    AccountAnswer,
    AccountLine,
    CostRange,
    MoneyLine,
    OfferAnswer,
    OfferLine,
)
from bench.commission.account import Acceptance, Account
from bench.commission.book import CommissionBook
from bench.commission.money import shown
from bench.commission.offer import Offer, OfferedLot, Range, totals
from bench.journal.commission_payloads import AgreedLot, OfferAccepted
from bench.pace.intervals import Interval


def offer_answer(book: CommissionBook, found: Offer, level: float | None) -> OfferAnswer:
    """Tell an offer that is open."""
    totals_ = found.totals
    return OfferAnswer(
        commission=book.name,
        title=book.commission.title,
        whom=book.commission.whom,
        note=book.commission.terms.note,
        currency=found.currency,
        lots=tuple(_line(lot, level) for lot in found.lots),
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


def accepted_answer(book: CommissionBook, accepted: Acceptance) -> OfferAnswer:
    """Tell an offer as it was accepted."""
    said = accepted.said
    lots = tuple(
        OfferLine(
            lot=lot.lot,
            name=lot.name,
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


def account_answer(book: CommissionBook, found: Account, currency: str) -> AccountAnswer:
    """Tell how a commission stands in money."""
    said = None if found.acceptance is None else found.acceptance.said
    offered = None if found.acceptance is None else accepted_answer(book, found.acceptance).gross
    return AccountAnswer(
        commission=book.name,
        title=book.commission.title,
        whom=book.commission.whom,
        currency=currency if said is None else said.currency,
        accepted=None if said is None else said.day,
        offered=offered,
        lines=tuple(
            AccountLine(
                lot=line.lot,
                name=line.name,
                pieces=line.pieces,
                charged=line.charged,
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
        to_stock=sum(one.stock for one in book.history.settled(book.commission).values()),
        file=None,
        waits=False,
        warnings=(*_warnings(found), *_agreed_anew(book, found)),
    )


def besides_of(account: Account) -> tuple[tuple[str, str], ...]:
    """What is due beside the lots by the accepted offer: only what there is of it."""
    if account.acceptance is None or account.due is None:
        return ()
    said, (design, notions) = account.acceptance.said, account.besides
    amounts = (
        ("design", design),
        ("boxes, findings, post", notions),
        ("discount", -account.due.discount),
        (f"{said.tax_name} {said.tax_percent} %", account.due.tax),
    )
    return tuple((what, shown(amount)) for what, amount in amounts if amount)


def _agreed_anew(book: CommissionBook, found: Account) -> Iterator[str]:
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
            " agree anew take the acceptance back (`account COMMISSION --undo accepted`)"
        )


def _warnings(found: Account) -> list[str]:
    said = [
        f"lot '{name}' came after the offer and has no price: it is not in what is due; give it"
        " one (`commission NAME --lot LOT --price AMOUNT`)"
        for name in found.unpriced
    ]
    if found.received < 0:
        said.append("more money went back than came in: is an amount wrong, or one missing?")
    offered = found.acceptance
    if found.cancelled is not None:
        due = "due is what is charged of it; what of a deposit goes back is as you have agreed"
        return [f"cancelled on {found.cancelled.words}: {due}", *said]
    changed = any(line.change for line in found.lines)
    if offered is not None and changed:
        said.append(
            "the order is another one than was accepted: the new sum has to be agreed on with the"
            " customer (`account COMMISSION --html FILE` is a sheet for that)"
        )
    if found.others:
        said.append("offers were accepted at two benches; the first counts, take the other back")
    return said


def _line(lot: OfferedLot, level: float | None) -> OfferLine:
    return OfferLine(
        lot=lot.lot.id or "",
        name=lot.lot.name,
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
