"""Measure how long an answer takes, by the beads on each of eight strands.

    python -m tests.speed.slips_speed

prints, for 75 to 600 beads on a strand, the median seconds of taking in a report, of an answer,
and of an answer where every other one is wrong (so that pairs of slips are searched), with the
slowest of each; whether the true slip was on top after true answers; and the power of the beads
that the medians grow with: the slope of a straight line through their logarithms. Wanted at 300
beads: 100 ms, with pairs 1 s; a power of at most about 1. Times depend on the machine and what
else it does.
"""

from __future__ import annotations

import math
import random
import statistics
import time
from dataclasses import dataclass, field

from bench.slips.inquiry import Inquiry
from bench.slips.likeness import Likeness
from bench.slips.supposed_stand import SupposedStand
from bench.slips.suspect import Slip, Suspect
from tests.speed.slips_simulate import MOST_LOOKS, Case, wrong_answer
from tests.support.slips_makers import Hands, plant, random_plan

LENGTHS = (75, 150, 300, 600)
KINDS: tuple[Slip, ...] = ("missing", "two_brought_in", "count_off", "strands_exchanged")
REPEATS = 12


def case_of(length: int, kind: Slip, seed: int) -> Case | None:
    """A slip in a braid of so many beads a strand, when a carried strand first shows it."""
    rng = random.Random(seed)
    plan = random_plan(rng, length)
    slip = plant(plan, kind, rng)
    if slip is None:
        return None
    hands = Hands(plan, (slip,))
    likeness = Likeness(plan.pattern)
    for made in range(plan.last_bead_cross):
        hands.count(made)
        for move in plan.step(made + 1).carried:
            place = move.transfer.start
            saw = hands.ahead(place)[:1] or None
            if saw != (plan.remaining(move.strand, made)[:1] or None):
                if slip.shift is not None and kind == "count_off":
                    slip = Suspect(kind, shift=made - hands.real)
                return Case(plan, likeness, slip, made, place, saw, None, hands)
    return None


def timed(case: Case, rng: random.Random, false: float) -> tuple[list[float], bool]:
    """Seconds of the report and of each answer, and whether the truth was on top at the end."""
    begun = time.perf_counter()
    inquiry = Inquiry(case.plan, case.made, case.likeness)
    inquiry.report(case.place, case.saw)
    took = [time.perf_counter() - begun]
    while inquiry.look is not None and len(took) <= MOST_LOOKS:
        look = inquiry.look
        answer = case.hands.right_answer(look, case.made)
        if rng.random() < false:
            answer = wrong_answer(look, answer, case, rng)
        begun = time.perf_counter()
        inquiry.answer(look, answer)
        took.append(time.perf_counter() - begun)
    truth = SupposedStand(inquiry.planned, (case.slip,)).sight().signature(inquiry.planned)
    top = inquiry.classes[0].sight
    return took, top is not None and top.signature(inquiry.planned) == truth


@dataclass
class Times:
    """Seconds by what was taken in, and how many of the cases ended right."""

    reports: list[float] = field(default_factory=list)
    answers: list[float] = field(default_factory=list)
    paired: list[float] = field(default_factory=list)
    right: int = 0
    cases: int = 0

    def medians(self) -> tuple[float, float, float]:
        """The median of each."""
        found = [statistics.median(t) for t in (self.reports, self.answers, self.paired)]
        return found[0], found[1], found[2]


def measure(length: int, repeats: int) -> Times:
    """Cases of every kind, each with true and with wrong answers."""
    times = Times()
    for kind in KINDS:
        found = 0
        for seed in range(20 * repeats):
            case = case_of(length, kind, seed) if found < repeats else None
            if case is None:
                continue
            found += 1
            took, on_top = timed(case, random.Random(seed), 0.0)
            times.reports.append(took[0])
            times.answers += took[1:]
            times.right, times.cases = times.right + on_top, times.cases + 1
            times.paired += timed(case, random.Random(seed), 0.5)[0][1:]
    return times


def power(lengths: tuple[int, ...], seconds: list[float]) -> float:
    """The power of the lengths that seconds grow with: least squares on logarithms."""
    return statistics.linear_regression(
        [math.log(x) for x in lengths], [math.log(y) for y in seconds]
    ).slope


def main() -> None:
    """Measure and print."""
    medians = []
    for length in LENGTHS:
        times = measure(length, REPEATS)
        medians.append(times.medians())
        print(f"8 x {length} beads, {times.right} of {times.cases} right:")
        for what, took in (
            ("reports", times.reports), ("answers", times.answers), ("pairs", times.paired),
        ):  # fmt: skip
            print(
                f"  {what}: median {statistics.median(took) * 1000:.1f} ms,"
                f" slowest {max(took) * 1000:.0f} ms of {len(took)}"
            )
    for number, what in enumerate(("reports", "answers", "pairs")):
        grows = power(LENGTHS, [row[number] for row in medians])
        print(f"{what} grow with the beads to the power {grows:.2f}")


if __name__ == "__main__":
    main()
