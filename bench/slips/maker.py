"""What is known of a maker: eyes, slips, seconds and patience; and how it is learned."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any, get_args

from bench.craft.colour import Vision
from bench.slips.costs import USUAL_LEFT, Costs, Kind
from bench.slips.evidence import ErrorRates
from bench.slips.mend import Regret
from bench.slips.offered_looks import Frequency
from bench.slips.priors import Priors
from bench.slips.suspect import Slip

FASTEST_S, SLOWEST_S = 0.5, 60.0
"""Answers outside are no looks: a slip of the finger, or an errand. Rule of thumb, no source."""

SLOWEST_BACK_S = 300.0
"""A cross that took longer to take back was not taken back all the time. Rule of thumb, no
source."""

LATEST = 50
"""So many latest answers to a kind of look are learned from. Rule of thumb, no source."""

_KINDS: Mapping[str, Kind] = {kind: kind for kind in get_args(Kind)}
_SLIPS: Mapping[str, Slip] = {slip: slip for slip in get_args(Slip)}


@dataclass(frozen=True)
class Maker:
    """How one maker sees, errs, works and wants to be asked."""

    vision: Vision = "full"
    priors: Priors = field(default_factory=Priors)
    costs: Costs = field(default_factory=Costs)
    error_rates: ErrorRates = field(default_factory=ErrorRates)
    regret: Regret = field(default_factory=Regret)
    frequency: Frequency = field(default_factory=Frequency)


def learned(maker: Maker, events: Iterable[tuple[str, Mapping[str, Any]]]) -> Maker:
    """The maker after mends chosen and looks answered, as kinds of events with what they hold.

    A chosen mend counts each slip that it was for; an answer counts its seconds, those of a count
    brought to a count of USUAL_LEFT; a cross taken back after another counts the `seconds` since.
    What an event does not hold as expected is passed over.
    """
    back_s: list[float] = []
    counts: dict[Slip, int] = {}
    seconds: dict[Kind, list[float]] = {}
    for kind, payload in events:
        if kind == "mend_chosen":
            for slip in _slips(payload):
                counts[slip] = counts.get(slip, 0) + 1
        elif kind == "look_answered":
            look, took = _KINDS.get(str(payload.get("kind"))), payload.get("seconds")
            if look is not None and isinstance(took, int | float) and _likely(took):
                usual = _usual(maker.costs, look, payload.get("answer"))
                seconds.setdefault(look, []).append(took * usual)
        elif kind == "taken_back":
            took = payload.get("seconds")
            if not isinstance(took, int | float) or isinstance(took, bool):
                continue
            if FASTEST_S <= took <= SLOWEST_BACK_S:
                back_s.append(took)
    costs = maker.costs.with_taking_back(back_s[-LATEST:])
    for look, took_s in seconds.items():
        costs = costs.with_looks(look, took_s[-LATEST:])
    return replace(maker, priors=maker.priors.learned(counts), costs=costs)


def _slips(payload: Mapping[str, Any]) -> Iterable[Slip]:
    slips = payload.get("slips")
    for slip in slips if isinstance(slips, list | tuple) else ():
        name = _SLIPS.get(str(slip.get("slip"))) if isinstance(slip, Mapping) else None
        if name is not None:
            yield name


def _likely(took_s: float) -> bool:
    return FASTEST_S <= took_s <= SLOWEST_S


def _usual(costs: Costs, look: Kind, answer: object) -> float:
    """What brings a count's seconds to those of the usual count; 1 for other looks."""
    if look != "left" or isinstance(answer, bool) or not isinstance(answer, int):
        return 1.0
    return costs.usual("left", USUAL_LEFT) / costs.usual("left", max(0, answer))
