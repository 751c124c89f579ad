"""The lattice: columns, heights, lengths, and what it refuses."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bench.craft import lattice
from bench.craft.lattice import Carried

SIZES = {"a": 1.5, "b": 2.1, "c": 3.0, "d": 4.0}


def eight_strands(rows: Sequence[str], plain: int = 4, hand: int = 1) -> list[Carried]:
    """Rows of equal beads, as eight-strand kongo brings them in; hand −1 is anticlockwise work."""
    beads = []
    k = plain
    for row in rows:
        for _ in range(4):
            for q in (0, 2) if k % 2 == 0 else (1, 3):
                beads.append(Carried(k + 1, q, (90 * q * hand) % 360, SIZES[row], row))
            k += 1
    return beads


def laid(beads: Sequence[Carried], hand: int = 1, plain_end: int = 4) -> lattice.Lattice:
    """Six columns, thirty degrees a cross, four plain crosses at the end."""
    return lattice.place(
        beads,
        columns=6,
        turn_deg=30 * hand,
        crosses=beads[-1].cross + plain_end,
        plain_mm=0.3,
        zero_deg=0,
    )


@pytest.mark.parametrize("plain", [0, 4, 8])
@pytest.mark.parametrize("hand", [1, -1])
def test_columns_of_eight_strand_kongo(plain: int, hand: int) -> None:
    """Column is (3q − k)/2 in sixes, counted clockwise, and its mirror for anticlockwise work."""
    beads = eight_strands("a" * 20, plain, hand)
    for bead, spot in zip(beads, laid(beads, hand).spots, strict=True):
        k = bead.cross - 1
        assert spot.column == hand * ((3 * bead.strand - k) // 2) % 6
        assert spot.angle_deg == pytest.approx(60 * spot.column)


def test_equal_beads_rise_a_third_of_a_bead_a_cross() -> None:
    """Equal beads of any size rise by d/3 each cross, so a row by 4d/3."""
    for letter, d in SIZES.items():
        spots = laid(eight_strands(letter * 10)).spots
        heights = [spot.height_mm for spot in spots[::2]]
        rises = {round(high - low, 9) for low, high in itertools.pairwise(heights)}
        assert rises == {round(d / 3, 9)}


def test_the_first_bead_stands_on_the_plain_crosses() -> None:
    """Height counts from the start of the braid; the plain crosses at both ends add theirs."""
    braid = laid(eight_strands("cc"), plain_end=4)
    assert braid.spots[0].height_mm == pytest.approx(4 * 0.3 + 1.5)
    assert braid.beaded_mm == pytest.approx(7 * 1.0 + 3.0)
    assert braid.length_mm == pytest.approx(4 * 0.3 + 10.0 + 4 * 0.3)
    assert braid.diameter_mm == pytest.approx(3.0 * (2 * math.sqrt(8 / 9) + 1))
    assert braid.hollow_mm == pytest.approx(3.0 * (2 * math.sqrt(8 / 9) - 1))


@given(st.lists(st.sampled_from("abcd"), min_size=1, max_size=12), st.sampled_from([1, -1]))
def test_no_two_beads_are_nearer_than_their_sizes_allow(rows: list[str], hand: int) -> None:
    """Whatever the sizes of the rows, beads never overlap, and no cross lies below the last."""
    spots = laid(eight_strands(rows, hand=hand), hand).spots
    for i, a in enumerate(spots):
        for b in spots[i + 1 :]:
            assert b.height_mm >= a.height_mm
            turn = math.radians(60 * (a.column - b.column))
            level = a.radius_mm**2 + b.radius_mm**2 - 2 * a.radius_mm * b.radius_mm * math.cos(turn)
            apart = math.sqrt(max(0, level) + (a.height_mm - b.height_mm) ** 2)
            assert apart >= (a.diameter_mm + b.diameter_mm) / 2 - 1e-9


@given(st.lists(st.sampled_from("abcd"), min_size=2, max_size=12))
def test_every_cross_lies_as_low_as_it_will_go(rows: list[str]) -> None:
    """Each cross after the first touches an earlier bead, or lies level with the cross before."""
    spots = laid(eight_strands(rows)).spots
    for i in range(2, len(spots), 2):
        touches = False
        for b in spots[i : i + 2]:
            for a in spots[:i]:
                turn = math.radians(60 * (a.column - b.column))
                level = (
                    a.radius_mm**2 + b.radius_mm**2 - 2 * a.radius_mm * b.radius_mm * math.cos(turn)
                )
                gap = math.sqrt(max(0, level) + (a.height_mm - b.height_mm) ** 2) - (
                    (a.diameter_mm + b.diameter_mm) / 2
                )
                touches = touches or abs(gap) < 1e-9
        assert touches or spots[i].height_mm == pytest.approx(spots[i - 1].height_mm)


def test_a_strand_that_ran_out_leaves_a_gap() -> None:
    """A missing bead moves no other bead of equal size up or down, nor to another column."""
    beads = eight_strands("cccc")
    whole = laid(beads).spots
    lacking = laid(beads[:12] + beads[13:]).spots
    assert [(s.column, round(s.height_mm, 9)) for s in lacking] == [
        (s.column, round(s.height_mm, 9)) for s in whole[:12] + whole[13:]
    ]


def test_a_bare_cross_between_beads_adds_its_own_pitch() -> None:
    """A cross that brings in nothing lifts the next beads by at least a plain cross."""
    beads = [b for b in eight_strands("cc", plain=0) if b.cross not in (4, 5, 6, 7)]
    spots = laid(beads).spots
    last_before = max(s.height_mm for s in spots if s.cross == 3)
    first_after = min(s.height_mm for s in spots if s.cross == 8)
    assert first_after >= last_before + 4 * 0.3


def test_columns_that_do_not_go_with_the_moves_are_refused() -> None:
    """A turn or a number of columns that leaves beads between columns is said in one sentence."""
    beads = eight_strands("a")
    with pytest.raises(ValueError, match="columns and turn do not go with its moves"):
        lattice.place(beads, columns=6, turn_deg=20, crosses=8, plain_mm=0.3)
    with pytest.raises(ValueError, match="columns and turn do not go with its moves"):
        lattice.place(beads, columns=7, turn_deg=30, crosses=8, plain_mm=0.3)


def test_two_beads_of_one_cross_in_one_column_are_refused() -> None:
    """Beads brought in together must lie in different columns."""
    beads = [Carried(1, 1, 0, 3.0, "c"), Carried(1, 2, 360, 3.0, "c")]
    with pytest.raises(ValueError, match="in one column"):
        lattice.place(beads, columns=6, turn_deg=30, crosses=1, plain_mm=0.3)


def test_nonsense_is_refused() -> None:
    """No beads, beads out of order, beads after the end and beads without thickness are said."""
    bead = Carried(2, 1, 0, 3.0, "c")
    for beads in ([], [bead, bead._replace(cross=1)], [bead._replace(cross=9)]):
        with pytest.raises(ValueError, match=r"bead"):
            lattice.place(beads, columns=6, turn_deg=30, crosses=8, plain_mm=0.3)
    with pytest.raises(ValueError, match="thicker"):
        lattice.place([bead._replace(diameter_mm=0)], columns=6, turn_deg=30, crosses=8, plain_mm=1)
    with pytest.raises(ValueError, match="three columns"):
        lattice.radius_factor(2)
