"""Finding the place: which counts of crosses fit what was looked at, and what to look at next.

A drop is counted: beads left on a strand, which pair lies uppermost, beads left on another one.
Of a rope that cannot be counted the braid itself is measured, from its start, the turns of its
stripe are counted, and the stand tells the rest: where the stripe's bead comes next.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Literal, TypeAlias

from bench.craft.growth import Growth
from bench.craft.load import SKIP
from bench.craft.plan import Plan

MOST_COUNTED = 20
"""More beads than this are not counted at the stand; the strand's next change is looked at."""
FEW = 10
"""So many beads up to a change are counted on a rope."""
MOST_PLACES = 9
"""So many places can be chosen from."""
NEAR = 4.0
"""A count is so many crosses off as often as not, far off the less often; a rule of thumb, no
source."""
RULER_MM = 3.0
"""What measuring a hanging braid is off by; a rule of thumb, no source."""
LEAST_DOUBT = 0.05
"""Braids of one pattern differ by so much in length; a rule of thumb, no source."""
TURN_DOUBT, TURNS_DOUBT = 0.6, 0.02
"""Turns that a count is off by, of itself and for each turn; a rule of thumb, no source."""
HARDLY = 0.02
"""A place that is so much less likely than the likeliest one is not thought of."""

Answer: TypeAlias = int | str | tuple[int, ...] | None
"""A number, a call, or places; None where it cannot be told."""


@dataclass(frozen=True, slots=True)
class PlaceLook:
    """One thing to look at.

    `count`: the beads left on the strand at `place`; `call`: which pair lies uppermost; `length`:
    the braid in mm; `turns`: whole turns of the stripe of bead `letter`; `where`: at which places
    bead `letter` comes next, one of `options`.
    """

    kind: Literal["count", "call", "length", "turns", "where"]
    place: int = 0
    letter: str = ""
    options: tuple[tuple[int, ...], ...] = ()


@dataclass(frozen=True)
class PlaceSearch:
    """The looks so far at a piece of which so many crosses are counted. `growth`: where known."""

    plan: Plan
    made: int
    growth: Growth | None = None
    answers: tuple[tuple[PlaceLook, Answer], ...] = ()

    def answered(self, look: PlaceLook, answer: Answer) -> PlaceSearch:
        """The search with one answer more."""
        return replace(self, answers=(*self.answers, (look, answer)))

    def back(self) -> PlaceSearch:
        """The search without its last answer."""
        return replace(self, answers=self.answers[:-1])

    @cached_property
    def chances(self) -> dict[int, float]:
        """The counts of crosses that fit all looks, and how likely each of them is."""
        weights = {
            count: weight
            for count in range(self.plan.crosses + 1)
            if (weight := self._weight(count)) > 0
        }
        whole = math.fsum(weights.values())
        return {count: weight / whole for count, weight in weights.items()} if whole else {}

    @cached_property
    def found(self) -> tuple[int, ...]:
        """The likeliest places, the best one first."""
        chances = self.chances
        best = max(chances.values(), default=0.0)
        near = sorted(chances, key=lambda count: (-chances[count], count))[:MOST_PLACES]
        if counts_all(self.plan):
            return tuple(near)
        return tuple(count for count in near if chances[count] > HARDLY * best)

    @cached_property
    def next_look(self) -> PlaceLook | None:
        """What to look at next; None where nothing tells any more."""
        return self._next_of_drop() if counts_all(self.plan) else self._next_of_rope()

    def _weight(self, count: int) -> float:
        weight = 1 / (1 + ((count - self.made) / NEAR) ** 2)
        for look, answer in self.answers:
            if answer is not None:
                weight *= self._likelihood(look, answer, count)
        return weight

    def _likelihood(self, look: PlaceLook, answer: Answer, count: int) -> float:
        """How likely the answer is, up to a factor, if so many crosses are made."""
        if look.kind == "length" and self.growth is not None and isinstance(answer, int):
            grown = self.growth.after_mm[count]
            return _normal(answer - grown, math.hypot(doubt_of(self.growth) * grown, RULER_MM))
        if look.kind == "turns" and isinstance(answer, int):
            turns = turns_made(self.plan, count)
            return _normal(answer + 0.5 - turns, math.hypot(TURN_DOUBT, TURNS_DOUBT * turns))
        return float(self._right_answer(look, count) == answer)

    def _right_answer(self, look: PlaceLook, count: int) -> Answer:
        if look.kind == "count":
            return left_at(self.plan, look.place, count)
        if look.kind == "where":
            return places_of(self.plan, look.letter, count)
        rounds = self.plan.structure.round
        return rounds[(count - 1) % len(rounds)].call if count else ""

    def _asked(self, kind: str) -> list[PlaceLook]:
        return [look for look, _ in self.answers if look.kind == kind]

    def _next_of_drop(self) -> PlaceLook | None:
        first = asked_place(self.plan, self.made)
        counted = self._asked("count")
        if first is not None and not counted:
            return PlaceLook("count", first)
        if not self._asked("call"):
            return PlaceLook("call")
        if len(counted) > 1:
            return None
        third = telling_place(self.plan, self.found, first)
        return None if third is None else PlaceLook("count", third)

    def _next_of_rope(self) -> PlaceLook | None:
        letter = stripe_of(self.plan)
        if self.growth is not None and not self._asked("length"):
            return PlaceLook("length")
        if letter and not self._asked("turns"):
            return PlaceLook("turns", letter=letter)
        where = self._where()
        if where is not None and not self._asked("where"):
            return where
        if not self._asked("call") and self._tells(PlaceLook("call")):
            return PlaceLook("call")
        place = telling_place(self.plan, self._likely, None, FEW)
        if place is None or self._asked("count"):
            return None
        return PlaceLook("count", place)

    def _where(self) -> PlaceLook | None:
        """The look for the bead that comes next at the fewest places, if it tells anything."""
        likely = self._likely
        if not likely:
            return None
        shown = Counter(letter for count in likely for letter in next_beads(self.plan, count))
        shown.pop("", None)
        if len(shown) < 2:
            return None
        letter = min(shown, key=lambda bead: (shown[bead], bead))
        options = tuple(sorted({places_of(self.plan, letter, count) for count in likely}))
        look = PlaceLook("where", letter=letter, options=options)
        return look if 1 < len(options) <= MOST_PLACES else None

    @property
    def _likely(self) -> list[int]:
        """The counts that are thought of, the likeliest first."""
        chances = self.chances
        best = max(chances.values(), default=0.0)
        likely = [count for count, chance in chances.items() if chance > HARDLY * best]
        return sorted(likely, key=lambda count: -chances[count])

    def _tells(self, look: PlaceLook) -> bool:
        return len({self._right_answer(look, count) for count in self._likely}) > 1


