"""Measure how often what the talk about a slip says is true, over planted worlds of every kind.

    python -m tests.speed.slips_calibration --worlds 1000 --seed 1

plants so many worlds of each kind, those included that the program does not know, lets a simulated
maker notice and answer (all answers true, then 2 % and 5 % of them wrong), and prints, for the
suspect that ends on top, its stated chance against how often it is right, by bins; and by kind how
often it is right and told apart, and the seconds of looks. Right: what hangs on the stand and shows
in the braid is what the suspect says; in worlds of no known kind, `other` is on top, or the count
is set right if it is set, and no mend touches a sound strand. Another piece is told as one, but for
one of the same lot that nothing tells apart: there the count may be set to what hangs. Wanted:
above 0.9 nothing is right less often than it says by more than three standard errors.
"""

from __future__ import annotations

import argparse
import math
import multiprocessing
import random
import time
from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import cache

from bench.craft.plan import Plan
from bench.slips.inquiry import Inquiry
from bench.slips.likeness import Likeness
from bench.slips.mend_steps import NewRemaining, SetCount, SewIn
from bench.slips.mends import mends
from bench.slips.planned_stand import MOST_COUNTED, run_length
from bench.slips.posterior import EquivalenceClass
from tests.support.slips_makers import KINDS
from tests.support.slips_worlds import (
    OUTSIDE,
    WORLDS,
    OtherPiece,
    World,
    world,
    wrong_answer,
)

MOST_LOOKS = 15
BINS = (0.0, 0.5, 0.6, 0.7, 0.8, 0.9, 0.95, 0.99, 1.0)
WRONG = (0.0, 0.02, 0.05)


@dataclass(frozen=True, slots=True)
class Ended:
    """How a talk ended: what was on top, how likely it was said to be, and what was true."""

    kind: str
    top: str
    chance: float
    right: bool
    named: bool
    told_apart: bool
    seconds: float
    looks: int
    slowest_s: float


def ended(kind: str, seed: str, wrong: float) -> Ended:
    """Plant a world of a kind, report, and answer until nothing is asked any more."""
    planted = world(kind, random.Random(f"{seed} world"))
    rng = random.Random(f"{seed} answers")
    likeness = _likeness(planted.plan)
    begun = time.perf_counter()
    inquiry = Inquiry(planted.plan, planted.made, likeness)
    if planted.in_braid is not None:
        inquiry.report_braid(planted.place, planted.in_braid)
    else:
        inquiry.report(planted.place, planted.saw)
    slowest, seconds, looks = time.perf_counter() - begun, 0.0, 0
    while inquiry.look is not None and looks < MOST_LOOKS:
        look = inquiry.look
        answer = planted.hands.right_answer(look, planted.made)
        if answer is None and look.kind == "piece":
            inquiry.skip(look)
            continue
        if rng.random() < wrong:
            answer = wrong_answer(look, answer, planted.plan, rng)
        begun = time.perf_counter()
        inquiry.answer(look, answer)
        slowest = max(slowest, time.perf_counter() - begun)
        seconds, looks = seconds + look.seconds, looks + 1
    top = inquiry.classes[0]
    kinds = [s.slip for s in top.first.slips]
    return Ended(
        kind=kind,
        top="+".join(kinds),
        chance=top.chance,
        right=is_right(planted, inquiry, top),
        named=kinds == [kind] and _same_strands(planted, top),
        told_apart=inquiry.clear,
        seconds=seconds,
        looks=looks,
        slowest_s=slowest,
    )


@cache
def _likeness(plan: Plan) -> Likeness:
    return Likeness(plan.pattern)


def _same_strands(planted: World, top: EquivalenceClass) -> bool:
    if not planted.slips:
        return not top.first.slips[0].strand
    (true,), said = planted.slips, top.first.slips[0]
    return {true.strand, true.with_} == {said.strand, said.with_}


def is_right(planted: World, inquiry: Inquiry, top: EquivalenceClass) -> bool:
    """Whether the top suspect is what happened, or, in a world of no known kind, does no harm."""
    if top.slip == "other_piece":
        return isinstance(planted.hands, OtherPiece)
    if top.sight is None:
        return planted.kind in OUTSIDE
    of_another = isinstance(planted.hands, OtherPiece) and planted.hands.known
    if not of_another and _hangs_so(planted, inquiry, top):
        return True
    if planted.kind not in OUTSIDE or planted.kind in ("count_far", "piece_of_the_lot"):
        return False
    if top.first.slips[0].slip == "misread":
        return False
    touched, counts = set(), {planted.made}
    for way in mends(inquiry.planned, top.first.slips, inquiry.maker):
        counts |= {e.made for e in way.effects if isinstance(e, SetCount)}
        touched |= {e.strand for e in way.effects if isinstance(e, NewRemaining | SewIn)}
        touched |= {strand for strand, _ in way.string}
    made = min(counts - {planted.made}, default=planted.made)
    touched = touched or {s.strand for s in top.first.slips if s.strand is not None}
    if made != planted.hands.real and (made != planted.made or not touched):
        return False
    places = planted.plan.arrangement(made)
    return all(planted.unsound(places.index(strand) + 1) for strand in touched)


