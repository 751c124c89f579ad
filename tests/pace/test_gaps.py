"""Clean times."""

from __future__ import annotations

import math
import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bench.pace.gaps import Rhythm, Tick, find_breaks, rhythm_of, share_out, sum_stage

GAPS = st.lists(st.floats(0.5, 4000.0), max_size=80)


def working(rng: random.Random, n: int, typical: float, sd: float = 0.3) -> list[float]:
    """Gaps of a maker at work."""
    return [typical * math.exp(sd * rng.gauss(0, 1)) for _ in range(n)]


@pytest.mark.parametrize("typical", [6.0, 25.0, 90.0, 240.0])
def test_breaks_are_found_whatever_the_speed(typical: float) -> None:
    """Breaks of ten times a maker's own gap are found and work is left alone, slow or fast."""
    rng = random.Random(3)
    gaps = working(rng, 200, typical)
    broken = sorted(rng.sample(range(200), 8))
    for i in broken:
        gaps[i] += 10 * typical
    clean = find_breaks(gaps, floor_s=1.0, ceiling_s=1e6)
    found = [i for i, is_break in enumerate(clean.breaks) if is_break]
    assert set(broken) <= set(found)
    assert len(found) - len(broken) <= 1


@given(st.lists(st.floats(30.0, 4000.0), min_size=1, max_size=80), st.floats(0.1, 20.0))
def test_only_the_shape_matters(gaps: list[float], pace: float) -> None:
    """A maker who is so many times slower throughout has the same breaks."""
    rhythm = Rhythm(math.log(25.0), 0.4, 40)
    slower = Rhythm(math.log(25.0 * pace), 0.4, 40)
    one = find_breaks(gaps, earlier=rhythm, floor_s=1e-9, ceiling_s=1e9)
    other = find_breaks([g * pace for g in gaps], earlier=slower, floor_s=1e-9, ceiling_s=1e9)
    assert other.limit_s == pytest.approx(pace * one.limit_s)
    near = [abs(math.log(g / one.limit_s)) < 1e-9 for g in gaps]
    assert all(a == b or n for a, b, n in zip(one.breaks, other.breaks, near, strict=True))


def test_clean_times_against_the_truth() -> None:
    """With breaks of minutes to an hour in it, a braid's hands-on time is right within 3 %.

    Two hundred braids of 72 crosses, slow and fast makers, every fourth cross slower, up to four
    breaks; mean error within 3 %, and no more than one braid in twenty off by over 12 %.
    """
    rng = random.Random(8)
    errors = []
    for _ in range(200):
        typical, sd = rng.choice([8.0, 25.0, 60.0]), rng.uniform(0.2, 0.45)
        gaps = working(rng, 72, typical, sd)
        gaps = [g * (1.6 if i % 4 == 0 else 1.0) for i, g in enumerate(gaps)]
        truth = sum(gaps)
        for i in rng.sample(range(72), rng.randrange(5)):
            gaps[i] += rng.choice([300.0, 900.0, 3600.0])
        found = sum_stage([Tick("made", i + 1, g) for i, g in enumerate(gaps)])
        errors.append(found.hands_on_s / truth - 1)
    assert abs(sum(errors) / len(errors)) < 0.03
    assert sum(abs(e) > 0.12 for e in errors) <= 10


def test_presses_in_bursts_hide_no_work() -> None:
    """Who braids a row and then presses four times is not taken to pause at every row."""
    rng = random.Random(5)
    gaps = []
    for _ in range(17):
        gaps += [*working(rng, 1, 100.0), *working(rng, 3, 0.9)]
    gaps[20] = 1500.0
    clean = find_breaks(gaps)
    assert [i for i, is_break in enumerate(clean.breaks) if is_break] == [20]


def test_first_gaps_lean_on_what_was_before() -> None:
    """With three gaps a slow maker's earlier rhythm decides, not the general one."""
    slow = Rhythm(math.log(120.0), 0.3, 500)
    gaps = [110.0, 150.0, 400.0]
    assert not any(find_breaks(gaps, earlier=slow).breaks)
    assert rhythm_of([], slow) == slow


@given(GAPS, st.dictionaries(st.integers(0, 90), st.booleans(), max_size=5))
def test_floor_ceiling_and_the_makers_word(gaps: list[float], said: dict[int, bool]) -> None:
    """No gap below the floor is a break, each above the ceiling is, and the maker's word wins."""
    clean = find_breaks(gaps, floor_s=60, ceiling_s=1800, overrides=said)
    for i, (gap, is_break) in enumerate(zip(gaps, clean.breaks, strict=True)):
        if i in said:
            assert is_break == said[i]
        elif gap <= 60 or gap > 1800:
            assert is_break == (gap > 1800)


