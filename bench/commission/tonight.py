"""What to do with the hours of an evening, by promised day; and whether the days hold."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence

from bench.answers.tonight import LotTurn, OtherHours, PromisedDay, TonightAnswer, TonightStep
from bench.commission.account import read_account
from bench.commission.batches import batch_gain, batches_said, loading_times
from bench.commission.book import CommissionBook
from bench.commission.evening_reasons import why_before_its_turn, why_left_over, why_nothing
from bench.commission.on_the_stand import on_stand_beside
from bench.commission.other_orders import OtherOrder
from bench.commission.overview import Overview
from bench.commission.pieces_ahead import lots_ahead, pieces_in_turn, told_apart
from bench.commission.place_turns import places_by_name
from bench.commission.progress import CommissionProgress
from bench.commission.turns import LotAhead, Shortfall, Turn, comes_next, in_turn, shortfalls
from bench.craft.cautions import REST
from bench.journal.clock import Instant
from bench.journal.store import Journal
from bench.pace.evening_plan import PieceAhead
from bench.pace.model import Model
from bench.pace.predictive import by_stage
from bench.pace.what_fits import MOST_PIECES, Schedule, what_fits
from bench.pace.work_ahead import works_ahead

LONG_S = 3600.0
"""From so many seconds of work on it is told to rest."""
FEW_S = 600.0
"""So few seconds left over are not worth a word; no source."""


def read_tonight(
    journal: Journal,
    book: CommissionBook,
    found: Overview,
    model: Model,
    now: Instant,
    seconds: float,
    stands: int,
) -> TonightAnswer:
    """Put the lots of a commission in their turn and lay an evening of so many seconds out.

    Where the order is accepted nothing but the sample is begun of a lot that waits for it. What
    lies on a stand beside it comes first, for it takes the stand.
    """
    stands_now = found.progress
    off = book.cancelled
    own = () if off is not None else lots_ahead(stands_now, found.awaited.to_make)
    lots = [*(lot for order in found.others for lot in _lots_of(order, model)), *own]
    turns = in_turn(own)
    account = read_account(journal, book.id, book.commission, book.history)
    held = found.awaited.unsigned if account.acceptance is not None else frozenset()
    places = places_by_name(journal, book)
    ahead = pieces_in_turn(
        stands_now, turns, now, MOST_PIECES, held, found.awaited.to_begin, places
    )
    if turns:
        known = {making.state.uuid for lot in stands_now.lots for making in lot.making}
        titles = {order.name: order.title for order in found.others}
        titles[book.name] = "a lot taken out"
        ahead = told_apart([*ahead, *on_stand_beside(journal, known, titles, now)])
    fit = _fit(ahead, model, seconds, stands)
    lot_of = {piece.name: piece.lot for piece in ahead}
    loads = Counter(lot_of[step.name] for step in fit.steps if step.stage == "load")
    today = now.day
    is_guess = stands_now.is_guess
    late = {lot.work.lot.name: lot.late for lot in stands_now.lots}
    held_names = {lot.work.lot.name for lot in stands_now.lots if lot.work.id in held}
    rest = (turn.lot.name for turn in turns if not turn.sample)
    waits = [name for name in rest if name in held_names]
    nothing = "" if off is None else f"cancelled since {off.words}: nothing of it is to be made"
    if turns and not fit.steps:
        nothing = why_nothing(ahead, model, seconds, waits)
    return TonightAnswer(
        commission=stands_now.name,
        title=book.heading,
        hours=round(seconds / 3600, 2),
        stands=stands,
        steps=tuple(_steps(fit, ahead)),
        nothing=nothing,
        left_over=_left_over(fit, ahead, seconds, waits),
        by_place=bool(places),
        batches=tuple(_batches(journal, stands_now, loads)),
        finished=fit.finished,
        chance=None if is_guess else round(fit.chance, 3),
        one_more=None if is_guess or fit.one_more is None else round(fit.one_more, 3),
        out_of_turn=_out_of_turn(fit, ahead, model, seconds, stands),
        next_order=comes_next(lots),
        turns=tuple(
            _turn(turn, None if is_guess or turn.sample else late[turn.lot.name],
                  waits=turn.lot.name in waits and not turn.sample)
            for turn in turns
        ),
        cautions=(REST,) if fit.end_s >= LONG_S else (),
        promised=tuple(map(_day, shortfalls(lots, today, stands_now.weeks.per_week))),
    )  # fmt: skip


def _batches(
    journal: Journal, found: CommissionProgress, loads: Mapping[str, int]
) -> Iterator[str]:
    """Which sets to load in one batch, by the times of all the commission's pieces.

    `loads`: how many sets of each lot are loaded tonight.
    """
    tags = {state.uuid: state.batch for state in journal.pieces(open_only=False)}
    pieces = [times for lot in found.lots for times in (*lot.good, *lot.spoilt)]
    beads = {lot.work.lot.name: lot.work.work.units("load") for lot in found.lots}
    yield from batches_said(loads, beads, batch_gain(*loading_times(pieces, tags)))


def _steps(fit: Schedule, ahead: Sequence[PieceAhead]) -> Iterator[TonightStep]:
    for step, why in zip(fit.steps, why_before_its_turn(fit.steps, ahead), strict=True):
        part = step.part
        yield TonightStep(
            piece=step.name,
            stage=step.stage,
            start_min=round(step.start_s / 60),
            end_min=round(step.end_s / 60),
            units=None if part is None else part.units,
            left=None if part is None else part.left,
            whole=None if part is None else part.whole,
            why=why,
        )


def _left_over(
    fit: Schedule, ahead: Sequence[PieceAhead], seconds: float, waits: Sequence[str]
) -> str:
    left_s = seconds - fit.end_s
    if not fit.steps or left_s < FEW_S:
        return ""
    return why_left_over(fit.steps, ahead, left_s, waits)


def _day(day: Shortfall) -> PromisedDay:
    return PromisedDay(
        due=day.due.isoformat(),
        lots=day.lots,
        hours=round(day.hours, 2),
        others=tuple(OtherHours(order=order, hours=round(h, 2)) for order, h in day.others),
        short_h=round(day.short_h, 2),
        choices=day.choices,
    )


def _lots_of(order: OtherOrder, model: Model) -> Iterator[LotAhead]:
    """The lots of another order, with their hours."""
    for name, lot in order.lots:
        (to_come,) = works_ahead(model, lot.jobs, [(0, len(lot.jobs))])
        hours = to_come.quantile(0.5) / 3600
        yield LotAhead(name, len(lot.jobs), hours, lot.due, order=order.title)


def _fit(ahead: Sequence[PieceAhead], model: Model, seconds: float, stands: int) -> Schedule:
    if not ahead:
        return Schedule((), 1.0, None, (), 0.0)
    return what_fits(model, ahead, seconds, stands=stands)


def _out_of_turn(
    fit: Schedule, ahead: Sequence[PieceAhead], model: Model, seconds: float, stands: int
) -> tuple[str, ...]:
    """What would be finished if the quickest came first, whoever's turn it is; if that is more."""
    if len({piece.lot for piece in ahead}) < 2:
        return ()
    effort = {
        job: sum(said.quantile(0.5) for said in by_stage(model, job).values())
        for job in {piece.job for piece in ahead}
    }
    quick = sorted(ahead, key=lambda piece: effort[piece.job])
    found = _fit(quick, model, seconds, stands).finished
    return found if len(found) > len(fit.finished) else ()


def _turn(turn: Turn, late: float | None, *, waits: bool) -> LotTurn:
    lot = turn.lot
    return LotTurn(
        lot=lot.name,
        pieces=turn.pieces,
        hours=round(turn.hours, 2),
        due=None if lot.due is None else lot.due.isoformat(),
        sample=turn.sample,
        waits=waits,
        late=None if late is None else round(late, 3),
        why=turn.why,
    )
