"""The suspects: every single slip that could matter now, with how likely it is before any look.

A bead's place inside a run of equal ones cannot be seen and does not matter, so suspects are
named by runs. Crosses that passed as right weigh against a slip that would have shown in them.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from itertools import combinations, pairwise

from bench.craft.load import equal_runs
from bench.slips.likeness import FOREIGN, Likeness
from bench.slips.scene import LAST_ROWS, REACH, Scene, Slip, Suspect, exchanged

Weighed = tuple[Suspect, float]

RATES: Mapping[Slip, float] = {
    "missing": 0.05,
    "extra": 0.03,
    "wrong": 0.01,
    "swapped": 0.005,
    "reversed": 0.005,
    "end_for_end": 0.01,
    "doubles_exchanged": 0.005,
    "strands_exchanged": 0.005,
    "turned": 0.002,
    "count_off": 0.20,
    "not_brought_in": 0.05,
    "two_brought_in": 0.04,
    "not_tucked": 0.10,
    "wrong_of_pair": 0.04,
    "round_off": 0.02,
    "other": 0.0002,
}
"""How many slips of a kind a piece has that has come this far. Rule of thumb, no source."""

SLOWNESS = 30.0
"""How many slips of the maker's own weigh as much as the rule of thumb. No source."""

LEAST = 1e-10
"""Suspects less likely than this are left out."""


@dataclass(frozen=True)
class Priors:
    """What is thought likely before any look. Rules of thumb, no source; all can be set."""

    rates: Mapping[Slip, float] = field(default_factory=lambda: dict(RATES))
    same_letter: float = 0.8
    """Share of extra beads that are like their neighbours: a miscount."""
    foreign: float = 0.1
    """Share of wrong beads that are in no load at all: a mixed tray."""
    unseen: float = 0.5
    """Chance that a gap or a proud bead in the braid passes unseen while a row is made."""

    def learned(self, counts: Mapping[Slip, int]) -> Priors:
        """These priors after the slips that the maker really had, by kind.

        The sum of all rates stays; the shares move as with a Dirichlet prior of SLOWNESS slips.
        """
        total = sum(self.rates.values())
        seen = sum(counts.get(kind, 0) for kind in self.rates)
        rates = {
            kind: total * (SLOWNESS * rate / total + counts.get(kind, 0)) / (SLOWNESS + seen)
            for kind, rate in self.rates.items()
        }
        return Priors(rates, self.same_letter, self.foreign, self.unseen)


def singles(scene: Scene, likeness: Likeness, priors: Priors) -> list[Weighed]:
    """Every single suspect with its odds against no slip, passed crosses taken in.

    Linear in the beads of the plan. Slips that no look could see now are left out.
    """
    found: list[Weighed] = [(Suspect("misread"), 1.0)]
    found += _of_the_count(scene, priors)
    for strand in range(1, scene.strands + 1):
        if scene.loads[strand - 1]:
            found += _Strand(scene, likeness, priors, strand).suspects()
    found += _of_whole_loads(scene, likeness, priors)
    found += _of_pairs(scene, likeness, priors)
    return [(suspect, odds) for suspect, odds in found if odds > LEAST]