@pytest.mark.parametrize("gap", [-1.0, math.nan, math.inf])
def test_gaps_that_cannot_be(gap: float) -> None:
    """A gap that is negative or not finite is refused by its number."""
    with pytest.raises(ValueError, match="gap 1"):
        find_breaks([3.0, gap])


KINDS = st.sampled_from(["made", "taken_back", "set", "other"])
TICKS = st.lists(
    st.builds(Tick, KINDS, st.integers(0, 30), st.none() | st.floats(0.0, 5000.0)), max_size=60
)


@given(TICKS)
def test_every_second_is_somewhere(ticks: list[Tick]) -> None:
    """Hands-on, rework and breaks add up to the gaps, and unknown ones at the typical gap."""
    found = sum_stage(ticks)
    known = sum(t.gap_s for t in ticks if t.gap_s is not None)
    steps = [t.gap_s for t in ticks if t.kind != "other"]
    gaps = [gap for gap in steps if gap is not None and gap <= 1800]
    whole = known + found.unknown * rhythm_of(gaps).typical_s
    assert found.hands_on_s + found.rework_s + found.break_s == pytest.approx(whole)
    assert sum(found.work_s) == pytest.approx(found.hands_on_s + found.rework_s)


def test_a_mark_is_no_break() -> None:
    """A mark done between crosses takes a minute or two; only what no mark takes is a break."""
    ticks = [*made(1, 20), Tick("other", 20, 150.0), *made(21, 40), Tick("other", 40, 900.0)]
    found = sum_stage(ticks)
    gap = ticks[0].gap_s
    assert gap is not None
    assert found.breaks == (41,)
    assert found.crosses == 40
    assert found.hands_on_s == pytest.approx(40 * gap + 150.0 + gap)
    assert sum_stage([Tick("made", 1, gap), *made(2, 40)], overrides={3: True}).breaks == (3,)


def made(first: int, last: int, gap: float = 20.0) -> list[Tick]:
    """Crosses made one after the other."""
    return [Tick("made", k, gap) for k in range(first, last + 1)]


def test_taking_back_and_making_again_is_rework() -> None:
    """Two crosses taken back and made again cost four gaps of rework, and no crosses."""
    back = [Tick("taken_back", 10, 20.0), Tick("taken_back", 9, 20.0)]
    found = sum_stage([*made(1, 10), *back, *made(9, 16)])
    assert (found.crosses, found.rework_s, found.hands_on_s) == (16, 80.0, 320.0)


def test_setting_the_count_is_not_rework() -> None:
    """After the count is set back the crosses that follow are new ones: the braid was right."""
    found = sum_stage([*made(1, 10), Tick("set", 8, 15.0), *made(9, 16)])
    assert found.rework_s == 0
    assert found.hands_on_s == pytest.approx(18 * 20.0 + 15.0)


def test_a_break_holds_one_step_of_work() -> None:
    """The gap with a break in it gives the typical gap to the work, unless put back whole."""
    ticks = [*made(1, 20), Tick("made", 21, 1020.0), *made(22, 30)]
    found = sum_stage(ticks)
    assert found.breaks == (20,)
    assert found.break_s == pytest.approx(1000.0)
    put_back = sum_stage(ticks, overrides={20: False})
    assert put_back.break_s == 0.0
    assert put_back.hands_on_s == pytest.approx(29 * 20.0 + 1020.0)


@given(
    st.floats(0.1, 1e6),
    st.lists(st.floats(0.0, 500.0), min_size=1, max_size=20).filter(lambda u: sum(u) > 1e-3),
)
def test_batch_work_is_shared_by_units(seconds: float, units: list[float]) -> None:
    """Shares follow the units and add up to the whole."""
    shares = share_out(seconds, units)
    assert sum(shares) == pytest.approx(seconds)
    for share, unit in zip(shares, units, strict=True):
        assert share == pytest.approx(seconds * unit / sum(units), abs=1e-6 * seconds)


@pytest.mark.parametrize("units", [[], [0.0, 0.0], [3.0, -1.0]])
def test_batch_without_units(units: list[float]) -> None:
    """Batch work without units, or with negative ones, is refused."""
    with pytest.raises(ValueError, match="units"):
        share_out(60.0, units)
