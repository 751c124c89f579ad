"""Measure the search for slips on simulated makers.

    python -m tests.speed.slips_simulate --slips 2000 --flawless 1000 --seed 1

prints, for random slips of every kind over the shipped patterns and random ones: how often the
true suspect, or one that no look tells from it, is on top after the looks, with true answers and
with one in fifty wrong; mean seconds of looks against the look with the most bits first and, in
small cases, against the best possible order of looks; how often a false report on a flawless
piece ends as a misreading; and what the offered glances and counts find before it would show.
Wanted: 98 %, 95 %, at most 1.3 times the best, 90 %, 20 % of the missing and extra beads of drops.
About five minutes on one core.
"""

from __future__ import annotations

import argparse
import random
import time
from collections import defaultdict
from dataclasses import dataclass, field, replace
from functools import cache

from bench.craft.plan import Plan
from bench.slips.evidence import named_beads
from bench.slips.inquiry import CLEAR, Inquiry
from bench.slips.likeness import Likeness
from bench.slips.looks import ANOTHER, Answer, Look, candidates, mutual_information, predicted
from bench.slips.supposed_stand import SupposedStand
from bench.slips.suspect import Slip, Suspect
from tests.speed.slips_checked import CURVE, checked
from tests.support.slips_makers import DROPS, KINDS, SHIPPED, Hands, plant, random_plan, shipped

MOST_LOOKS = 12


class BitsFirst(Inquiry):
    """The rival that asks the look with the most bits, whatever it costs."""

    def rank(self, look: Look, gain: float) -> float:
        """Bits alone."""
        return gain


@cache
def plan_of(name: str) -> Plan:
    """A shipped plan, built once."""
    return shipped(name)


def likeness_of(plan: Plan) -> Likeness:
    """How alike the plan's beads look to eyes of full colour vision."""
    return Likeness(plan.pattern)


@dataclass
class Case:
    """A slip that was noticed: so many crosses made, a report at a place."""

    plan: Plan
    likeness: Likeness
    slip: Suspect
    made: int
    place: int
    saw: str | None
    in_braid: str | None
    hands: Hands


def braid_until_noticed(
    plan: Plan, likeness: Likeness, slip: Suspect, rng: random.Random
) -> Case | None:
    """Braid on until the maker notices something; None if that never comes about."""
    hands = Hands(plan, (slip,))
    for made in range(plan.crosses):
        hands.count(made)
        if slip.shift is not None and slip.slip in ("count_off", "round_off"):
            # A count that runs ahead gets there key by key: what holds now is the truth.
            slip = replace(slip, shift=made - hands.real)
        for move in plan.step(made + 1).carried:
            place = move.transfer.start
            saw = hands.ahead(place)[:1] or None
            planned = plan.remaining(move.strand, made).replace("-", "")[:1] or None
            if saw != planned and rng.random() > likeness.overlooked(planned, saw):
                return Case(plan, likeness, slip, made, place, saw, None, hands)
        if hands.marks and made % plan.row_length == 0:
            place = hands.at.index(hands.marks[-1].thread) + 1
            seen = hands.in_braid(place, made)
            if seen != "nothing" and rng.random() > 0.5:
                return Case(plan, likeness, slip, made, place, None, seen, hands)
    return None


def noticed(kind: Slip, rng: random.Random) -> Case:
    """A random slip of a kind that the maker comes to notice, in a random or shipped pattern."""
    while True:
        plan = plan_of(rng.choice(SHIPPED)) if rng.random() < 0.5 else random_plan(rng)
        slip = plant(plan, kind, rng)
        if slip is not None:
            case = braid_until_noticed(plan, likeness_of(plan), slip, rng)
            if case is not None:
                return case


def wrong_answer(look: Look, right: Answer, case: Case, rng: random.Random) -> Answer:
    """A wrong answer such as makers give: a like bead, one off in a count."""
    letters = list(case.likeness.letters)
    if look.kind == "next":
        others: list[str | None] = [x for x in (*letters, None) if x != right]
        weights = [
            case.likeness.mistaken(right if isinstance(right, str) else None, x) for x in others
        ]
        return rng.choices(others, weights)[0]
    if look.kind in ("next3", "read"):
        text = list(str(right)) or [rng.choice(letters)]
        text[rng.randrange(len(text))] = rng.choice(letters)
        return "".join(text)
    if look.kind == "piece":
        return ANOTHER
    if look.kind == "braid":
        return rng.choice([x for x in ("gap", "proud", "nothing") if x != right])
    assert isinstance(right, int)
    return max(0, right + rng.choice([-1, 1]))