class _Strand:
    """The suspects of one strand.

    passed_short[m] is the chance that from bead m on each one came in a move early without being
    noticed, passed_long[m] that each came in a move late.
    """

    def __init__(self, scene: Scene, likeness: Likeness, priors: Priors, strand: int) -> None:
        self.scene, self.likeness, self.priors, self.strand = scene, likeness, priors, strand
        self.beads = scene.loads[strand - 1]
        self.k = scene.counts[strand - 1]
        self.first_seen, self.passed_short = self._passed(+1)
        first, self.passed_long = self._passed(-1)
        self.first_seen = min(self.first_seen, first)

    def _passed(self, step: int) -> tuple[int, dict[int, float]]:
        chance, passed = 1.0, {self.k: 1.0}
        m = self.k
        while m > 0 and chance > LEAST:
            m -= 1
            actual = self.beads[m + step] if 0 <= m + step < len(self.beads) else None
            chance *= self.likeness.overlooked(self.beads[m], actual)
            passed[m] = chance
        return m, passed

    def suspects(self) -> Iterator[Weighed]:
        yield from self._short_or_long()
        yield from self._other_beads()
        yield from self._brought_in()
        yield from self._reversed()

    def _rate(self, kind: Slip) -> float:
        return self.priors.rates[kind] / self.scene.total

    def _runs(self) -> Iterator[tuple[str, int, int]]:
        at = 0
        for letter, count in equal_runs(self.beads):
            last = at + count - 1
            if last >= self.first_seen and at < self.k + REACH:
                yield letter, at, last
            at += count

    def _short_or_long(self) -> Iterator[Weighed]:
        missing, extra = self._rate("missing"), self._rate("extra") * self.priors.same_letter
        for letter, first, last in self._runs():
            count = last - first + 1
            passed = self.passed_short.get(min(last, self.k), 0.0)
            short = Suspect(
                "missing", self.strand, bead=letter, first=first + 1, last=last + 1, index=last
            )
            yield short, missing * count * passed
            passed = self.passed_long.get(min(last + 1, self.k), 0.0)
            yield replace(short, slip="extra", actual=letter), extra * count * passed

    def _other_beads(self) -> Iterator[Weighed]:
        """Beads of another letter, on top or instead; and two unlike neighbours swapped."""
        letters = (*self.likeness.letters, FOREIGN)
        n, k, likeness = len(self.beads), self.k, self.likeness
        share = {x: (1 - self.priors.foreign) / max(1, len(letters) - 2) for x in letters}
        share[FOREIGN] = self.priors.foreign
        extra = self._rate("extra") * (1 - self.priors.same_letter)
        wrong = self._rate("wrong")
        for letter, first, last in self._runs():
            if first >= k:
                continue
            gone = min(last, k - 1)
            passed = self.passed_long.get(gone + 1, 0.0)
            for x in letters:
                if x != letter and passed:
                    odds = extra * share[x] * (gone - first + 1) * passed
                    yield (
                        Suspect(
                            "extra", self.strand, None, letter, x, first + 1, last + 1, index=gone
                        ),
                        odds * likeness.overlooked(letter, x),
                    )
        for i in range(k, min(n, k + REACH) + 1):
            here = self.beads[i] if i < n else None
            around = (here, self.beads[i - 1] if i else None)
            for x in letters:
                if x not in around:
                    spot = Suspect("extra", self.strand, None, here, x, i + 1, i + 1, index=i)
                    yield spot, extra * share[x]
                if here is not None and x != here:
                    spot = Suspect("wrong", self.strand, None, here, x, i + 1, i + 1, index=i)
                    yield spot, wrong * share[x]
        yield from self._swapped()

    def _swapped(self) -> Iterator[Weighed]:
        """Two unlike neighbours the wrong way round, and two neighbouring runs of equal beads."""
        beads, n, k = self.beads, len(self.beads), self.k
        odds = self._rate("swapped")
        for i in range(max(0, k - 1), min(n - 1, k + REACH)):
            one, two = beads[i], beads[i + 1]
            if one != two:
                seen = self.likeness.overlooked(one, two) if i < k else 1.0
                yield (
                    Suspect("swapped", self.strand, None, one, two, i + 1, i + 2, index=i),
                    odds * seen,
                )
        for (one, first, _), (two, _, last) in pairwise(self._runs()):
            if last > first + 1 and last >= k:
                both = Suspect(
                    "swapped", self.strand, None, one, two, first + 1, last + 1, index=first
                )
                actual = self.scene.strung(both)
                seen = _passed(self.likeness, beads[first:k], actual[first:k], max(0, k - first))
                yield both, odds * seen

    def _brought_in(self) -> Iterator[Weighed]:
        """A bead not brought in, two at once, or one not tucked, at a cross that was made."""
        scene, at = self.scene, -1
        row = scene.plan.row_length
        for letter, first, last in self._runs():
            sums: dict[tuple[Slip, bool], float] = {}
            latest: dict[tuple[Slip, bool], int] = {}
            for m in range(max(first, self.first_seen), min(last + 1, self.k)):
                at = scene.cross_of(self.strand, m)
                rows = (scene.made - at) // row
                recent = at > scene.made - LAST_ROWS * row
                unseen = self.priors.unseen ** min(rows, LAST_ROWS)
                chances: dict[Slip, float] = {
                    "not_brought_in": self.passed_long.get(m + 1, 0.0),
                    "not_tucked": float(recent),
                }
                if m + 1 < len(self.beads):
                    chances["two_brought_in"] = self.passed_short.get(m + 1, 0.0)
                for kind, chance in chances.items():
                    key = kind, recent
                    sums[key] = sums.get(key, 0.0) + self._rate(kind) * chance * unseen
                    latest[key] = at
            for (kind, recent), odds in sums.items():
                at = latest[kind, recent]
                yield (
                    Suspect(kind, self.strand, None, letter, None, first + 1, last + 1, at=at),
                    odds,
                )

    def _reversed(self) -> Iterator[Weighed]:
        turned = self.beads[::-1]
        if turned != self.beads:
            share = self.priors.rates["reversed"] / self.scene.strands
            passed = _passed(self.likeness, self.beads, turned, self.k)
            yield Suspect("reversed", self.strand), share * passed


