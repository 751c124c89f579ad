"""Looks: questions that a glance or a count answers, and what they are answered."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from bench.slips.costs import Costs, Kind
from bench.slips.edits import distance
from bench.slips.likeness import Likeness
from bench.slips.planned_stand import MOST_COUNTED, PlannedStand, run_length
from bench.slips.supposed_stand import Sight

Answer = str | int | None
"""A letter, letters, or what the braid shows; a number; or None for nothing left."""

MORE = MOST_COUNTED + 1
"""Stands for every count above the most that is ever counted."""

ANY_ANSWER: Mapping[Kind, float] = {
    "glance": 1 / 8,
    "next": 1 / 6,
    "next3": 1 / 30,
    "left": 1 / 11,
    "braid": 1 / 3,
    "read": 1 / 500,
    "piece": 1 / 2,
}
"""The chance of any one answer where nothing is known of what went wrong."""


THIS, ANOTHER = "this", "another"
"""Which piece lies on the stand: the one that is meant, or another one."""

BY_THE_FINGER = 0.7
"""How often a wrong answer is a slip of the finger, which may be any; else it is of the eyes, which
take alike beads for each other. Rule of thumb, no source."""

MISREAD_ONE = 1 / 100
"""Where a strand is read off: the share of any one wrong, forgotten or doubled bead among all that
may be. Rule of thumb, no source: a dozen beads, with some letters for each."""


@dataclass(frozen=True, slots=True)
class Look:
    """One question at the stand, about the strand that lies at a place now.

    strand is the one that the plan has there. A glance asks how many of the others show bead; the
    next three are asked after bead, where that one was named already.
    """

    kind: Kind
    strand: int
    place: int
    seconds: float
    bead: str | None = None

    @property
    def key(self) -> tuple[str, int, str | None]:
        """What tells looks apart, their seconds aside."""
        return self.kind, self.place, self.bead


def predicted(look: Look, sight: Sight, planned: PlannedStand) -> Answer:
    """The right answer to a look where this is to be seen."""
    if look.kind == "piece":
        return THIS
    if look.kind == "braid":
        return sight.braid.get(look.place, "nothing")
    if look.kind == "glance":
        others = {**planned.ahead, **sight.ahead}
        del others[look.place]
        return sum(beads[:1] == (look.bead or "") for beads in others.values())
    beads = sight.ahead.get(look.place)
    if beads is None:
        beads = planned.ahead[look.place]
    if look.kind == "next":
        return beads[:1] or None
    if look.kind == "next3":
        return beads[1:4] if look.bead else beads[:3]
    return run_length(beads)


def likelihood(
    look: Look,
    right: Answer,
    answer: Answer,
    error_rate: float,
    likeness: Likeness,
    miscount: float = 0.0,
) -> float:
    """The probability of an answer to a look, given the right one and the rates of wrong ones.

    miscount is the rate at which a number comes out wrong by one.
    """
    number = isinstance(right, int) and isinstance(answer, int)
    if right == answer:
        return 1 - error_rate - (miscount if number else 0.0)
    if look.kind == "next":
        alike = likeness.mistaken(_letter(right), _letter(answer))
        any_key = 1 / (len(likeness.letters) + 1)
        return error_rate * ((1 - BY_THE_FINGER) * alike + BY_THE_FINGER * any_key)
    if isinstance(right, int) and isinstance(answer, int):
        return miscount / 2 if abs(right - answer) == 1 else error_rate * ANY_ANSWER[look.kind]
    if look.kind == "read":
        return (error_rate * MISREAD_ONE) ** distance(str(right or ""), str(answer or ""))
    if look.kind == "piece":
        return error_rate
    return error_rate * (0.5 if look.kind == "braid" else 0.1)


def _letter(answer: Answer) -> str | None:
    return answer if isinstance(answer, str) and answer else None


def mutual_information(shares: Sequence[float], error_rate: float) -> float:
    """How many bits the answer to a look tells of what is right.

    shares: the probabilities of the right answers, up to a factor. An answer is wrong at the
    error rate and is then any of the other answers alike.
    """
    n = len(shares)
    if n < 2:
        return 0.0
    total = sum(shares)
    wrong = error_rate / (n - 1)
    heard = [(1 - error_rate) * s / total + wrong * (1 - s / total) for s in shares]
    noise = -(1 - error_rate) * math.log2(1 - error_rate)
    noise -= error_rate * math.log2(wrong) if error_rate else 0.0
    return max(0.0, -sum(p * math.log2(p) for p in heard if p > 0) - noise)


def candidates(
    planned: PlannedStand,
    places: Sequence[int],
    about: int,
    named: Mapping[int, str | None],
    costs: Costs,
) -> list[Look]:
    """Every look that may be asked at these places; glances from the place of the report.

    named: by place the bead that was named as the next one. A glance may ask for that of the
    report besides the planned one; the next three are asked after it.
    """
    kinds: tuple[Kind, ...] = ("next", "next3", "left", "braid")
    found = [
        Look(
            kind,
            planned.arrangement[place - 1],
            place,
            costs.of(kind),
            named.get(place) if kind == "next3" else None,
        )
        for place in places
        for kind in kinds
        if not (kind == "next3" and place in named and named[place] is None)
    ]
    strand = planned.arrangement[about - 1]
    for bead in dict.fromkeys(b for b in (planned.ahead[about][:1], named.get(about)) if b):
        found.append(Look("glance", strand, about, costs.of("glance"), bead))
    return found
