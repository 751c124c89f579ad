"""The maker as the settings say, with what the journal has taught."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, cast

from bench.documents.settings import Settings
from bench.journal.errors import JournalError
from bench.journal.events import Event
from bench.journal.store import Journal
from bench.slips.costs import Costs
from bench.slips.evidence import ErrorRates
from bench.slips.maker import Maker, learned
from bench.slips.mend import Regret
from bench.slips.offered_looks import Frequency
from bench.slips.priors import RATES, Priors

TEACHING = ("mend_chosen", "look_answered")
"""Kinds of events from which slips and looks are learned."""


def maker_of(settings: Settings, journal: Journal | None) -> tuple[Maker, str | None]:
    """Return the maker, and what kept the journal from being read, if anything did."""
    slips = settings.slips
    usual = Maker(
        vision=slips.vision,
        priors=Priors(dict(RATES) | slips.rates),
        costs=Costs(**cast(dict[str, Any], slips.seconds)),
        error_rates=ErrorRates(slips.false_report, slips.false_answer),
        regret=Regret(slips.regret_slight_s, slips.regret_plain_s),
        frequency=Frequency(
            slips.glance, slips.glance_rows, slips.count_rows, slips.asked_at_most_s
        ),
    )
    if journal is None:
        return usual, None
    try:
        return learned(usual, _taught(journal)), None
    except JournalError as error:
        return usual, str(error)


def _taught(journal: Journal) -> Iterator[tuple[str, Mapping[str, Any]]]:
    undone = _undone(journal)
    for kind in TEACHING:
        for event in journal.events(kind=kind):
            if event.uuid not in undone:
                yield kind, event.payload
    last: Event | None = None
    for event in journal.events(kind="taken_back"):
        if last is not None and last.piece == event.piece:
            one, two = last.moment, event.moment
            if one.boot == two.boot and last.payload["to"] == event.payload["from"]:
                yield "taken_back", {"seconds": two.mono - one.mono}
        last = event


def _undone(journal: Journal) -> set[str]:
    """The ids of the mends that were chosen and then said not to be done."""
    chosen = {
        (event.piece, event.bench, event.number): event.uuid
        for event in journal.events(kind="mend_chosen")
    }
    return {
        chosen[max(before)]
        for undo in journal.events(kind="mend_undone")
        if (
            before := [
                at for at in chosen if at[:2] == (undo.piece, undo.bench) and at[2] < undo.number
            ]
        )
    }
