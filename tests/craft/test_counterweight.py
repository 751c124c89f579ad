"""The counterweight: the sum, the schedule, what is refused and what is warned about."""

from __future__ import annotations

import math

import pytest

from bench.craft import counterweight as cw
from bench.craft.counterweight import Masses

ROPE = [(4 + n // 2, 10 / 347) for n in range(2, 882)]
EIGHT_70 = [70.0] * 8


def rope_rows() -> tuple[Masses, ...]:
    """880 beads of 8/0 on eight strands, weighed at the start and after every row."""
    return cw.masses_at(range(4, 446, 4), ROPE, EIGHT_70)


def test_counterweight_of_a_rope_falls_as_beads_go_in() -> None:
    """The share of the strands' pull, less what hangs: more at the start than at the end."""
    rows = rope_rows()
    start = cw.counterweight_g(0.5, rows[0].strands_g, rows[0].hangs_g)
    end = cw.counterweight_g(0.5, rows[-1].strands_g, rows[-1].hangs_g)
    beads_g = 880 * 10 / 347
    assert start == pytest.approx(0.5 * (560 + beads_g))
    assert end == pytest.approx(0.5 * 560 - beads_g)


def test_the_core_hangs_from_the_cross_it_is_let_down() -> None:
    """Core beads weigh in the braid only after they are down."""
    before, after = cw.masses_at([15, 16], [], EIGHT_70, core_g=2.0, core_after_cross=16)
    assert (before.hangs_g, after.hangs_g) == (0.0, 2.0)


def test_a_braid_heavier_than_needed_takes_no_counterweight() -> None:
    """The counterweight is never below zero."""
    assert cw.counterweight_g(0.4, 100, 60) == 0


def test_the_share_counts_what_hangs_in_the_braid() -> None:
    """Forty grams hung and ten in the braid are half of what strands of a hundred pull."""
    assert cw.share(40, Masses(0, 100, 10)) == pytest.approx(0.5)


def test_a_drop_needs_no_change() -> None:
    """Three grams of beads on eight 70 g tama never leave the band, so nothing is changed."""
    rows = cw.masses_at(range(0, 72, 4), [(n // 2, 3 / 128) for n in range(8, 136)], EIGHT_70)
    steps = cw.schedule(rows, [5, 10, 20, 20, 50, 100, 100, 200])
    assert [step.leaves_band_at for step in steps] == [None]
    assert cw.share(steps[0].counterweight_g, rows[0]) == pytest.approx(0.47, abs=0.05)


def test_a_rope_keeps_its_share_with_the_weights_hung() -> None:
    """Each step's weights make up its sum, moves lead from one to the next, the share holds."""
    rows = rope_rows()
    steps = cw.schedule(rows, [5, 10, 20, 20, 50, 100, 100], band=0.02)
    assert len(steps) > 1
    hung: list[float] = []
    for step in steps:
        for grams in step.take_off_g:
            hung.remove(grams)
        hung.extend(step.add_g)
        assert sorted(hung) == list(step.weights_g)
        assert step.counterweight_g == pytest.approx(sum(hung))
        assert step.leaves_band_at is None
    ends = [step.cross for step in steps[1:]] + [math.inf]
    for step, end in zip(steps, ends, strict=True):
        for row in rows:
            if step.cross <= row.cross < end:
                assert abs(cw.share(step.counterweight_g, row) - 0.47) <= 0.02 + 1e-6


def test_weights_that_cannot_serve_are_said() -> None:
    """Where no sum keeps the share, the nearest is hung and the cross is named."""
    rows = [Masses(4, 560, 0), Masses(8, 560, 1)]
    (step,) = cw.schedule(rows, [100.0])
    assert step.counterweight_g == 100
    assert step.leaves_band_at == 4


def test_a_large_set_of_weights_of_any_kind_is_made_up_at_once() -> None:
    """Forty weights, each about half as heavy again as the one before, make far too many sums."""
    own = [min(0.1 * 1.35**i, cw.HEAVIEST_G) for i in range(cw.MOST_WEIGHTS)]
    steps = cw.schedule(rope_rows()[::8], own)
    assert all(step.leaves_band_at is None for step in steps)
    assert math.fsum(steps[0].weights_g) == pytest.approx(steps[0].counterweight_g)


def test_where_every_weight_is_too_heavy_the_least_one_above_still_counts() -> None:
    """A single weight just above the band is nearer than none."""
    (step,) = cw.schedule([Masses(0, 600, 0)], [340, 900], 0.47)
    assert (step.weights_g, step.leaves_band_at) == ((340,), 0)


def test_the_bag_counts() -> None:
    """Bag, hook and tie are part of the counterweight."""
    (step,) = cw.schedule([Masses(0, 560, 0)], [10.0] * 30, bag_g=13.2)
    assert step.counterweight_g == pytest.approx(263.2)


@pytest.mark.parametrize("fraction", [0.19, 0.71, -1.0, math.nan])
def test_a_fraction_that_cannot_work_is_refused(fraction: float) -> None:
    """Fractions outside 0.2 to 0.7 are refused in a sentence."""
    with pytest.raises(ValueError, match=r"0\.2 to 0\.7"):
        cw.check_fraction(fraction)


@pytest.mark.parametrize(
    ("fraction", "warned"),
    [(0.2, True), (0.34, True), (0.35, False), (0.55, False), (0.56, True), (0.7, True)],
)
def test_an_unusual_fraction_is_warned_about(fraction: float, warned: bool) -> None:
    """Fractions outside 0.35 to 0.55 get a warning, the others none."""
    assert (cw.check_fraction(fraction) is not None) is warned


def test_a_weight_that_no_stand_bears_is_refused() -> None:
    """Grams typed with too many noughts are named, and the most that can be."""
    with pytest.raises(ValueError, match="5000 g or less, not 70000 g"):
        cw.check_tama([70, 70_000])
    with pytest.raises(ValueError, match="5000 g or less, not 1e\\+09 g"):
        cw.check_weights([5, 1e9])


def test_tama_and_weights_without_mass_are_refused() -> None:
    """Empty sets, zero and negative masses are refused, naming the strand for tama."""
    with pytest.raises(ValueError, match="strand 2"):
        cw.check_tama([70, 0])
    with pytest.raises(ValueError, match="strand 1"):
        cw.check_tama([-70.0])
    with pytest.raises(ValueError, match="no tama"):
        cw.check_tama([])
    with pytest.raises(ValueError, match="empty"):
        cw.schedule([Masses(0, 560, 0)], [])
    with pytest.raises(ValueError, match="more than nothing"):
        cw.schedule([Masses(0, 560, 0)], [10, -5])
    with pytest.raises(ValueError, match="too many"):
        cw.check_weights([1.0] * 41)
    with pytest.raises(ValueError, match="no cross"):
        cw.schedule([], [10.0])
    with pytest.raises(ValueError, match="below zero"):
        cw.schedule([Masses(0, 560, 0)], [10.0], bag_g=-1)


OWN = (200.0, 50.0, 50.0, 20.0, 10.0, 10.0, 5.0, 2.0)


def test_the_point_of_braiding_is_answered_in_grams() -> None:
    """Too high: add; too low: take off, to what the weights make nearest; always called a rule."""
    masses = Masses(40, 600, 0)
    hung = (200.0, 50.0, 20.0, 10.0, 2.0)
    high = cw.point_of_braiding("high", hung, masses, OWN)
    low = cw.point_of_braiding("low", hung, masses, OWN)
    assert high.grams == pytest.approx(18)
    assert high.says == "add 18 g (on: 50; off: 20 + 10 + 2), then look again"
    assert sum(high.weights_g) == 300
    assert low.grams == pytest.approx(-17)
    assert low.says == "take off 17 g (on: 5; off: 20 + 2), then look again"
    assert "rule of thumb" in high.rests_on


def test_the_point_goes_no_further_than_is_usual() -> None:
    """At the usual shares no grams are said, but to look at the tension."""
    masses = Masses(40, 600, 0)
    assert cw.point_of_braiding("high", (330.0,), masses, (330.0, 5.0)).grams == 0
    low = cw.point_of_braiding("low", (210.0,), masses, (210.0, 205.0))
    assert low.grams == 0
    assert "as light as is usual: look at the tension of each strand" in low.says


def test_grams_that_the_weights_do_not_make_are_not_said() -> None:
    """A coarse set makes the nearest step it can, and says so; one past the usual is not asked."""
    masses = Masses(40, 600, 0)
    coarse = cw.point_of_braiding("high", (200.0, 50.0), masses, (200.0, 50.0, 50.0))
    assert coarse.grams == 50
    assert "about 18 g is asked for, your weights make no nearer step" in coarse.says
    none = cw.point_of_braiding("high", (200.0, 100.0), masses, (200.0, 100.0, 50.0))
    assert none.grams == 0
    assert none.weights_g == (200.0, 100.0)
    assert "about 18 g more is asked for, and no step that your weights make" in none.says


def test_the_bag_is_part_of_what_hangs() -> None:
    """With a bag of 32 g the usual shares are reached with as much less in it."""
    masses = Masses(40, 600, 0)
    assert cw.point_of_braiding("high", (298.0,), masses, (298.0, 5.0), bag_g=32.0).grams == 0
    assert cw.point_of_braiding("high", (298.0,), masses, (298.0, 5.0)).grams == 5