def _passed(likeness: Likeness, planned: str, actual: str, count: int) -> float:
    """The chance that so many beads came in from another load unnoticed."""
    chance = 1.0
    for m in range(count - 1, -1, -1):
        chance *= likeness.overlooked(planned[m], actual[m] if m < len(actual) else None)
        if chance < LEAST:
            return 0.0
    return chance


def _of_the_count(scene: Scene, priors: Priors) -> Iterator[Weighed]:
    around = len(scene.plan.structure.round)
    most = max(scene.plan.row_length, around)
    shifts = [d for d in range(-most, most + 1) if d]
    sizes = sum(1 / abs(d) for d in shifts)
    for d in shifts:
        if 0 <= scene.made - d <= scene.plan.crosses:
            yield Suspect("count_off", shift=d), priors.rates["count_off"] / abs(d) / sizes
    for d in (-around, around):
        if 0 <= scene.made - d <= scene.plan.crosses:
            yield Suspect("round_off", shift=d), priors.rates["round_off"] / 2


def _of_whole_loads(scene: Scene, likeness: Likeness, priors: Priors) -> Iterator[Weighed]:
    plan, rates, loads = scene.plan, priors.rates, scene.loads
    known: dict[tuple[int, int], float] = {}

    def passed(to: int, of: int) -> float:
        if (to, of) not in known:
            known[to, of] = _passed(likeness, loads[to - 1], loads[of - 1], scene.counts[to - 1])
        return known[to, of]

    def weigh(suspect: Suspect, odds: float) -> Iterator[Weighed]:
        held = exchanged(plan, suspect)
        if any(loads[to - 1] != loads[of - 1] for to, of in held.items()):
            for to, of in held.items():
                odds *= passed(to, of)
                if odds < LEAST:
                    return
            yield suspect, odds

    doubles = plan.pattern.threads.double_lengths
    for a, b in doubles:
        yield from weigh(Suspect("end_for_end", a, b), rates["end_for_end"] / len(doubles))
    ways = len(doubles) * (len(doubles) - 1)
    for (a, _), (c, d) in combinations(doubles, 2):
        for other in (c, d):
            yield from weigh(
                Suspect("doubles_exchanged", a, other), rates["doubles_exchanged"] / ways
            )
    pairs = list(combinations(range(1, scene.strands + 1), 2))
    joined = {tuple(sorted(pair)) for pair in doubles}
    for a, b in pairs:
        if (a, b) not in joined:
            yield from weigh(
                Suspect("strands_exchanged", a, b), rates["strands_exchanged"] / len(pairs)
            )
    for shift in (1, -1):
        yield from weigh(Suspect("turned", shift=shift), rates["turned"] / 2)


def _of_pairs(scene: Scene, likeness: Likeness, priors: Priors) -> Iterator[Weighed]:
    """The wrong one of a pair carried, in one of the last two rows."""
    plan = scene.plan
    crosses = range(scene.made, max(0, scene.made - 2 * plan.row_length), -1)
    total = max(1, scene.made) * max(len(c.carried) for c in plan.structure.round)
    rate = priors.rates["wrong_of_pair"] / total
    for cross in crosses:
        if cross > plan.crosses:
            continue
        before = plan.arrangement(cross - 1)
        carried = [move.transfer.start for move in plan.step(cross).carried]
        for start in carried:
            for place in neighbours(plan.structure.places, start):
                if place in carried:
                    continue
                a, b = before[start - 1], before[place - 1]
                odds = rate * _exchange_passed(scene, likeness, a, b, cross)
                odds *= priors.unseen ** ((scene.made - cross) // plan.row_length)
                if scene.loads[a - 1] or scene.loads[b - 1]:
                    yield Suspect("wrong_of_pair", a, b, plan.bead_of(a, cross), at=cross), odds


def _exchange_passed(scene: Scene, likeness: Likeness, a: int, b: int, cross: int) -> float:
    chance = 1.0
    for role, strand in ((a, b), (b, a)):
        planned, actual = scene.loads[role - 1], scene.loads[strand - 1]
        before, held = scene.used(role, cross - 1), scene.used(strand, cross - 1)
        for m in range(before, scene.counts[role - 1]):
            at = held + m - before
            chance *= likeness.overlooked(planned[m], actual[at] if at < len(actual) else None)
    return chance


def neighbours(places: tuple[str, ...], place: int) -> tuple[int, ...]:
    """The places beside one: on the same side if there is any, else both."""
    n = len(places)
    beside = (place % n + 1, (place - 2) % n + 1)
    side = places[place - 1].split(",")[0]
    same = tuple(p for p in beside if places[p - 1].split(",")[0] == side)
    return same or beside
