"""What to do with the hours of an evening, by promised day; and whether the days hold."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import replace

from bench.answers.tonight import LotTurn, PromisedDay, TonightAnswer, TonightStep
from bench.commission.account import read_account
from bench.commission.batches import batch_gain, batches_said, loading_times
from bench.commission.book import CommissionBook
from bench.commission.overview import Overview
from bench.commission.pieces import read_pieces
from bench.commission.progress import CommissionProgress, LotProgress, waiting
from bench.commission.turns import LotAhead, Turn, in_turn, shortfalls
from bench.documents.commission import Commission
from bench.journal.clock import Instant
from bench.journal.store import Journal
from bench.pace.model import Model
from bench.pace.predictive import forecast
from bench.pace.what_fits import MOST_PIECES, PieceAhead, Schedule, what_fits


def read_tonight(
    journal: Journal,
    book: CommissionBook,
    stands_with: Callable[[Commission], Overview],
    model: Model,
    now: Instant,
    seconds: float,
    stands: int,
) -> TonightAnswer:
    """Put the lots of a commission in their turn and lay an evening of so many seconds out.

    `stands_with`: reads how the commission stands with its lots in another order. Where the
    order is accepted nothing but the sample is begun of a lot that waits for it.
    """
    samples = read_pieces(journal, book).samples
    awaited = {sample.lot.id or "": not sample.signed_off for sample in samples}
    turns = turns_of(stands_with(book.commission).progress, awaited)
    found = stands_with(in_turns_order(book.commission, turns)).progress
    account = read_account(journal, book.id, book.commission, book.history)
    waits = [lot for lot, waits in awaited.items() if waits and account.acceptance is not None]
    told = tonight_answer(found, turns, model, now, seconds, stands, waits)
    lots = {piece.name: piece.lot for piece in waiting(found, now, MOST_PIECES, waits)}
    loads = Counter(lots[step.piece] for step in told.steps if step.stage == "load")
    return replace(told, batches=tuple(_batches(journal, found, loads)))


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


def turns_of(found: CommissionProgress, samples: Mapping[str, bool]) -> tuple[Turn, ...]:
    """The lots of a commission in their turn; `samples`: whether a lot's sample is awaited."""
    return in_turn([_ahead(found, lot, samples) for lot in found.lots])


def in_turns_order(commission: Commission, turns: Sequence[Turn]) -> Commission:
    """The commission with its lots in their turn, those that are done last."""
    rank = {turn.lot.name: place for place, turn in enumerate(turns)}
    lots = sorted(commission.lots, key=lambda lot: rank.get(lot.name, len(rank)))
    return commission.model_copy(update={"lots": tuple(lots)})


def tonight_answer(
    found: CommissionProgress,
    turns: Sequence[Turn],
    model: Model,
    now: Instant,
    seconds: float,
    stands: int,
    awaited: Collection[str] = (),
) -> TonightAnswer:
    """Lay an evening out: pieces of the lots in their turn, drying used, one pair of hands.

    `found`: how the commission stands with its lots in their turn; `awaited`: ids of lots of which
    nothing but the sample is begun.
    """
    ahead = waiting(found, now, MOST_PIECES, awaited)
    fit = _fit(ahead, model, seconds, stands)
    late = {lot.work.lot.name: lot.late for lot in found.lots}
    zone = dt.timezone(dt.timedelta(minutes=now.offset_min))
    today = dt.datetime.fromtimestamp(now.wall, zone).date()
    days = shortfalls(turns, today, found.weeks.per_week)
    return TonightAnswer(
        commission=found.name,
        title=found.commission.title,
        hours=round(seconds / 3600, 2),
        stands=stands,
        steps=tuple(
            TonightStep(
                piece=step.name,
                stage=step.stage,
                start_min=round(step.start_s / 60),
                end_min=round(step.end_s / 60),
            )
            for step in fit.steps
        ),
        batches=(),
        finished=fit.finished,
        chance=None if found.is_guess else round(fit.chance, 3),
        one_more=None if found.is_guess or fit.one_more is None else round(fit.one_more, 3),
        turns=tuple(_turn(turn, None if found.is_guess else late[turn.lot.name]) for turn in turns),
        promised=tuple(
            PromisedDay(
                due=day.due.isoformat(),
                lots=day.lots,
                hours=round(day.hours, 2),
                short_h=round(day.short_h, 2),
                choices=day.choices,
            )
            for day in days
        ),
    )


def _ahead(found: CommissionProgress, lot: LotProgress, samples: Mapping[str, bool]) -> LotAhead:
    own = lot.work.lot
    return LotAhead(
        own.name,
        lot.to_make + len(lot.making),
        lot.to_come.quantile(0.5) / 3600,
        found.commission.due_of(own),
        samples.get(own.id or own.name, False),
    )


def _fit(ahead: Sequence[PieceAhead], model: Model, seconds: float, stands: int) -> Schedule:
    """What fits of the first pieces in their turn: as many as the evening could hold at most."""
    chosen: list[PieceAhead] = []
    reach = 0.0
    for piece in ahead:
        chosen.append(piece)
        reach += forecast(model, [piece.job]).quantile(0.1)
        if reach >= seconds:
            break
    if not chosen:
        return Schedule((), 1.0, None, (), 0.0)
    return what_fits(model, chosen, seconds, stands=stands)


def _turn(turn: Turn, late: float | None) -> LotTurn:
    lot = turn.lot
    return LotTurn(
        lot=lot.name,
        pieces=lot.pieces,
        hours=round(lot.hours, 2),
        due=None if lot.due is None else lot.due.isoformat(),
        sample=lot.sample,
        late=None if late is None else round(late, 3),
        why=turn.why,
    )
