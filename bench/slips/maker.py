"""What is known of a maker: eyes, slips, seconds and patience; and how it is learned."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import get_args

from bench.craft.colour import Vision
from bench.slips.costs import USUAL_LEFT, Costs, HandWork, Kind
from bench.slips.evidence import ErrorRates
from bench.slips.looks import Answer
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

FARTHEST_OFF = 10.0
"""Work by hand that took so many times the usual seconds, or so small a part of them, is left out:
it was not done, or not at once. Rule of thumb, no source."""

_WORK: Mapping[str, HandWork] = {work: work for work in get_args(HandWork)}
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


@dataclass(frozen=True, slots=True)
class SlipsMended:
    """A mend was chosen for slips of these kinds."""

    slips: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class LookTook:
    """A look of a kind was answered, so many seconds after it was asked."""

    kind: Kind
    seconds: float
    answer: Answer = None


@dataclass(frozen=True, slots=True)
class BackTook:
    """A cross was taken back, so many seconds after the one before."""

    seconds: float


@dataclass(frozen=True, slots=True)
class HandsTook:
    """Work by hand took so many seconds, where it usually takes usual_s."""

    work: str
    usual_s: float
    seconds: float


Lesson = SlipsMended | LookTook | BackTook | HandsTook
"""What teaches something of the maker."""


def learned(maker: Maker, lessons: Iterable[Lesson]) -> Maker:
    """The maker after these, in their order.

    Each slip mended counts; an answer counts its seconds, those of a count brought to a count of
    USUAL_LEFT. Seconds that no such work takes are passed over.
    """
    back_s: list[float] = []
    counts: dict[Slip, int] = {}
    looks_s: dict[Kind, list[float]] = {}
    ratios: dict[HandWork, list[float]] = {}
    for lesson in lessons:
        match lesson:
            case SlipsMended(slips):
                for slip in (_SLIPS[name] for name in slips if name in _SLIPS):
                    counts[slip] = counts.get(slip, 0) + 1
            case LookTook(kind, seconds, answer) if FASTEST_S <= seconds <= SLOWEST_S:
                took = seconds * _usual(maker.costs, kind, answer)
                looks_s.setdefault(kind, []).append(took)
            case BackTook(seconds) if FASTEST_S <= seconds <= SLOWEST_BACK_S:
                back_s.append(seconds)
            case HandsTook(work, usual_s, seconds) if work in _WORK and usual_s > 0:
                if 1 / FARTHEST_OFF <= seconds / usual_s <= FARTHEST_OFF:
                    ratios.setdefault(_WORK[work], []).append(seconds / usual_s)
    costs = maker.costs.with_taking_back(back_s[-LATEST:])
    for look, took_s in looks_s.items():
        costs = costs.with_looks(look, took_s[-LATEST:])
    for hand_work, found in ratios.items():
        costs = costs.with_hands(hand_work, found[-LATEST:])
    return replace(maker, priors=maker.priors.learned(counts), costs=costs)


def _usual(costs: Costs, look: Kind, answer: Answer) -> float:
    """What brings the seconds of counting or reading off to the usual length; else 1."""
    if look == "left" and isinstance(answer, int):
        return costs.usual("left", USUAL_LEFT) / costs.usual("left", max(0, answer))
    if look == "read" and isinstance(answer, str):
        return costs.usual("read", USUAL_LEFT) / costs.usual("read", len(answer))
    return 1.0
