"""Dye lots against brute force: every way of giving them out, compared by the stated aim."""

from __future__ import annotations

from itertools import combinations, product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bench.commission.dye_lots import DyeTube, DyeWant, SharedOut, share_out

Aim = tuple[int, int, int, float]

TUBES = st.lists(
    st.builds(DyeTube, st.sampled_from("AB"), st.integers(1, 60).map(float), st.booleans()),
    max_size=6,
)
WANTS = st.lists(
    st.builds(DyeWant, st.just("x"), st.integers(1, 60), st.sampled_from([None, None, "A"])),
    min_size=1,
    max_size=5,
)


def opened_by_trying(tubes: list[DyeTube], beads: float) -> tuple[int, float] | None:
    """Fewest newly opened tubes, then the largest left, by trying every set of whole tubes."""
    begun = sum(tube.beads for tube in tubes if tube.opened)
    whole = [tube.beads for tube in tubes if not tube.opened]
    found = [
        (count, -max(set_aside, default=0.0))
        for count in range(len(whole) + 1)
        for chosen in combinations(range(len(whole)), count)
        if begun + sum(whole[at] for at in chosen) >= beads
        for set_aside in [[b for at, b in enumerate(whole) if at not in chosen]]
    ]
    return min(found, default=None)


def aim_of(wants: list[DyeWant], tubes: list[DyeTube], lots: tuple[str | None, ...]) -> Aim | None:
    """Begun lots that do not keep theirs, lots that mix, tubes opened, largest left; None: no."""
    opened, largest = 0, 0.0
    for name in sorted({tube.dye_lot for tube in tubes}):
        taken = sum(want.beads for want, lot in zip(wants, lots, strict=True) if lot == name)
        found = opened_by_trying([tube for tube in tubes if tube.dye_lot == name], taken)
        if found is None:
            return None
        opened, largest = opened + found[0], min(largest, found[1])
    lost = sum(
        want.begun is not None and lot is None for want, lot in zip(wants, lots, strict=True)
    )
    return lost, lots.count(None), opened, largest


def best_by_trying(wants: list[DyeWant], tubes: list[DyeTube]) -> Aim:
    """The best aim of all ways to give dye lots out."""
    names = sorted({tube.dye_lot for tube in tubes})
    ways = product(*([None, *(n for n in names if w.begun in (None, n))] for w in wants))
    return min(aim for way in ways if (aim := aim_of(wants, tubes, way)) is not None)


def found_aim(wants: list[DyeWant], tubes: list[DyeTube], found: SharedOut) -> Aim | None:
    """The aim of what the program found, worked out here, and as it says itself."""
    aim = aim_of(wants, tubes, found.dye_lots)
    assert aim is not None
    assert (found.opened, -found.largest_left) == aim[2:]
    return aim


@settings(max_examples=150, deadline=None)
@given(WANTS, TUBES)
def test_no_way_is_better(wants: list[DyeWant], tubes: list[DyeTube]) -> None:
    """Whatever lots and tubes there are, no assignment at all serves the aim better."""
    found = share_out(tuple(wants), tuple(tubes))
    assert found.exact
    assert found_aim(wants, tubes, found) == best_by_trying(wants, tubes)


def test_twelve_lots_exactly() -> None:
    """Twelve lots and two dye lots, against all 3^12 ways, by how many mix (tubes one each)."""
    wants = [
        DyeWant(str(n), beads)
        for n, beads in enumerate((31, 7, 19, 23, 11, 29, 5, 13, 17, 3, 37, 41))
    ]
    tubes = [DyeTube("A", 100.0), DyeTube("B", 83.0)]
    found = share_out(tuple(wants), tuple(tubes))
    sums = {(0, 0): 0}
    for want in wants:
        for (a, b), served in list(sums.items()):
            for more in ((a + want.beads, b), (a, b + want.beads)):
                if more[0] <= 100 and more[1] <= 83:
                    sums[more] = max(sums.get(more, 0), served + 1)
    assert len(wants) - found.dye_lots.count(None) == max(sums.values())
    assert found_aim(wants, tubes, found) is not None


@pytest.mark.parametrize("seed", range(3))
def test_above_twelve_the_gap_is_told(seed: int) -> None:
    """Thirteen lots: the rule mixes no fewer than the bound, and no dye lot gives what it lacks."""
    wants = [DyeWant(str(n), 5 + (7 * n + seed) % 23) for n in range(13)]
    tubes = [DyeTube("A", 60.0), DyeTube("B", 45.0, True), DyeTube("C", 30.0)]
    found = share_out(tuple(wants), tuple(tubes))
    assert not found.exact
    assert found.best <= found.dye_lots.count(None)
    assert found_aim(wants, tubes, found) is not None