@dataclass
class Outcome:
    """How an inquiry ended."""

    right: bool
    seconds: float
    looks: int
    settled: bool
    slowest_s: float
    top: str


def inquire(
    case: Case, rng: random.Random, false: float = 0.0, policy: type[Inquiry] = Inquiry
) -> Outcome:
    """Report and answer until nothing is asked any more."""
    begun = time.perf_counter()
    inquiry = policy(case.plan, case.made, case.likeness)
    if case.in_braid is not None:
        inquiry.report_braid(case.place, case.in_braid)
    else:
        inquiry.report(case.place, case.saw)
    slowest, seconds, looks = time.perf_counter() - begun, 0.0, 0
    while inquiry.look is not None and looks < MOST_LOOKS:
        look = inquiry.look
        answer = case.hands.right_answer(look, case.made)
        if rng.random() < false:
            answer = wrong_answer(look, answer, case, rng)
        begun = time.perf_counter()
        inquiry.answer(look, answer)
        slowest = max(slowest, time.perf_counter() - begun)
        seconds += look.seconds
        looks += 1
    truth = SupposedStand(inquiry.planned, (case.slip,)).sight().signature(inquiry.planned)
    top = inquiry.classes[0]
    right = top.sight is not None and top.sight.signature(inquiry.planned) == truth
    kind = "+".join(s.slip for s in top.first.slips)
    return Outcome(right, seconds, looks, inquiry.settled, slowest, kind)


@dataclass
class Tally:
    """Outcomes by kind of slip."""

    of: dict[str, list[Outcome]] = field(default_factory=lambda: defaultdict(list))

    def share(self, kind: str | None = None) -> float:
        """Share of right tops."""
        every = [o for k, found in self.of.items() if kind in (None, k) for o in found]
        return sum(o.right for o in every) / len(every)

    def seconds(self) -> float:
        """Mean seconds of looks."""
        every = [o.seconds for found in self.of.values() for o in found]
        return sum(every) / len(every)


def single_slips(
    count: int, seed: int, false: float = 0.0, policy: type[Inquiry] = Inquiry
) -> Tally:
    """So many slips, every kind as often."""
    rng, tally = random.Random(seed), Tally()
    for number in range(count):
        kind = KINDS[number % len(KINDS)]
        case = noticed(kind, random.Random(rng.random()))
        tally.of[kind].append(inquire(case, random.Random(rng.random()), false, policy))
    return tally


def flawless(count: int, seed: int) -> tuple[float, float]:
    """Share of false reports on flawless pieces that end as a misreading; mean seconds."""
    rng, right, seconds = random.Random(seed), 0, 0.0
    for _ in range(count):
        plan = plan_of(rng.choice(SHIPPED)) if rng.random() < 0.5 else random_plan(rng)
        likeness = likeness_of(plan)
        made = rng.randrange(plan.plain_start, plan.last_bead_cross)
        move = rng.choice(plan.step(made + 1).carried)
        planned = move.bead
        others: list[str | None] = [x for x in (*likeness.letters, None) if x != planned]
        saw = rng.choices(others, [likeness.mistaken(planned, x) for x in others])[0]
        hands = Hands(plan, ())
        hands.count(made)
        nothing = Suspect("misread")
        case = Case(plan, likeness, nothing, made, move.transfer.start, saw, None, hands)
        outcome = inquire(case, rng)
        right += outcome.right
        seconds += outcome.seconds
    return right / count, seconds / count


