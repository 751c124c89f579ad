"""The suspects: every single slip that could matter now, with how likely it is before any look.

A bead's place inside a run of equal ones cannot be seen and does not matter, so suspects are
named by runs. Crosses that passed as right weigh against a slip that would have shown in them.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from itertools import combinations, pairwise

from bench.craft.load import equal_runs
from bench.slips.likeness import FOREIGN, Likeness
from bench.slips.planned_stand import REACH, PlannedStand
from bench.slips.priors import Priors
from bench.slips.supposed_stand import LAST_ROWS, SupposedStand, load_exchange
from bench.slips.suspect import Slip, Suspect

SuspectOdds = tuple[Suspect, float]
"""A suspect with its odds against no slip, what has passed unnoticed taken in."""

LEAST_ODDS = 1e-10
"""Suspects less likely than this are left out."""

FAR_ROWS = 8
"""A count may be so many rows off, the farther the less likely. Rule of thumb, no source."""

COUNT_LASTS = 0.3
"""How much of the wrong counts of a piece there is at any one cross, for they show within a row or
two, when what is strung wrong stays. Rule of thumb, no source."""

BOTH_ENDS = 0.3
"""How often, where a load was strung in reverse, that of the thread's other end was, too. Rule of
thumb, no source."""

RUN_SHARE, STRAND_SHARE = 0.6, 0.2
"""Of beads from a wrong tray: how often it is one run, and how often all of a bead on one strand;
else it is on all strands. Rule of thumb, no source."""


def of_a_strand(
    planned: PlannedStand, likeness: Likeness, priors: Priors, strand: int
) -> list[SuspectOdds]:
    """Every single suspect of one strand alone, with its odds as below. Linear in its beads."""
    if not planned.loads[strand - 1]:
        return []
    found = _Strand(planned, likeness, priors, strand).suspects()
    return [(suspect, odds) for suspect, odds in found if odds > LEAST_ODDS]


def of_more_than_one(
    planned: PlannedStand, likeness: Likeness, priors: Priors
) -> list[SuspectOdds]:
    """A misreading, and every single suspect that concerns more than one strand.

    Each with its odds against no slip, passed crosses taken in. Linear in the beads of the plan.
    Slips that no look could see now are left out.
    """
    found: list[SuspectOdds] = [(Suspect("misread"), 1.0)]
    found += _of_the_count(planned, priors)
    found += _of_whole_loads(planned, likeness, priors)
    found += _of_pairs(planned, likeness, priors)
    found += _of_crosses(planned, priors)
    return [(suspect, odds) for suspect, odds in found if odds > LEAST_ODDS]


class _Strand:
    """The suspects of one strand."""

    def __init__(
        self, planned: PlannedStand, likeness: Likeness, priors: Priors, strand: int
    ) -> None:
        self.planned, self.likeness, self.priors, self.strand = planned, likeness, priors, strand
        self.beads = planned.loads[strand - 1]
        self.used = planned.counts[strand - 1]
        self.unnoticed_early = self._unnoticed(+1)
        """By bead: the chance that from it on each one came in a move early without notice."""
        self.unnoticed_late = self._unnoticed(-1)
        """The same where each one came in a move late."""
        self.first = min(*self.unnoticed_early, *self.unnoticed_late)
        """The first bead at which a slip may have passed unnoticed since."""

    def _unnoticed(self, step: int) -> dict[int, float]:
        chance, found = 1.0, {self.used: 1.0}
        m = self.used
        while m > 0 and chance > LEAST_ODDS:
            m -= 1
            actual = self.beads[m + step] if 0 <= m + step < len(self.beads) else None
            chance *= self.likeness.overlooked(self.beads[m], actual)
            found[m] = chance
        return found

    def suspects(self) -> Iterator[SuspectOdds]:
        yield from self._short_or_long()
        yield from self._other_beads()
        yield from self._brought_in()
        yield from self._reversed()
        yield from self._wrong_tray()

    def _rate(self, kind: Slip) -> float:
        return self.priors.rates[kind] / self.planned.total

    def _runs(self) -> Iterator[tuple[str, int, int]]:
        """Runs of equal beads that matter now: the letter, the first bead and the last, from 0."""
        at = 0
        for letter, count in equal_runs(self.beads):
            last = at + count - 1
            if last >= self.first and at < self.used + REACH:
                yield letter, at, last
            at += count

    def _suspect(
        self,
        slip: Slip,
        bead: str | None,
        first: int,
        last: int,
        *,
        actual: str | None = None,
        index: int = 0,
        at: int | None = None,
    ) -> Suspect:
        """A suspect in the run from bead first to bead last, both counted from 0."""
        run = first + 1, last + 1
        return Suspect(slip, self.strand, None, bead, actual, *run, at=at, index=index)

    def _short_or_long(self) -> Iterator[SuspectOdds]:
        missing, extra = self._rate("missing"), self._rate("extra") * self.priors.same_letter
        for letter, first, last in self._runs():
            count = last - first + 1
            passed = self.unnoticed_early.get(min(last, self.used), 0.0)
            short = self._suspect("missing", letter, first, last, index=last)
            yield short, missing * count * passed
            passed = self.unnoticed_late.get(min(last + 1, self.used), 0.0)
            yield replace(short, slip="extra", actual=letter), extra * count * passed

    def _other_beads(self) -> Iterator[SuspectOdds]:
        """Beads of another letter, on top or instead; and two unlike neighbours swapped."""
        letters = (*self.likeness.letters, FOREIGN)
        n, used = len(self.beads), self.used
        share = {x: (1 - self.priors.foreign) / max(1, len(letters) - 2) for x in letters}
        share[FOREIGN] = self.priors.foreign
        extra = self._rate("extra") * (1 - self.priors.same_letter)
        wrong = self._rate("wrong")
        for letter, first, last in self._runs():
            if first >= used:
                continue
            gone = min(last, used - 1)
            passed = self.unnoticed_late.get(gone + 1, 0.0)
            for x in letters:
                if x != letter and passed:
                    odds = extra * share[x] * (gone - first + 1) * passed
                    yield (
                        self._suspect("extra", letter, first, last, actual=x, index=gone),
                        odds * self.likeness.overlooked(letter, x),
                    )
        for i in range(used, min(n, used + REACH) + 1):
            here = self.beads[i] if i < n else None
            around = (here, self.beads[i - 1] if i else None)
            for x in letters:
                if x not in around:
                    yield self._suspect("extra", here, i, i, actual=x, index=i), extra * share[x]
                if here is not None and x != here:
                    yield self._suspect("wrong", here, i, i, actual=x, index=i), wrong * share[x]
        yield from self._swapped()

    def _swapped(self) -> Iterator[SuspectOdds]:
        """Two unlike neighbours the wrong way round, and two neighbouring runs of equal beads."""
        beads, n, used = self.beads, len(self.beads), self.used
        odds = self._rate("swapped")
        for i in range(max(0, used - 1), min(n - 1, used + REACH)):
            one, two = beads[i], beads[i + 1]
            if one != two:
                seen = self.likeness.overlooked(one, two) if i < used else 1.0
                yield self._suspect("swapped", one, i, i + 1, actual=two, index=i), odds * seen
        for (one, first, _), (two, _, last) in pairwise(self._runs()):
            if last > first + 1 and last >= used:
                both = self._suspect("swapped", one, first, last, actual=two, index=first)
                actual = SupposedStand(self.planned, (both,)).strung(self.strand)
                passed = _unnoticed(
                    self.likeness, beads[first:used], actual[first:used], max(0, used - first)
                )
                yield both, odds * passed

    def _brought_in(self) -> Iterator[SuspectOdds]:
        """A bead not brought in, two at once, or one not tucked, at a cross that was made."""
        planned = self.planned
        row = planned.plan.row_length
        for letter, first, last in self._runs():
            sums: dict[tuple[Slip, bool], float] = {}
            latest: dict[tuple[Slip, bool], int] = {}
            for m in range(max(first, self.first), min(last + 1, self.used)):
                at = planned.cross_of(self.strand, m)
                rows = (planned.made - at) // row
                recent = at > planned.made - LAST_ROWS * row
                unseen = self.priors.unseen ** min(rows, LAST_ROWS)
                chances: dict[Slip, float] = {
                    "not_brought_in": self.unnoticed_late.get(m + 1, 0.0),
                    "not_tucked": float(recent),
                }
                if m + 1 < len(self.beads):
                    chances["two_brought_in"] = self.unnoticed_early.get(m + 1, 0.0)
                for slip, chance in chances.items():
                    key = slip, recent
                    sums[key] = sums.get(key, 0.0) + self._rate(slip) * chance * unseen
                    latest[key] = at
            for key, odds in sums.items():
                yield self._suspect(key[0], letter, first, last, at=latest[key]), odds

    def _reversed(self) -> Iterator[SuspectOdds]:
        turned = self.beads[::-1]
        if turned != self.beads:
            rate = self.priors.rates["reversed"] / self.planned.strands
            passed = _unnoticed(self.likeness, self.beads, turned, self.used)
            yield Suspect("reversed", self.strand), rate * passed

    def _wrong_tray(self) -> Iterator[SuspectOdds]:
        """A run of beads from a wrong tray, or all of a bead on this strand."""
        beads, used = self.beads, self.used
        runs = [run for run in self._runs() if run[2] > run[1]]
        rate = self.priors.rates["wrong_tray"] * RUN_SHARE / self.planned.strands
        runs_in_all = max(1, len(equal_runs(beads)))
        for letter, first, last in runs:
            for actual, share in _from_trays(self.likeness, self.priors, letter):
                passed = self.likeness.overlooked(letter, actual) ** max(0, used - first)
                tray = self._suspect("wrong_tray", letter, first, last, actual=actual, index=first)
                yield tray, rate * share * passed / runs_in_all
        rate *= STRAND_SHARE / RUN_SHARE
        letters = set(beads[max(0, used - 1) : used + REACH])
        runs_of = Counter(letter for letter, _ in equal_runs(beads))
        for letter in sorted(x for x in letters if runs_of[x] > 1):
            for actual, share in _from_trays(self.likeness, self.priors, letter):
                came = beads[:used].count(letter)
                passed = self.likeness.overlooked(letter, actual) ** came
                tray = Suspect("wrong_tray", self.strand, None, letter, actual)
                yield tray, rate * share * passed / len(set(beads))


def _from_trays(likeness: Likeness, priors: Priors, letter: str) -> Iterator[tuple[str, float]]:
    """The beads that may come from a wrong tray for this one, each with its share."""
    others = [x for x in likeness.letters if x != letter]
    for x in others:
        yield x, (1 - priors.foreign) / len(others)
    yield FOREIGN, priors.foreign


def _unnoticed(likeness: Likeness, planned: str, actual: str, count: int) -> float:
    """The chance that so many beads came in from another load unnoticed."""
    chance = 1.0
    for m in range(count - 1, -1, -1):
        chance *= likeness.overlooked(planned[m], actual[m] if m < len(actual) else None)
        if chance < LEAST_ODDS:
            return 0.0
    return chance


def _of_the_count(planned: PlannedStand, priors: Priors) -> Iterator[SuspectOdds]:
    around = len(planned.plan.structure.round)
    most = max(FAR_ROWS * planned.plan.row_length, around)
    shifts = [d for d in range(-most, most + 1) if d]
    row = planned.plan.row_length
    weights = {d: 1 / abs(d) * min(1.0, row / abs(d)) for d in shifts}
    total = sum(weights.values())
    count_off = priors.rates["count_off"] * COUNT_LASTS
    round_off = priors.rates["round_off"] * COUNT_LASTS
    for d in shifts:
        if 0 <= planned.made - d <= planned.plan.crosses:
            yield Suspect("count_off", shift=d), count_off * weights[d] / total
    for d in (-around, around):
        if 0 <= planned.made - d <= planned.plan.crosses:
            yield Suspect("round_off", shift=d), round_off / 2


def _of_whole_loads(
    planned: PlannedStand, likeness: Likeness, priors: Priors
) -> Iterator[SuspectOdds]:
    plan, rates, loads = planned.plan, priors.rates, planned.loads
    known: dict[tuple[int, int], float] = {}

    def passed(to: int, of: int) -> float:
        if (to, of) not in known:
            count = planned.counts[to - 1]
            known[to, of] = _unnoticed(likeness, loads[to - 1], loads[of - 1], count)
        return known[to, of]

    def weigh(suspect: Suspect, odds: float) -> Iterator[SuspectOdds]:
        held = load_exchange(plan, suspect)
        if any(loads[to - 1] != loads[of - 1] for to, of in held.items()):
            for to, of in held.items():
                odds *= passed(to, of)
                if odds < LEAST_ODDS:
                    return
            yield suspect, odds

    letters = {x for beads in planned.ahead.values() for x in beads}
    tray = rates["wrong_tray"] * (1 - RUN_SHARE - STRAND_SHARE) / max(1, len(letters))
    for letter in sorted(letters):
        came = sum(
            load[:count].count(letter) for load, count in zip(loads, planned.counts, strict=True)
        )
        for actual, share in _from_trays(likeness, priors, letter):
            if actual != FOREIGN:  # that would be another piece
                unseen = likeness.overlooked(letter, actual) ** came
                yield Suspect("wrong_tray", None, None, letter, actual), tray * share * unseen
    doubles = plan.pattern.threads.double_lengths
    for a, b in doubles:
        yield from weigh(Suspect("end_for_end", a, b), rates["end_for_end"] / len(doubles))
    both = rates["reversed"] * BOTH_ENDS / max(1, len(doubles))
    for a, b in doubles:
        if loads[a - 1] != loads[a - 1][::-1] and loads[b - 1] != loads[b - 1][::-1]:
            odds = both
            for strand in (a, b):
                load, count = loads[strand - 1], planned.counts[strand - 1]
                odds *= _unnoticed(likeness, load, load[::-1], count)
            yield Suspect("reversed", a, b), odds
    ways = len(doubles) * (len(doubles) - 1)
    for (a, _), (c, d) in combinations(doubles, 2):
        for other in (c, d):
            yield from weigh(
                Suspect("doubles_exchanged", a, other), rates["doubles_exchanged"] / ways
            )
    pairs = list(combinations(range(1, planned.strands + 1), 2))
    joined = {tuple(sorted(pair)) for pair in doubles}
    for a, b in pairs:
        if (a, b) not in joined:
            yield from weigh(
                Suspect("strands_exchanged", a, b), rates["strands_exchanged"] / len(pairs)
            )
    for shift in (1, -1):
        yield from weigh(Suspect("turned", shift=shift), rates["turned"] / 2)


def _of_pairs(planned: PlannedStand, likeness: Likeness, priors: Priors) -> Iterator[SuspectOdds]:
    """The wrong one of a pair carried, in one of the last two rows."""
    plan = planned.plan
    crosses = range(planned.made, max(0, planned.made - 2 * plan.row_length), -1)
    total = max(1, planned.made) * max(len(c.carried) for c in plan.structure.round)
    rate = priors.rates["wrong_of_pair"] / total
    for cross in crosses:
        if cross > plan.crosses:
            continue
        before = plan.arrangement(cross - 1)
        carried = [move.transfer.start for move in plan.step(cross).carried]
        for start in carried:
            for place in plan.structure.beside(start):
                if place in carried:
                    continue
                a, b = before[start - 1], before[place - 1]
                odds = rate * _exchange_unnoticed(planned, likeness, a, b, cross)
                odds *= priors.unseen ** ((planned.made - cross) // plan.row_length)
                if planned.loads[a - 1] or planned.loads[b - 1]:
                    yield Suspect("wrong_of_pair", a, b, plan.bead_of(a, cross), at=cross), odds


def _of_crosses(planned: PlannedStand, priors: Priors) -> Iterator[SuspectOdds]:
    """A cross made twice in place of the next one, in one of the last two rows."""
    plan, made = planned.plan, planned.made
    if len(plan.structure.round) < 2:
        return
    rate = priors.rates["cross_twice"] / max(1, made)
    for at in range(max(1, made - 2 * plan.row_length), min(made, plan.crosses)):
        unseen = priors.unseen ** ((made - at) // plan.row_length)
        yield Suspect("cross_twice", at=at), rate * unseen


def _exchange_unnoticed(
    stand: PlannedStand, likeness: Likeness, a: int, b: int, cross: int
) -> float:
    """The chance that two strands have gone on in each other's places from a cross unnoticed."""
    chance = 1.0
    for strand, thread in ((a, b), (b, a)):
        planned, actual = stand.loads[strand - 1], stand.loads[thread - 1]
        before, held = stand.used(strand, cross - 1), stand.used(thread, cross - 1)
        for m in range(before, stand.counts[strand - 1]):
            at = held + m - before
            chance *= likeness.overlooked(planned[m], actual[at] if at < len(actual) else None)
    return chance
