"""Posterior odds by exact fractions, and information by scipy's entropy."""

from __future__ import annotations

from collections import defaultdict
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bench.craft.pattern import Bead, Pattern, Threads
from bench.craft.plan import Plan
from bench.documents.library import Library
from bench.slips.another_piece import AS_SUPPOSED, OF_THE_LOT, UNUSUAL
from bench.slips.inquiry import Inquiry
from bench.slips.likeness import Likeness
from bench.slips.looks import ANY_ANSWER, BY_THE_FINGER, mutual_information
from bench.slips.maker import Maker
from bench.slips.posterior import MISREAD_TEMPERED, TEMPER
from bench.slips.priors import Priors
from bench.slips.suspect import Slip, Suspect
from bench.slips.suspects import COUNT_LASTS, FAR_ROWS
from bench.slips.unknown import ALL_OVER
from tests.support.slips_makers import Hands


class Alike(Likeness):
    """Chances that are whole fractions: a half of everything passes, misreadings fall evenly."""

    def overlooked(self, planned: str | None, actual: str | None) -> float:
        """A half, or certainty for the same bead."""
        return 1.0 if planned == actual else 0.5

    def mistaken(self, actual: str | None, seen: str | None) -> float:
        """A quarter each."""
        return 0.25


def small() -> tuple[Plan, Alike]:
    """Four strands of `2a 2b`; nothing but missing beads and counts off may happen."""
    structure = Library(None).structure("round-4")
    beads = {"a": Bead(size="15/0"), "b": Bead(size="11/0")}
    pattern = Pattern(
        format=1,
        title="Small",
        structure="round-4",
        threads=Threads(diameter_mm=0.13),
        beads=beads,
        loads={"all": "2a 2b"},
    )
    return Plan(pattern, structure), Alike(pattern)


def rates() -> Priors:
    """A quarter for each of two kinds, an eighth for `other`, half of it for another piece."""
    given: dict[Slip, float] = dict.fromkeys(Priors().rates, 0.0)
    given |= {"missing": 0.25, "count_off": 0.25, "other": 0.125, "other_piece": 0.0625}
    return Priors(given, one_more=0.0)


@pytest.mark.parametrize(("row", "saw"), [(1, "b"), (1, None), (2, "a"), (2, None)], ids=str)
def test_posterior_against_enumeration(row: int, saw: str | None) -> None:
    """Every possible history, walked on a stand of queues and weighed in fractions, agrees.

    Half of what is said is by the rates as they are; half by rates whose odds, for all that hangs
    alike taken together, are drawn together by a power and scaled to the same sum, and with fewer
    misreadings.
    """
    plan, likeness = small()
    made = plan.plain_start + row * plan.row_length
    inquiry = Inquiry(plan, made, likeness, Maker(priors=rates()))
    place = plan.step(made + 1).carried[0].transfer.start
    assert inquiry.planned.ahead[place][:1] != saw
    inquiry.report(place, saw)

    false = Fraction(inquiry.maker.error_rates.report)
    finger = Fraction(BY_THE_FINGER)
    any_other = (1 - finger) / 4 + finger / 3  # two letters and nothing have a key each
    priors: dict[object, Fraction] = defaultdict(Fraction)
    weights: dict[tuple[object, str], Fraction] = defaultdict(Fraction)

    def take(slip: Suspect, prior: Fraction) -> None:
        hands = Hands(plan, (slip,))
        hands.count(made)
        seen = hands.ahead(place)[:1] or None
        if slip.slip != "misread" and seen != saw:
            return  # explains it no better than a misreading
        hangs = tuple(hands.ahead(at) for at in range(1, plan.strands + 1))
        priors[hangs] += prior
        weights[hangs, slip.slip] += prior * (1 - false if seen == saw else false * any_other)

    for strand in range(1, 5):
        for index in range(4):
            prior = Fraction(1, 4) / 16
            actual = plan.loads[strand - 1][:index] + plan.loads[strand - 1][index + 1 :]
            for j in range(inquiry.planned.counts[strand - 1]):
                came = actual[j] if j < len(actual) else None
                prior *= 1 if came == plan.loads[strand - 1][j] else Fraction(1, 2)
            take(Suspect("missing", strand, index=index), prior)
    row = plan.row_length
    most = max(FAR_ROWS * row, len(plan.structure.round))
    far = {
        d: Fraction(1, abs(d)) * min(Fraction(1), Fraction(row, abs(d)))
        for d in range(-most, most + 1)
        if d
    }
    for d, weight in far.items():
        if 0 <= made - d <= plan.crosses:
            prior = Fraction(1, 4) * Fraction(COUNT_LASTS) * weight / sum(far.values())
            take(Suspect("count_off", shift=d, at=0), prior)
    one_strand, all_of_it = Fraction(ANY_ANSWER["next"]) / 4, Fraction(ALL_OVER)
    priors["other"] = Fraction(1, 8)
    weights["other", "other"] = Fraction(1, 8) * (one_strand + all_of_it) / 2
    unlike = Fraction(AS_SUPPOSED) * (Fraction(UNUSUAL) if saw is None else 1)
    another = Fraction(1, 16)
    scale = (sum(priors.values()) + another) / (
        sum(float(x) ** TEMPER for x in [*priors.values(), another])
    )
    drawn = {hangs: float(x) ** TEMPER * scale / float(x) for hangs, x in priors.items()}
    take(Suspect("misread"), Fraction(1))
    (as_planned,) = (hangs for hangs, kind in weights if kind == "misread")
    drawn[as_planned] = MISREAD_TEMPERED

    expected: dict[str, float] = defaultdict(float)
    for factors in ({}, drawn):
        odds: dict[str, float] = defaultdict(float)
        for (hangs, kind), weight in weights.items():
            odds[kind] += float(weight) * factors.get(hangs, 1.0)
        odds["other_piece"] = float(another * unlike) + OF_THE_LOT * odds["count_off"]
        for kind, weighed in odds.items():
            expected[kind] += weighed / sum(odds.values()) / 2

    ours: dict[str, float] = defaultdict(float)
    for each in inquiry.hypotheses:
        ours[each.slips[0].slip] += each.chance
    assert ours == pytest.approx(dict(expected), abs=1e-9)
    assert sum(ours.values()) == pytest.approx(1, abs=1e-12)


@given(
    st.lists(st.floats(0.001, 1), min_size=2, max_size=8),
    st.sampled_from([0.0, 0.02, 0.1]),
)
def test_information_against_scipy(shares: list[float], false: float) -> None:
    """H(answer) − H(answer | what is right), both by scipy.stats.entropy over the whole table."""
    from scipy.stats import entropy

    n = len(shares)
    belief = np.array(shares) / sum(shares)
    table = np.full((n, n), false / (n - 1))
    np.fill_diagonal(table, 1 - false)
    heard = belief @ table
    expected = entropy(heard, base=2) - belief @ np.array([entropy(r, base=2) for r in table])
    assert mutual_information(shares, false) == pytest.approx(expected, abs=1e-9)
