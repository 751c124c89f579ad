"""The inquiry: from a report to what went wrong, one look at a time."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import combinations

from bench.craft.plan import Plan
from bench.slips.belief import Belief, Class, Habits, Seen, follows
from bench.slips.likeness import FOREIGN, Likeness
from bench.slips.looks import (
    UNIFORM,
    Answer,
    Costs,
    Kind,
    Look,
    bits,
    candidates,
    likelihood,
    predicted,
)
from bench.slips.pairs import PAIRED, together
from bench.slips.scene import MOST_COUNTED, Scene, Suspect, World
from bench.slips.suspects import Priors, singles

_Members = list[tuple[tuple[Suspect, ...], float]]
_Group = tuple[World | None, _Members, float]
"""What looks would see, the suspects with their odds, and the odds of all before any evidence."""

CLEAR = 0.95
"""One suspect above this, and no more is asked."""

TOLD = 0.005
"""Chance below which a suspect is not worth telling, but for the likeliest."""

SMALL = 1e-4
"""Belief too small to choose looks by."""

PRIOR_WEIGHT = 0.4
"""Power of the slips' prior odds in deciding whether and what to ask: rules of thumb must not
settle a question that a look of two seconds would. Chosen by simulated makers."""

LEAST_BITS = 0.005
"""A look that tells less than this is not worth asking."""

ASKED_AT_MOST = 2
"""A look is asked a second time only when no other tells anything."""


class Inquiry:
    """What may have gone wrong with a piece, so many crosses made.

    `report` and `answer` take evidence in; `classes`, `beliefs`, `settled` and `look` say what
    follows. Earlier evidence is kept; `at` moves on to another count of crosses.
    """

    def __init__(
        self,
        plan: Plan,
        made: int,
        likeness: Likeness,
        priors: Priors | None = None,
        costs: Costs | None = None,
        habits: Habits | None = None,
        evidence: Sequence[Seen] = (),
    ) -> None:
        self.plan = plan
        self.likeness = likeness
        self.priors = priors or Priors()
        self.costs = costs or Costs()
        self.habits = habits or Habits()
        self.evidence = list(evidence)
        self.set_aside: set[tuple[str, int, str | None]] = set()
        self.scene = Scene(plan, made)
        self._scenes: dict[int, Scene] = {}
        self._groups = self._group()
        self._weigh()

    def at(self, made: int) -> Inquiry:
        """The inquiry at another count of crosses made, with the evidence so far."""
        return Inquiry(
            self.plan, made, self.likeness, self.priors, self.costs, self.habits, self.evidence
        )

    # Evidence

    def report(self, place: int, saw: str | None) -> None:
        """Take in that the next bead at a place is not what the screen says."""
        self._take("next", place, saw, self.habits.false_report)

    def report_braid(self, place: int, saw: str) -> None:
        """Take in a gap or a proud bead on the line of the strand at a place."""
        self._take("braid", place, saw, self.habits.false_report)

    def _take(self, kind: Kind, place: int, saw: Answer, false: float) -> None:
        strand = self.scene.arrangement[place - 1]
        look = Look(kind, strand, place, 0.0)
        self.evidence.append(Seen(self.scene.made, look, saw, false))
        self._weigh()

    def answer(self, look: Look, answer: Answer) -> None:
        """Take in the answer to a look."""
        if look.kind == "left" and isinstance(answer, int):
            answer = min(answer, MOST_COUNTED + 1)
        self.evidence.append(Seen(self.scene.made, look, answer, self.habits.false_answer))
        self._weigh()

    def skip(self, look: Look) -> None:
        """Set a look aside that the maker cannot answer."""
        self.set_aside.add(look.key)
        self._choose()

    # What follows

    @property
    def beliefs(self) -> list[Belief]:
        """Every suspect by itself, the likeliest first; the chances add up to 1."""
        found = [belief for group in self.classes for belief in group.members]
        return sorted(found, key=lambda belief: -belief.chance)

    @property
    def settled(self) -> bool:
        """Whether one suspect is clear, but for those that no look tells from it.

        It must be clear, too, if slips were more alike in how likely they are beforehand; and a
        misreading must have been looked at again.
        """
        return self._clear and self._second_look() is None

    @property
    def _clear(self) -> bool:
        top = self.classes[0]
        return min(top.chance, top.doubted) > CLEAR and top.world is not None

    def _second_look(self) -> Look | None:
        """The look that a report still needs before it may be taken for a misreading."""
        if self.classes[0].first.slips[0].slip != "misread":
            return None
        here = [seen.look for seen in self.evidence if seen.made == self.scene.made]
        for look in here:
            again = replace(look, seconds=self.costs.of(look.kind))
            kinds = ("next", "next3") if look.kind == "next" else ("braid",)
            if (
                look.seconds == 0
                and again.key not in self.set_aside
                and not any(
                    other.place == look.place and other.kind in kinds and other.seconds > 0
                    for other in here
                )
            ):
                return again
        return None

    @property
    def known(self) -> list[Belief]:
        """The known suspects worth telling; among themselves where the unknown is likeliest."""
        known = [belief for belief in self.beliefs if belief.slips[0].slip != "other"]
        total = sum(b.chance for b in known) if self.classes[0].world is None else 1.0
        shares = [replace(belief, chance=belief.chance / total) for belief in known]
        return [belief for belief in shares if belief.chance >= TOLD or belief is shares[0]]

    def _agrees(self, slips: tuple[Suspect, ...]) -> bool:
        world = self.scene.world(slips)
        return all(self._right(seen, slips, world) == seen.answer for seen in self.evidence)

    @property
    def nothing_fits(self) -> bool:
        """Whether neither a slip nor a pair of slips explains what was seen.

        A misreading does not, where the same was seen twice and no look is left to ask.
        """
        top = self.classes[0]
        if top.world is None:
            return not any(self._agrees(b.slips) for b in self.known if len(b.slips) == 1)
        if top.first.slips[0].slip != "misread" or self.settled or self.look is not None:
            return False
        here = [seen for seen in self.evidence if seen.made == self.scene.made]
        told = [s for s in here if predicted(s.look, top.world, self.scene) != s.answer]
        return any(
            (one.look.key, one.answer) == (two.look.key, two.answer)
            for one, two in combinations(told, 2)
        )

    def seen_before(self, look: Look) -> bool:
        """Whether a look asks again what was reported or answered at this count of crosses."""
        return any(
            seen.look.key == look.key and seen.made == self.scene.made for seen in self.evidence
        )

    # Working out

    def _group(self) -> list[tuple[World, list[tuple[Suspect, float]]]]:
        groups: dict[object, tuple[World, list[tuple[Suspect, float]]]] = {}
        for suspect, odds in singles(self.scene, self.likeness, self.priors):
            world = self.scene.world((suspect,))
            key = world.visible(self.scene)
            if not key and suspect.slip != "misread":
                continue
            groups.setdefault(key, (world, []))[1].append((suspect, odds))
        return list(groups.values())

    def _explains(self, slips: tuple[Suspect, ...], world: World) -> float:
        """The chance of all evidence in a world."""
        chance = 1.0
        for seen in self.evidence:
            right = self._right(seen, slips, world)
            chance *= likelihood(seen.look, right, seen.answer, seen.false, self.likeness)
        return chance

    def _right(self, seen: Seen, slips: tuple[Suspect, ...], world: World) -> Answer:
        """What would have been answered in a world, of these slips, when it was asked."""
        if seen.made == self.scene.made:
            return predicted(seen.look, world, self.scene)
        if seen.made not in self._scenes:
            self._scenes[seen.made] = Scene(self.plan, seen.made)
        scene = self._scenes[seen.made]
        slips = tuple(self._then(slip, scene) for slip in slips)
        return predicted(seen.look, scene.world(slips), scene)

    def _then(self, slip: Suspect, scene: Scene) -> Suspect:
        """A slip somewhere in a run, at the latest cross of it that was made then, if any was."""
        if None in (slip.first, slip.strand, slip.at) or (slip.at or 0) <= scene.made:
            return slip
        strand, first = slip.strand or 0, slip.first or 0
        bead = min(scene.counts[strand - 1], slip.last or 0)
        return replace(slip, at=scene.cross_of(strand, bead - 1)) if bead >= first else slip

    def _weigh(self) -> None:
        here = all(seen.made == self.scene.made for seen in self.evidence)
        weighed: list[_Group] = []
        misread = self._explains((), self._groups[0][0])
        for world, members in self._groups:
            fit = self._explains((), world) if here else 0.0
            fits = [fit if here else self._explains((suspect,), world) for suspect, _ in members]
            if self.evidence and weighed and max(fits) <= misread:
                continue
            each: _Members = [((s,), o * f) for (s, o), f in zip(members, fits, strict=True)]
            weighed.append((world, each, sum(odds for _, odds in members)))
        singles_weighed = len(weighed) + 1
        prior = self.priors.rates["other"]
        unknown = prior * self._by_chance()
        pairs = self._pairs(weighed) if self._needs_pairs(weighed, unknown) else []
        weighed += [(None, [((Suspect("other"),), unknown)], prior), *pairs]
        sums = [sum(odds for _, odds in members) for _, members, _ in weighed]
        evened = self._evened([before for *_, before in weighed], singles_weighed)
        doubts = [
            odds * even / before
            for odds, even, (*_, before) in zip(sums, evened, weighed, strict=True)
        ]
        total, doubted = sum(sums), sum(doubts)
        self.classes = sorted(
            (
                Class(
                    tuple(
                        Belief(slips, odds / total)
                        for slips, odds in sorted(members, key=lambda m: -m[1])
                    ),
                    odds_here / total,
                    doubt / doubted,
                    world,
                )
                for (world, members, _), odds_here, doubt in zip(weighed, sums, doubts, strict=True)
            ),
            key=lambda group: -group.chance,
        )
        self._choose()

    def _by_chance(self) -> float:
        """The chance of all evidence where nothing is known of what went wrong.

        A look that is asked again is answered as before, but for a wrong answer.
        """
        chance = 1.0
        answers: dict[object, Answer] = {}
        for seen in self.evidence:
            key = seen.made, seen.look.key
            if key not in answers:
                chance *= UNIFORM[seen.look.kind]
                if isinstance(seen.answer, str) and FOREIGN in seen.answer:
                    chance *= self.priors.foreign
            else:
                chance *= 1 - seen.false if answers[key] == seen.answer else seen.false
            if seen.look.seconds:
                answers[key] = seen.answer
        return chance

    def _evened(self, priors: Sequence[float], singles: int) -> list[float]:
        """Prior odds brought nearer to each other, single slips with their sum kept.

        The first of them is the misreading, which stays as it is; pairs, after the singles, are
        changed as much as two of them.
        """
        roots = [prior**PRIOR_WEIGHT for prior in priors]
        up = sum(priors[1:singles]) / sum(roots[1:singles])
        return [
            1.0 if i == 0 else root * (up if i < singles else up * up)
            for i, root in enumerate(roots)
        ]

    def _needs_pairs(self, weighed: list[_Group], unknown: float) -> bool:
        """Whether the best single suspect is at odds with something seen."""
        if len(self.evidence) < 2:
            return False
        world, members, _ = max(weighed, key=lambda group: sum(odds for _, odds in group[1]))
        if unknown > sum(odds for _, odds in members):
            return True
        assert world is not None
        return any(
            predicted(seen.look, world, self.scene) != seen.answer
            for seen in self.evidence[1:]
            if seen.made == self.scene.made
        )

    def _pairs(self, weighed: list[_Group]) -> list[_Group]:
        known = {world.visible(self.scene) for world, *_ in weighed if world is not None}
        best = [
            (max(members, key=lambda m: m[1])[0][0], sum(odds for _, odds in members))
            for _, members, _ in weighed
            if members[0][0][0].slip != "misread"
        ]
        best.sort(key=lambda m: -m[1])
        some = [suspect for suspect, _ in best[:PAIRED]]
        prior = {s: odds for _, members in self._groups for s, odds in members}
        groups: dict[object, _Group] = {}
        told = {seen.look.strand for seen in self.evidence}
        for one, two, before in together(some, prior, told):
            slips = (one, two)
            world = self.scene.world(slips)
            key = world.visible(self.scene)
            if key in known:
                continue
            _, members, so_far = groups.get(key, (world, [], 0.0))
            members.append((slips, before * self._explains(slips, world)))
            groups[key] = world, members, so_far + before
        return list(groups.values())

    def _choose(self) -> None:
        self.look: Look | None = None
        if not self.evidence:
            return
        if self._clear:
            self.look = self._second_look()
            return
        live = [
            group for group in self.classes if group.doubted > SMALL and group.world is not None
        ]
        if len(live) < 2:
            return
        here = [seen for seen in self.evidence if seen.made == self.scene.made]
        asked = [s.look.key for s in here if s.look.seconds > 0]
        places = sorted({p for g in live if g.world for p in (*g.world.ahead, *g.world.braid)})
        first = (here or self.evidence[-1:])[0].look.place
        saw = [s.answer for s in here if s.look.kind == "next" and isinstance(s.answer, str)]
        options = [
            self.worth(look, live)
            for look in candidates(self.scene, places, first, saw, self.costs)
            if look.key not in self.set_aside and not follows(look, here)
        ]
        for times in range(ASKED_AT_MOST):
            best = 0.0
            for look, gain in options:
                new = asked.count(look.key) == times
                if new and gain > LEAST_BITS and self.rank(look, gain) > best:
                    best, self.look = self.rank(look, gain), look
            if self.look is not None:
                return

    def rank(self, look: Look, gain: float) -> float:
        """What the next look is chosen by: the bits that it is expected to give, a second."""
        return gain / look.seconds

    def worth(self, look: Look, live: Sequence[Class]) -> tuple[Look, float]:
        """A look with the seconds that it should take, and the bits that it should give."""
        shares: dict[Answer, float] = {}
        for group in live:
            assert group.world is not None
            right = predicted(look, group.world, self.scene)
            shares[right] = shares.get(right, 0.0) + group.doubted
        if look.kind == "left":
            if shares.get(MOST_COUNTED + 1, 0.0) > 0.01 * sum(shares.values()):
                return look, 0.0
            beads = sum(n * p for n, p in shares.items() if isinstance(n, int)) / sum(
                shares.values()
            )
            look = replace(look, seconds=self.costs.of("left", beads))
        return look, bits(list(shares.values()), self.habits.false_answer)
