from __future__ import annotations

from datetime import datetime

import pytest

from bench.journal.clock import Instant, SystemClock, seconds_between
from tests.support.clock import ManualClock

DAY = 86400.0


def test_time_at_the_bench_is_the_monotonic_difference(clock: ManualClock) -> None:
    """Seconds between two moments of one boot are those of the monotonic clock."""
    before = clock.now()
    clock.advance(7.5)
    assert seconds_between(before, clock.now()) == pytest.approx(7.5)


def test_a_clock_set_back_makes_no_nonsense(clock: ManualClock) -> None:
    """A wall clock set back by a day leaves the time between two crosses as it was."""
    before = clock.now()
    clock.advance(9.0)
    clock.set_wall(before.wall - DAY)
    assert seconds_between(before, clock.now()) == pytest.approx(9.0)


def test_a_sleeping_machine_gives_no_time(clock: ManualClock) -> None:
    """A sleep of more than two minutes between two moments makes the time between unknown."""
    before = clock.now()
    clock.advance(5.0)
    clock.sleep(121.0)
    assert seconds_between(before, clock.now()) is None


def test_a_clock_put_right_by_seconds_changes_nothing(clock: ManualClock) -> None:
    """A wall clock corrected by less than two minutes does not make the time unknown."""
    before = clock.now()
    clock.advance(5.0)
    clock.sleep(119.0)
    assert seconds_between(before, clock.now()) == pytest.approx(5.0)


def test_no_time_across_boots_or_backwards(clock: ManualClock) -> None:
    """Across a restart, or where the monotonic clock ran back, the time between is unknown."""
    before = clock.now()
    clock.reboot()
    assert seconds_between(before, clock.now()) is None
    later = Instant(0.0, 0, "a", 5.0)
    assert seconds_between(later, Instant(1.0, 0, "a", 4.0)) is None


def test_the_machine_tells_the_time() -> None:
    """The system clock gives this boot's moments in order, with the local offset."""
    clock = SystemClock()
    first, second = clock.now(), clock.now()
    assert first.boot == second.boot == SystemClock().now().boot
    gap = seconds_between(first, second)
    assert gap is not None
    assert 0 <= gap < 60
    offset = datetime.fromtimestamp(first.wall).astimezone().utcoffset()
    assert offset is not None
    assert first.offset_min == offset.total_seconds() // 60
