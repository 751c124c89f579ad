"""Bayes' rule over the suspects: prior odds times the likelihood of all that was seen."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from bench.craft.plan import Plan
from bench.slips.evidence import Observation
from bench.slips.likeness import FOREIGN, Likeness
from bench.slips.looks import ANY_ANSWER, Answer, likelihood, predicted
from bench.slips.planned_stand import PlannedStand
from bench.slips.priors import Priors
from bench.slips.slip_pairs import MOST_PAIRED, pairs_of
from bench.slips.supposed_stand import Sight, SupposedStand
from bench.slips.suspect import Suspect
from bench.slips.suspects import single_suspects

TEMPER = 0.4
"""Power of the slips' prior odds in deciding whether and what to ask: rules of thumb must not
settle a question that a look of two seconds would. Chosen by simulated makers."""

Slips = tuple[Suspect, ...]


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
    tempered: float
    """The chance under tempered priors: slips more alike in how likely they are beforehand."""
    sight: Sight | None
    """None: something that this list does not know."""

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


class Model:
    """Every single suspect once so many crosses are counted, with its prior odds."""

    def __init__(self, plan: Plan, made: int, likeness: Likeness, priors: Priors) -> None:
        self.planned = PlannedStand(plan, made)
        self.likeness = likeness
        self.priors = priors
        self._earlier: dict[int, PlannedStand] = {}
        self._groups: list[tuple[Sight, list[tuple[Suspect, float]]]] = []
        """By sight; first that of a misreading."""
        by_signature: dict[object, list[tuple[Suspect, float]]] = {}
        for suspect, odds in single_suspects(self.planned, likeness, priors):
            sight = self.sight((suspect,))
            signature = sight.signature(self.planned)
            if not signature and suspect.slip != "misread":
                continue
            if signature not in by_signature:
                by_signature[signature] = []
                self._groups.append((sight, by_signature[signature]))
            by_signature[signature].append((suspect, odds))

    def sight(self, slips: Slips) -> Sight:
        """What looks would see now if these slips were made."""
        return SupposedStand(self.planned, slips).sight()

    def agrees(self, slips: Slips, evidence: Sequence[Observation]) -> bool:
        """Whether all that was seen is right if these slips were made."""
        sight = self.sight(slips)
        return all(self._right_answer(one, slips, sight) == one.answer for one in evidence)

    def posterior(self, evidence: Sequence[Observation]) -> list[EquivalenceClass]:
        """All hypotheses by what looks would see, the likeliest first; the chances add up to 1."""
        groups = self._singles(evidence)
        singles, prior = len(groups) + 1, self.priors.rates["other"]
        other = (Suspect("other"),), prior * self._likelihood_of_other(evidence)
        unknown = _Group(None, [other], prior)
        pairs = self._pairs(groups, evidence) if self._odd(groups, unknown, evidence) else []
        groups += [unknown, *pairs]
        powers = _tempered([group.prior for group in groups], singles)
        odds = [group.odds for group in groups]
        tempered = [
            here * power / group.prior
            for here, power, group in zip(odds, powers, groups, strict=True)
        ]
        total, total_tempered = sum(odds), sum(tempered)
        found = []
        for group, here, flat in zip(groups, odds, tempered, strict=True):
            best_first = sorted(group.members, key=lambda member: -member[1])
            members = tuple(Hypothesis(slips, odds / total) for slips, odds in best_first)
            found.append(
                EquivalenceClass(members, here / total, flat / total_tempered, group.sight)
            )
        return sorted(found, key=lambda each: -each.chance)

    def _singles(self, evidence: Sequence[Observation]) -> list[_Group]:
        """The single suspects; of those that explain no more than a misreading does, none."""
        now = all(one.made == self.planned.made for one in evidence)
        found: list[_Group] = []
        misread = self._likelihood(evidence, (), self._groups[0][0])
        for sight, members in self._groups:
            if now:
                fits = [self._likelihood(evidence, (), sight)] * len(members)
            else:
                fits = [self._likelihood(evidence, (suspect,), sight) for suspect, _ in members]
            if evidence and found and max(fits) <= misread:
                continue
            weighed: list[tuple[Slips, float]] = [
                ((suspect,), odds * fit) for (suspect, odds), fit in zip(members, fits, strict=True)
            ]
            found.append(_Group(sight, weighed, sum(odds for _, odds in members)))
        return found

    def _likelihood(self, evidence: Sequence[Observation], slips: Slips, sight: Sight) -> float:
        """The probability of all evidence if these slips were made and this is to be seen."""
        chance = 1.0
        for one in evidence:
            right = self._right_answer(one, slips, sight)
            chance *= likelihood(one.look, right, one.answer, one.error_rate, self.likeness)
        return chance

    def _right_answer(self, one: Observation, slips: Slips, sight: Sight) -> Answer:
        """What would have been right when it was asked, if these slips were made."""
        if one.made == self.planned.made:
            return predicted(one.look, sight, self.planned)
        if one.made not in self._earlier:
            self._earlier[one.made] = PlannedStand(self.planned.plan, one.made)
        then = self._earlier[one.made]
        slips = tuple(_as_of(then, slip) for slip in slips)
        return predicted(one.look, SupposedStand(then, slips).sight(), then)

    def _likelihood_of_other(self, evidence: Sequence[Observation]) -> float:
        """The probability of all evidence where nothing is known of what went wrong.

        A look that is asked again is answered as before, but for a wrong answer.
        """
        chance = 1.0
        answers: dict[object, Answer] = {}
        for one in evidence:
            key = one.made, one.look.key
            if key not in answers:
                chance *= ANY_ANSWER[one.look.kind]
                if isinstance(one.answer, str) and FOREIGN in one.answer:
                    chance *= self.priors.foreign
            else:
                chance *= 1 - one.error_rate if answers[key] == one.answer else one.error_rate
            if one.asked:
                answers[key] = one.answer
        return chance

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
        best = [
            (max(group.members, key=lambda member: member[1])[0][0], group.odds)
            for group in groups
            if group.members[0][0][0].slip != "misread"
        ]
        best.sort(key=lambda suspect: -suspect[1])
        some = [suspect for suspect, _ in best[:MOST_PAIRED]]
        prior = {suspect: odds for _, members in self._groups for suspect, odds in members}
        found: dict[object, _Group] = {}
        for one, two, odds in pairs_of(some, prior, {seen.look.strand for seen in evidence}):
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
    """Prior odds to the power of TEMPER, with the sum of those of single slips kept.

    The first of them is the misreading, which stays at 1; pairs, after the singles, are scaled as
    two of them.
    """
    powers = [prior**TEMPER for prior in priors]
    scale = sum(priors[1:singles]) / sum(powers[1:singles])
    return [
        1.0 if i == 0 else power * (scale if i < singles else scale * scale)
        for i, power in enumerate(powers)
    ]
