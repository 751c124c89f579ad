"""The time, as the bench keeps it: the wall clock for dates, a monotonic clock for durations.

The wall clock may be set, and jumps when a machine wakes; the monotonic clock cannot be set, but
its zero differs from boot to boot. Each moment therefore keeps both, with the boot it belongs to.
"""

from __future__ import annotations

import datetime as dt
import time
import uuid
from dataclasses import dataclass
from pathlib import Path
from typing import Protocol

SLEEP_S = 120.0
"""If the wall clock runs ahead of the monotonic one by more, the machine slept (or was set)."""


@dataclass(frozen=True, slots=True)
class Instant:
    """A point in time: `wall` in UTC seconds since 1970, `mono` in seconds within one `boot`.

    `offset_min` is the local time's distance from UTC in minutes, east positive.
    """

    wall: float
    offset_min: int
    boot: str
    mono: float

    @property
    def day(self) -> dt.date:
        """The day that it was, by the local time there."""
        zone = dt.timezone(dt.timedelta(minutes=self.offset_min))
        return dt.datetime.fromtimestamp(self.wall, zone).date()


def iso_day(wall: float) -> str:
    """The day of UTC seconds since 1970, by the local time here: "2026-11-29"."""
    return dt.datetime.fromtimestamp(wall, dt.UTC).astimezone().date().isoformat()


class Clock(Protocol):
    """Whatever tells the time."""

    def now(self) -> Instant:
        """Return the present moment."""
        ...


def seconds_between(a: Instant, b: Instant) -> float | None:
    """Return the seconds from `a` to `b`, or None where they are unknown: treat as a break.

    Unknown: another boot, a monotonic clock that ran backwards, or a wall clock that ran more than
    `SLEEP_S` further than the monotonic one (the machine slept; a clock set forward looks the
    same). A wall clock that was set back changes nothing: the monotonic difference counts.
    """
    if a.boot != b.boot:
        return None
    mono = b.mono - a.mono
    if mono < 0 or (b.wall - a.wall) - mono > SLEEP_S:
        return None
    return mono


def _boot_id() -> str:
    """Return the kernel's id of this boot, or one for this process where there is none."""
    try:
        text = Path("/proc/sys/kernel/random/boot_id").read_text("ascii").strip()
    except (OSError, UnicodeDecodeError):
        text = ""
    return text or str(uuid.uuid4())


class SystemClock:
    """The machine's own clocks."""

    def __init__(self) -> None:
        self._boot = _boot_id()

    def now(self) -> Instant:
        """Return the present moment."""
        wall = time.time()
        return Instant(wall, time.localtime(wall).tm_gmtoff // 60, self._boot, time.monotonic())