def _normal(off: float, sd: float) -> float:
    return math.exp(-0.5 * (off / sd) ** 2) / sd


def doubt_of(growth: Growth) -> float:
    """How far a predicted length may be off, as a share: as the rules differ."""
    if growth.low_mm <= 0:
        return LEAST_DOUBT
    return max(LEAST_DOUBT, math.log(growth.high_mm / growth.low_mm) / 2)


def stripe_of(plan: Plan) -> str:
    """The bead of a stripe that climbs round a braid; empty where there is none.

    Strands that hold mostly another bead than most strands do; their columns must be known.
    """
    if plan.structure.columns is None:
        return ""
    most = Counter(Counter(load).most_common(1)[0][0] for load in plan.loads if load)
    letter, strands = min(most.items(), key=lambda found: (found[1], found[0]), default=("", 0))
    return letter if letter not in ("", SKIP) and 2 * strands < plan.strands else ""


def turns_made(plan: Plan, made: int) -> float:
    """Turns of a stripe after so many crosses: it climbs one column with each bead of a strand."""
    columns = plan.structure.columns or 1
    return max(0, made - plan.plain_start) / (columns * plan.row_length)


def next_beads(plan: Plan, made: int) -> list[str]:
    """The bead that comes next at each place; '' for none."""
    arrangement = plan.arrangement(made)
    return [plan.remaining(strand, made)[:1].replace(SKIP, "") for strand in arrangement]


def places_of(plan: Plan, letter: str, made: int) -> tuple[int, ...]:
    """The places at which a bead comes next once so many crosses are made."""
    beads = next_beads(plan, made)
    return tuple(place for place, bead in enumerate(beads, 1) if bead == letter)


def asked_place(plan: Plan, made: int) -> int | None:
    """The place whose strand is looked at: where beads hang, the next cross's own if it can be.

    None when no strand holds beads any more.
    """
    if made < plan.crosses:
        for move in plan.step(made + 1).carried:
            if plan.remaining(move.strand, made):
                return move.transfer.start
    arrangement = plan.arrangement(made)
    for place, strand in enumerate(arrangement, 1):
        if plan.remaining(strand, made):
            return place
    return None


def counts_all(plan: Plan) -> bool:
    """Whether the beads left on a strand are counted to its end, and not to its next change."""
    return plan.last_bead_cross > 0 and max(len(load) for load in plan.loads) <= MOST_COUNTED


def calls(plan: Plan) -> tuple[str, ...]:
    """The calls of a round, each once: what may lie uppermost on the braid."""
    return tuple(dict.fromkeys(cross.call for cross in plan.structure.round))


def left_at(plan: Plan, place: int, made: int) -> int:
    """Beads that a look counts on the strand that lies at a place once so many are made.

    All that are left, or on a rope those up to the strand's next change.
    """
    strand = plan.arrangement(made)[place - 1]
    rest = plan.remaining(strand, made).replace(SKIP, "")
    if counts_all(plan) or not rest:
        return len(rest)
    return len(rest) - len(rest.lstrip(rest[0]))


def telling_place(
    plan: Plan, counts: Sequence[int], asked: int | None, most: int = MOST_COUNTED
) -> int | None:
    """The place, but the one asked before, where a count tells most of these counts apart.

    The one with the fewest beads to count among those, never more than `most`; None where no
    place tells any.
    """
    best: tuple[int, int, int] | None = None
    for place in range(1, plan.strands + 1):
        lefts = [left_at(plan, place, count) for count in counts]
        told = len(set(lefts))
        if place == asked or told < 2 or max(lefts) > most:
            continue
        if best is None or (-told, max(lefts)) < best[:2]:
            best = -told, max(lefts), place
    return None if best is None else best[2]