def best_and_ours(inquiry: Inquiry, most: int = 9) -> tuple[float, float, float] | None:
    """Expected seconds to a clear suspect in a small case: best order, ours, most bits first.

    Answers are taken as true. None if the case is too large for every order to be tried.
    """
    live = [g for g in inquiry.classes if g.chance > 0.002 and g.sight is not None]
    if not 2 <= len(live) <= most:
        return None
    planned = inquiry.planned
    places = sorted({p for g in live if g.sight for p in (*g.sight.ahead, *g.sight.braid)})
    first = inquiry.evidence[0]
    saw = named_beads([first])
    priced = []
    for look in candidates(planned, places, first.look.place, saw, inquiry.maker.costs):
        look, gain = inquiry.expected(look, live)
        if gain > 0:
            answers = tuple(predicted(look, g.sight, planned) for g in live if g.sight)
            priced.append((look.seconds, answers))
    tables = sorted(set(priced), key=str)
    chances = [g.chance for g in live]

    def done(left: tuple[int, ...]) -> bool:
        total = sum(chances[i] for i in left)
        return max(chances[i] for i in left) > CLEAR * total

    def split(left: tuple[int, ...], answers: tuple[Answer, ...]) -> list[tuple[int, ...]]:
        parts: dict[Answer, list[int]] = {}
        for i in left:
            parts.setdefault(answers[i], []).append(i)
        return [tuple(part) for part in parts.values()]

    @cache
    def best(left: tuple[int, ...]) -> float:
        if done(left):
            return 0.0
        total = sum(chances[i] for i in left)
        costs = [
            seconds + sum(sum(chances[i] for i in part) / total * best(part) for part in parts)
            for seconds, answers in tables
            if len(parts := split(left, answers)) > 1
        ]
        return min(costs, default=0.0)

    def greedy(left: tuple[int, ...], per_second: bool) -> float:
        if done(left):
            return 0.0
        total = sum(chances[i] for i in left)
        top, chosen = 0.0, None
        for seconds, answers in tables:
            parts = split(left, answers)
            gain = mutual_information([sum(chances[i] for i in part) for part in parts], 0.0)
            value = gain / seconds if per_second else gain
            if value > top + 1e-12:
                top, chosen = value, (seconds, parts)
        if chosen is None:
            return 0.0
        seconds, parts = chosen
        return seconds + sum(
            sum(chances[i] for i in part) / total * greedy(part, per_second) for part in parts
        )

    every = tuple(range(len(live)))
    return best(every), greedy(every, True), greedy(every, False)


def small_cases(count: int, seed: int) -> tuple[float, float, float, int]:
    """Mean expected seconds over small cases: best order, ours, most bits first; how many."""
    rng = random.Random(seed)
    sums, found = [0.0, 0.0, 0.0], 0
    for number in range(count):
        case = noticed(KINDS[number % len(KINDS)], random.Random(rng.random()))
        inquiry = Inquiry(case.plan, case.made, case.likeness)
        if case.in_braid is not None:
            inquiry.report_braid(case.place, case.in_braid)
        else:
            inquiry.report(case.place, case.saw)
        three = best_and_ours(inquiry)
        if three is not None:
            found += 1
            sums = [a + b for a, b in zip(sums, three, strict=True)]
    return sums[0] / found, sums[1] / found, sums[2] / found, found


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--slips", type=int, default=2000)
    parser.add_argument("--flawless", type=int, default=1000)
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args()
    for false in (0.0, 0.02):
        tally = single_slips(given.slips, given.seed, false)
        print(f"wrong answers {false:.0%}: on top {tally.share():.1%}, {tally.seconds():.1f} s")
        for kind, outcomes in tally.of.items():
            tops = sorted({o.top for o in outcomes if not o.right})
            slowest = max(o.slowest_s for o in outcomes)
            settled = sum(o.settled for o in outcomes) / len(outcomes)
            mean = sum(o.seconds for o in outcomes) / len(outcomes)
            print(
                f"  {kind:18} {tally.share(kind):6.1%} of {len(outcomes)}, {mean:4.1f} s,"
                f" settled {settled:4.0%}, slowest {slowest * 1000:.0f} ms"
                + (f"; else {', '.join(tops[:5])}" if tops else "")
            )
    rival = single_slips(given.slips, given.seed, 0.0, BitsFirst)
    print(f"most bits first: on top {rival.share():.1%}, {rival.seconds():.1f} s")
    best, ours, rated, cases = small_cases(given.slips // 4, given.seed)
    print(
        f"{cases} small cases, expected seconds: best {best:.2f}, ours {ours:.2f}, bits {rated:.2f}"
    )
    share, seconds = flawless(given.flawless, given.seed)
    print(f"flawless pieces: misread {share:.1%}, {seconds:.1f} s")
    for names, what in ((DROPS, "drops"), (("stair-rope",), "rope")):
        for frequency in CURVE:
            found, asked = checked(names, frequency, given.slips // 2, given.seed)
            print(f"{what}: {found:.1%} found for {asked:.0f} s asked a piece ({frequency})")


if __name__ == "__main__":
    main()