def _hangs_so(planted: World, inquiry: Inquiry, top: EquivalenceClass) -> bool:
    """Whether every look would find on the stand and in the braid what the suspect says."""
    assert top.sight is not None
    for place in range(1, planted.plan.strands + 1):
        said = top.sight.ahead.get(place, inquiry.planned.ahead[place])
        hangs = planted.hands.ahead(place)
        if said[:3] != hangs[:3]:
            return False
        if min(run_length(said), MOST_COUNTED + 1) != min(run_length(hangs), MOST_COUNTED + 1):
            return False
        if top.sight.braid.get(place, "nothing") != planted.hands.in_braid(place, planted.made):
            return False
    return True


def _of_task(task: tuple[str, str, float]) -> Ended:
    return ended(*task)


def measure(kinds: Sequence[str], worlds: int, seed: int, wrong: float) -> list[Ended]:
    """So many worlds of each kind, over both cores."""
    tasks = [(kind, f"{seed} {kind} {n}", wrong) for kind in kinds for n in range(worlds)]
    with multiprocessing.Pool() as pool:
        return pool.map(_of_task, tasks, chunksize=20)


def table(found: Iterable[Ended]) -> list[tuple[str, int, float, float, float]]:
    """By bins of the stated chance: the bin, how many, stated, right, in standard errors."""
    bins: dict[int, list[Ended]] = defaultdict(list)
    for one in found:
        if one.top != "other":
            bins[max(i for i, low in enumerate(BINS[:-1]) if one.chance >= low)].append(one)
    rows = []
    for i in sorted(bins):
        inside = bins[i]
        stated = sum(o.chance for o in inside) / len(inside)
        right = sum(o.right for o in inside) / len(inside)
        error = math.sqrt(max(stated * (1 - stated), 1e-9) / len(inside))
        name = f"{BINS[i]:.2f} to {BINS[i + 1]:.2f}"
        rows.append((name, len(inside), stated, right, (right - stated) / error))
    return rows


def _mean(found: Sequence[Ended], value: Callable[[Ended], float]) -> float:
    return sum(map(value, found)) / len(found) if found else math.nan


def show(found: Sequence[Ended], wrong: float) -> None:
    """Print the tables of one rate of wrong answers."""
    print(f"\n{wrong:.0%} of the answers wrong: stated against right, `other` on top left out")
    for name, many, stated, right, errors in table(found):
        print(f"  {name}  {many:6}  said {stated:6.2%}  right {right:6.2%}  {errors:+6.1f} s.e.")
    known = [o for o in found if o.kind in KINDS]
    print(
        f"known kinds: right and told apart {_mean(known, lambda o: o.right and o.told_apart):.2%},"
        f" {_mean(known, lambda o: o.seconds):.2f} s of looks"
        if known
        else "no known kinds"
    )
    for kind in dict.fromkeys(o.kind for o in found):
        here = [o for o in found if o.kind == kind]
        sure = [o for o in here if o.chance > 0.9 and o.top != "other"]
        amiss: dict[str, int] = defaultdict(int)
        for one in sure:
            amiss[one.top] += not one.right
        worst = [f"{k} {n}" for k, n in sorted(amiss.items(), key=lambda item: -item[1]) if n]
        print(
            f"  {kind:22} right {_mean(here, lambda o: o.right):6.1%}, and told apart"
            f" {_mean(here, lambda o: o.right and o.told_apart):6.1%}, so named"
            f" {_mean(here, lambda o: o.named):5.0%}, other"
            f" {_mean(here, lambda o: o.top == 'other'):4.0%},"
            f" {_mean(here, lambda o: o.seconds):4.1f} s; above 0.9:"
            f" {len(sure):4} said {_mean(sure, lambda o: o.chance):6.1%}"
            f" right {_mean(sure, lambda o: o.right):6.1%}"
            f"{'; amiss: ' if worst else ''}{', '.join(worst[:3])}"
        )
    print(f"slowest {max(o.slowest_s for o in found) * 1000:.0f} ms")


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--worlds", type=int, default=1000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--kinds", nargs="*", default=list(WORLDS))
    parser.add_argument("--wrong", nargs="*", type=float, default=list(WRONG))
    given = parser.parse_args()
    for wrong in given.wrong:
        begun = time.monotonic()
        found = measure(given.kinds, given.worlds, given.seed, wrong)
        show(found, wrong)
        print(f"took {time.monotonic() - begun:.0f} s", flush=True)


if __name__ == "__main__":
    main()
