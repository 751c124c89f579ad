"""The closing sheet as an answer: hours and materials used, offer against fact, invoice figures."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from decimal import Decimal

from bench.answers.closing import ClosingAnswer, ClosingLot, InvoiceLine
from bench.commission.account import Account
from bench.commission.book import CommissionBook
from bench.commission.closing import closing, mean_s
from bench.commission.finished_stock import StockPiece, brought, given_by
from bench.commission.money import decimal_of, rounded, shown
from bench.commission.money_answers import besides_of
from bench.commission.offer import Offer, Totals
from bench.commission.overview import Overview
from bench.commission.part_deliveries import handed_over
from bench.commission.pieces import CommissionPieces
from bench.commission.progress import LotProgress
from bench.journal.clock import iso_day


def closing_answer(
    book: CommissionBook,
    found: Overview,
    account: Account,
    following: Offer | None,
    stock: Sequence[StockPiece],
    pieces: CommissionPieces,
) -> ClosingAnswer:
    """Hold what a commission took against what was offered.

    `following`: the same commission offered today, None without an hourly rate. `stock`: the
    finished stock. `pieces`: the order's, as they were handed over.
    """
    stands, gone = found.progress, given_by(stock, book.id)
    total = closing(stands)
    hours = stands.done_s / 3600
    accepted = None if account.acceptance is None else account.acceptance.said
    used, planned = _amount(found.used.amount), _amount(stands.materials)
    materials = used if found.used.is_whole else planned
    earned = None
    if account.due is not None and hours > 0 and stands.done and not stands.untimed:
        earned = earned_per_hour(account.due, materials, hours)
    currency = "" if following is None else following.currency
    return ClosingAnswer(
        commission=book.name,
        title=book.commission.title,
        done=stands.done,
        stages={stage: round(seconds / 3600, 2) for stage, seconds in total.stages.items()},
        rework_h=round(total.rework_s / 3600, 2),
        whole_h=round(total.whole_s / 3600, 2),
        hours=round(hours, 2),
        untimed=stands.untimed,
        offered_h=None if accepted is None else round(accepted.hours_median, 2),
        timed=total.timed,
        each_h=None if total.each_s is None else round(total.each_s / 3600, 2),
        used=None if used is None else shown(used),
        used_unpriced=found.used.unpriced,
        drawn=found.used.drawn,
        begun=found.used.begun,
        planned=None if planned is None else shown(planned),
        planned_unpriced=() if found.materials is None else found.materials.unpriced,
        offered_materials=None if accepted is None else accepted.materials,
        due=None if account.due is None else shown(account.due.gross),
        tax=None if account.due is None else shown(account.due.tax),
        received=shown(account.received),
        to_pay=None if account.to_pay is None else shown(account.to_pay),
        earned_per_hour=None if earned is None else shown(earned),
        currency=currency if accepted is None else accepted.currency,
        lots=tuple(_lot(book, lot, pieces) for lot in stands.lots),
        invoice=tuple(_invoice(account)),
        to_stock=len(gone),
        stock_brought=brought(gone),
        next_hours=0.0 if following is None else round(following.hours.median_s / 3600, 2),
        next_cost=None
        if following is None or following.cost is None
        else f"{following.cost.median:.2f}",
        next_unpriced=() if following is None else following.unpriced,
        file=None,
    )


def earned_per_hour(due: Totals, materials: Decimal | None, hours: float) -> Decimal:
    """What an hour has brought: what is due before tax, less the materials."""
    return rounded((due.net - (materials or Decimal(0))) / decimal_of(hours))


def _amount(cost: float | None) -> Decimal | None:
    return None if cost is None else rounded(decimal_of(cost))


def _lot(book: CommissionBook, lot: LotProgress, pieces: CommissionPieces) -> ClosingLot:
    each_s, timed = mean_s(lot.good)
    ends = [times.finished_at for times in lot.good if times.finished_at]
    own = lot.work.lot
    due = book.commission.due_of(own)
    out = sorted(day for day, key, _ in handed_over(pieces) if key == own.id)
    late = None
    if due is not None and out and len(out) >= pieces.promised(own):
        late = _days_after(out[-1], due)
    return ClosingLot(
        lot=lot.work.lot.name,
        pieces=lot.work.lot.pieces,
        good=len(lot.good),
        seconds=sum(times.status == "second" for times in lot.spoilt),
        spoilt=sum(times.status != "second" for times in lot.spoilt),
        hours=round(lot.done_s / 3600, 2),
        each_h=None if each_s is None else round(each_s / 3600, 2),
        timed=timed,
        due=None if due is None else due.isoformat(),
        last_finished=iso_day(max(ends)) if ends else None,
        handed_over=len(out),
        first_out=out[0] if out else None,
        last_out=out[-1] if out else None,
        late_days=late,
    )


def _days_after(day: str, due: dt.date) -> int | None:
    """By how many days a day comes after another one; None for what is no day."""
    try:
        return (dt.date.fromisoformat(day) - due).days
    except ValueError:
        return None


def _invoice(account: Account) -> Iterator[InvoiceLine]:
    """What the invoice has: lots at their price, what was agreed beside them, discount and tax."""
    if account.acceptance is None or account.due is None:
        return
    for line in account.lines:
        count = line.pieces + line.charged
        if count:
            yield InvoiceLine(
                what=line.name, count=count, each=shown(line.each), amount=shown(line.price)
            )
    for what, amount in besides_of(account):
        yield InvoiceLine(what=what, count=1, each=amount, amount=amount)
