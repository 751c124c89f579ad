"""Threads in holes: how many go in, and what room they leave."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bench.craft import packing

holes = st.floats(0.3, 2.0)
threads = st.floats(0.05, 0.5)


@given(holes, threads)
def test_as_many_bare_threads_pass_as_pack(hole: float, thread: float) -> None:
    """Passed one by one without a needle, never more threads go in than a closest packing holds."""
    through = packing.passes(hole, thread)
    if through:
        assert packing.bundle_mm(thread, through) <= hole * (1 + 1e-9)
    else:
        assert thread > hole


@given(holes, threads, st.integers(0, 12))
def test_each_thread_leaves_less_room(hole: float, thread: float, inside: int) -> None:
    """One thread more in the hole never makes room."""
    assert packing.room_beside(hole, thread, inside + 1) <= (
        packing.room_beside(hole, thread, inside) + 1e-9
    )


@given(holes, threads, st.integers(1, 12))
def test_the_room_is_really_there(hole: float, thread: float, inside: int) -> None:
    """Laid out in the plane, the threads along the wall and the circle beside do not overlap."""
    room = packing.room_beside(hole, thread, inside)
    if room <= max(0, hole - packing.bundle_mm(thread, inside)) + 1e-9:
        return  # none, or beside a closest bundle, which is a matter of the published ratios
    away = (hole - thread) / 2
    step = 2 * math.asin(thread / 2 / away)
    angles = [math.pi + step * (i - (inside - 1) / 2) for i in range(inside)]
    circles = [(away * math.cos(a), away * math.sin(a), thread / 2) for a in angles]
    circles.append(((hole - room) / 2, 0.0, room / 2))
    for i, (x, y, r) in enumerate(circles):
        assert math.hypot(x, y) + r <= hole / 2 + 1e-9
        for u, v, s in circles[i + 1 :]:
            assert math.hypot(x - u, y - v) >= r + s - 1e-9


def test_a_needle_passes_less_often_than_bare_thread() -> None:
    """What goes first decides how often a thread passes."""
    assert packing.passes(0.7, 0.13) > packing.passes(0.7, 0.13, 0.535) > 0
    assert packing.passes(0.7, 0.13, 0.71) == 0


def test_more_than_nineteen_threads_are_estimated_on_the_safe_side() -> None:
    """Above the table the ratio still grows."""
    ratios = [packing.ratio(n) for n in range(1, 40)]
    assert ratios == sorted(ratios)


def test_nonsense_is_refused() -> None:
    """Measures that are not above zero and bundles without threads are refused."""
    for hole, thread, lead in ((0.0, 0.1, None), (0.7, -0.1, None), (math.nan, 0.1, None)):
        with pytest.raises(ValueError, match="above zero"):
            packing.passes(hole, thread, lead)
    with pytest.raises(ValueError, match="at least one"):
        packing.ratio(0)
