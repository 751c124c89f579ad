"""The maker as the settings say, with what the journal has taught."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any, cast

from bench.documents.settings import Settings
from bench.journal.errors import JournalError
from bench.journal.events import Event
from bench.journal.payloads import TakenBack
from bench.journal.slip_payloads import LookAnswered, MendChosen, MendUndone
from bench.journal.store import Journal
from bench.slips.costs import Costs
from bench.slips.evidence import ErrorRates
from bench.slips.maker import (
    BackTook,
    HandsTook,
    Lesson,
    LookTook,
    Maker,
    SlipsMended,
    learned,
)
from bench.slips.mend import Regret
from bench.slips.offered_looks import Frequency
from bench.slips.priors import RATES, Priors


def maker_of(settings: Settings, journal: Journal | None) -> tuple[Maker, str | None]:
    """Return the maker, and what kept the journal from being read, if anything did."""
    slips = settings.slips
    usual = Maker(
        vision=slips.vision,
        priors=Priors(dict(RATES) | slips.rates),
        costs=Costs(**cast(dict[str, Any], slips.seconds)),
        error_rates=ErrorRates(
            slips.false_report, slips.false_answer, slips.false_count, slips.false_piece
        ),
        regret=Regret(slips.regret_slight_s, slips.regret_plain_s),
        frequency=Frequency(
            slips.glance, slips.glance_rows, slips.count_rows, slips.asked_at_most_s
        ),
    )
    if journal is None:
        return usual, None
    try:
        return _alone(learned(usual, _taught(journal)), journal), None
    except JournalError as error:
        return usual, str(error)


def _alone(maker: Maker, journal: Journal) -> Maker:
    """The maker as she is; with one piece in the making, no other one can lie on the stand."""
    if len(journal.pieces()) != 1:
        return maker
    rates = dict(maker.priors.rates) | {"other_piece": 0.0}
    return replace(maker, priors=replace(maker.priors, rates=rates))


def _taught(journal: Journal) -> Iterator[Lesson]:
    """What the journal teaches, in no order.

    Where crosses were taken back for a mend, the work by hand came after it was recorded: its
    seconds teach nothing.
    """
    undone = _undone(journal)
    for event, mend in journal.each(MendChosen):
        if event.uuid not in undone:
            yield SlipsMended(tuple(slip.slip for slip in mend.slips))
            if mend.hands is not None and mend.back_to is None:
                yield HandsTook(mend.hands.work, mend.hands.usual_s, mend.hands.took_s)
    for _, said in journal.each(LookAnswered):
        if said.seconds is not None:
            yield LookTook(said.look, said.seconds, said.answer)
    last: tuple[Event, TakenBack] | None = None
    for event, back in journal.each(TakenBack):
        if last is not None and last[0].piece == event.piece:
            one, two = last[0].instant, event.instant
            if one.boot == two.boot and last[1].to == back.from_:
                yield BackTook(two.mono - one.mono)
        last = event, back


def _undone(journal: Journal) -> set[str]:
    """The ids of the mends that were chosen and then said not to be done."""
    chosen = {
        (event.piece, event.bench, event.number): event.uuid
        for event, _ in journal.each(MendChosen)
    }
    return {
        chosen[max(before)]
        for undo, _ in journal.each(MendUndone)
        if (
            before := [
                at for at in chosen if at[:2] == (undo.piece, undo.bench) and at[2] < undo.number
            ]
        )
    }
