"""Bayes' rule over the suspects: prior odds times the likelihood of all that was seen."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from bench.craft.plan import Plan
from bench.slips.another_piece import AnotherPiece
from bench.slips.edits import differences
from bench.slips.evidence import Observation
from bench.slips.likeness import Likeness
from bench.slips.looks import Answer, likelihood, predicted
from bench.slips.planned_stand import PlannedStand
from bench.slips.priors import Priors
from bench.slips.slip_pairs import MOST_PAIRED, both_hands, more_of_a_run, pairs_of
from bench.slips.supposed_stand import Report, Sight, SupposedStand
from bench.slips.suspect import OF_THE_COUNT, Slip, Slips, Suspect
from bench.slips.suspects import SuspectOdds, of_a_strand, of_more_than_one
from bench.slips.unknown import Unknown

MOST_DIFFERENCES = 6
"""A strand that was read off and differs in more beads is not told bead by bead."""

TEMPER = 0.4
"""Power of the slips' prior odds for a maker of whom the rules of thumb do not hold: for her the
kinds of slips are more alike in how often they happen. Chosen by simulated makers."""

MISREAD_TEMPERED = 0.3
"""How often such a maker misreads, against one of whom the rules of thumb hold. Rule of thumb, no
source."""


@dataclass(frozen=True, slots=True)
class Hypothesis:
    """One suspect, or several slips together, with the posterior chance that it happened."""

    slips: Slips
    chance: float


@dataclass(frozen=True, slots=True)
class EquivalenceClass:
    """Hypotheses that no look tells apart, the likeliest first, with their joint chance."""

    members: tuple[Hypothesis, ...]
    chance: float
    """The mean of the next two: that the rules of thumb hold of this maker is one chance in two."""
    believed: float
    """The chance if the rules of thumb of how often slips happen hold."""
    tempered: float
    """The same under tempered priors: slips more alike in how likely they are beforehand."""
    sight: Sight | None
    """None: another piece, or something that this list does not know."""

    @property
    def slip(self) -> Slip:
        """The kind of the likeliest of them, its first where there are several."""
        return self.first.slips[0].slip

    @property
    def first(self) -> Hypothesis:
        """The likeliest of them."""
        return self.members[0]


@dataclass(slots=True)
class _Group:
    """Suspects of one sight, each with its odds, and the sum of their prior odds."""

    sight: Sight | None
    members: list[tuple[Slips, float]]
    prior: float

    @property
    def odds(self) -> float:
        return sum(odds for _, odds in self.members)

    @property
    def count_alone(self) -> bool:
        """Whether the likeliest of them is a wrong count and nothing else."""
        likeliest, _ = max(self.members, key=lambda member: member[1])
        return all(slip.slip in OF_THE_COUNT for slip in likeliest)

    def known(self, believed: float, tempered: float) -> EquivalenceClass:
        """These suspects with their chances."""
        chance, odds = (believed + tempered) / 2, self.odds or 1.0
        best_first = sorted(self.members, key=lambda member: -member[1])
        members = tuple(Hypothesis(slips, chance * here / odds) for slips, here in best_first)
        return EquivalenceClass(members, chance, believed, tempered, self.sight)


class Model:
    """Every single suspect once so many crosses are counted, with its prior odds."""

    def __init__(self, plan: Plan, made: int, likeness: Likeness, priors: Priors) -> None:
        self.planned = PlannedStand(plan, made)
        self.likeness = likeness
        self.priors = priors
        self._earlier: dict[int, PlannedStand] = {}
        self._groups: list[tuple[Sight, list[tuple[Slips, float]]]] = []
        """By sight; first that of a misreading."""
        self._by_signature: dict[object, list[tuple[Slips, float]]] = {}
        self._prior: dict[Suspect, float] = {}
        """The odds of every single suspect."""
        self._taken_in: list[Observation] = []
        """The strands read off whose differences are known."""
        self._strands: set[int] = set()
        """The strands whose suspects are known."""
        self._reports: list[Report] = []
        self._aside: list[tuple[Slips, float]] = []
        """Hypotheses that explain no report so far."""
        self._know_singles(of_more_than_one(self.planned, likeness, priors))
        pairs = both_hands(self._prior.items(), priors)
        self._know(pairs)

    def _know(self, found: Iterable[tuple[Slips, float]]) -> None:
        """Take in hypotheses, each with the others that look the same.

        Those that explain no report are kept aside, for a later report may be theirs.
        """
        for slips, odds in found:
            if not self._reports and slips[0].slip != "misread":
                self._aside.append((slips, odds))
                continue
            stand = SupposedStand(self.planned, slips)
            if slips[0].slip != "misread" and not any(map(stand.shows, self._reports)):
                self._aside.append((slips, odds))
                continue
            sight = stand.sight()
            signature = sight.signature(self.planned)
            if not signature and slips[0].slip != "misread":
                continue
            if signature not in self._by_signature:
                self._by_signature[signature] = []
                self._groups.append((sight, self._by_signature[signature]))
            self._by_signature[signature].append((slips, odds))

    def _know_singles(self, found: Sequence[SuspectOdds]) -> None:
        self._prior.update(found)
        self._know(((suspect,), odds) for suspect, odds in found)

    def _look_at_strands(self, evidence: Sequence[Observation]) -> None:
        """Take in the suspects of every strand that something was reported of.

        Those of other strands explain no report.
        """
        reports: list[Report] = [
            (one.look.kind, one.look.place, one.answer)
            for one in evidence
            if not one.asked and one.made == self.planned.made
        ]
        if any(report not in self._reports for report in reports):
            self._reports = reports
            aside, self._aside = self._aside, []
            self._know(aside)
        for strand in {one.look.strand for one in evidence if not one.asked} - self._strands:
            self._strands.add(strand)
            found = of_a_strand(self.planned, self.likeness, self.priors, strand)
            self._know_singles(found)
            self._know(more_of_a_run(found, self.priors))

    def sight(self, slips: Slips) -> Sight:
        """What looks would see now if these slips were made."""
        return SupposedStand(self.planned, slips).sight()

    def all_left(self, slips: Slips, place: int) -> str:
        """All beads left on the strand at a place if these slips were made, the next one first."""
        return SupposedStand(self.planned, slips).all_left(place)

    def agrees(self, slips: Slips, evidence: Sequence[Observation]) -> bool:
        """Whether all that was seen is right if these slips were made."""
        sight = self.sight(slips)
        return all(self._right_answer(one, slips, sight) == one.answer for one in evidence)

    def posterior(self, evidence: Sequence[Observation]) -> list[EquivalenceClass]:
        """All hypotheses by what looks would see, the likeliest first; the chances add up to 1."""
        self._look_at_strands(evidence)
        self._read(evidence)
        groups = self._singles(evidence)
        rates = self.priors.rates
        self.unknown = Unknown(evidence, self._planned_at, self.priors.foreign)
        self.another = AnotherPiece(evidence, self._planned_at, rates["other_piece"])
        unknown = self._without_sight("other", rates["other"] * self.unknown.likelihood)
        another = self._without_sight("other_piece", self.another.odds)
        pairs = self._pairs(groups, evidence) if self._odd(groups, unknown, evidence) else []
        groups += [group for group in (unknown, another) if group.prior]
        singles = len(groups)
        groups += pairs
        powers = _tempered([group.prior for group in groups], singles)
        if another.prior:
            powers[singles - 1] = another.prior
        believed = [group.odds for group in groups]
        tempered = [
            odds * power / group.prior
            for odds, power, group in zip(believed, powers, groups, strict=True)
        ]
        if another.prior:
            for weights in (believed, tempered):
                counts = sum(w for w, g in zip(weights, groups, strict=True) if g.count_alone)
                weights[singles - 1] += self.another.of_the_lot * counts
        found = [
            group.known(one / sum(believed), two / sum(tempered))
            for group, one, two in zip(groups, believed, tempered, strict=True)
        ]
        return sorted(found, key=lambda each: -each.chance)

    def _without_sight(self, slip: Slip, odds: float) -> _Group:
        return _Group(None, [((Suspect(slip),), odds)], self.priors.rates[slip])

    def _read(self, evidence: Sequence[Observation]) -> None:
        """Take in what a strand that was read off is by itself, bead by bead."""
        for one in evidence:
            if one.look.kind != "read" or one.made != self.planned.made or one in self._taken_in:
                continue
            self._taken_in.append(one)
            slips = differences(self.planned, one.look.strand, str(one.answer or ""))
            if 1 < len(slips) <= MOST_DIFFERENCES:
                odds = self.priors.rates["missing"] / self.planned.total
                self._know([(slips, odds * self.priors.one_more ** (len(slips) - 1))])

    def _singles(self, evidence: Sequence[Observation]) -> list[_Group]:
        """The single suspects; of those that explain no more than a misreading does, none."""
        now = all(one.made == self.planned.made and one.look.kind != "read" for one in evidence)
        found: list[_Group] = []
        misread = self._likelihood(evidence, (), self._groups[0][0])
        for sight, members in self._groups:
            if now:
                fits = [self._likelihood(evidence, (), sight)] * len(members)
            else:
                fits = [self._likelihood(evidence, slips, sight) for slips, _ in members]
            if evidence and found and max(fits) <= misread:
                continue
            weighed = [
                (slips, odds * fit) for (slips, odds), fit in zip(members, fits, strict=True)
            ]
            found.append(_Group(sight, weighed, sum(odds for _, odds in members)))
        return found

    def _likelihood(self, evidence: Sequence[Observation], slips: Slips, sight: Sight) -> float:
        """The probability of all evidence if these slips were made and this is to be seen."""
        chance = 1.0
        for one in evidence:
            right = self._right_answer(one, slips, sight)
            chance *= likelihood(
                one.look, right, one.answer, one.error_rate, self.likeness, one.miscount
            )
        return chance

    def _right_answer(self, one: Observation, slips: Slips, sight: Sight) -> Answer:
        """What would have been right when it was asked, if these slips were made."""
        then = self._planned_at(one.made)
        if one.look.kind == "read":
            slips = tuple(_as_of(then, slip) for slip in slips)
            return SupposedStand(then, slips).all_left(one.look.place)
        if then is self.planned:
            return predicted(one.look, sight, self.planned)
        slips = tuple(_as_of(then, slip) for slip in slips)
        return predicted(one.look, SupposedStand(then, slips).sight(), then)

    def _planned_at(self, made: int) -> PlannedStand:
        if made == self.planned.made:
            return self.planned
        if made not in self._earlier:
            self._earlier[made] = PlannedStand(self.planned.plan, made)
        return self._earlier[made]

    def _odd(
        self, groups: Sequence[_Group], unknown: _Group, evidence: Sequence[Observation]
    ) -> bool:
        """Whether the best single suspect is at odds with something seen."""
        if len(evidence) < 2:
            return False
        best = max(groups, key=lambda group: group.odds)
        if unknown.odds > best.odds:
            return True
        assert best.sight is not None
        return any(
            predicted(one.look, best.sight, self.planned) != one.answer
            for one in evidence[1:]
            if one.made == self.planned.made
        )

    def _pairs(self, groups: Sequence[_Group], evidence: Sequence[Observation]) -> list[_Group]:
        """Two slips together, of the best single suspects, where no single one shows the same."""
        known = {g.sight.signature(self.planned) for g in groups if g.sight is not None}
        best = []
        for group in groups:
            singles = [
                (slips[0], odds)
                for slips, odds in group.members
                if len(slips) == 1 and slips[0].slip != "misread"
            ]
            if singles:
                best.append((max(singles, key=lambda member: member[1])[0], group.odds))
        best.sort(key=lambda suspect: -suspect[1])
        some = [suspect for suspect, _ in best[:MOST_PAIRED]]
        found: dict[object, _Group] = {}
        for one, two, odds in pairs_of(some, self._prior, self.priors.together):
            slips = (one, two)
            sight = self.sight(slips)
            signature = sight.signature(self.planned)
            if signature in known:
                continue
            group = found.setdefault(signature, _Group(sight, [], 0.0))
            group.members.append((slips, odds * self._likelihood(evidence, slips, sight)))
            group.prior += odds
        return list(found.values())


def _as_of(then: PlannedStand, slip: Suspect) -> Suspect:
    """A slip somewhere in a run, at the latest cross of it that was made then, if any was."""
    if slip.strand is None or slip.first is None or slip.at is None or slip.at <= then.made:
        return slip
    bead = min(then.counts[slip.strand - 1], slip.last or 0)
    return replace(slip, at=then.cross_of(slip.strand, bead - 1)) if bead >= slip.first else slip


def _tempered(priors: Sequence[float], singles: int) -> list[float]:
    """Prior odds to the power of TEMPER, scaled so that those of single slips keep their sum.

    The first of them is the misreading; pairs, after the singles, are scaled as two of them. The
    odds of another piece, the last of the singles, count in the sum and stay as they are.
    """
    powers = [prior**TEMPER for prior in priors]
    scale = sum(priors[1:singles]) / sum(powers[1:singles])
    return [
        MISREAD_TEMPERED if i == 0 else power * (scale if i < singles else scale * scale)
        for i, power in enumerate(powers)
    ]
