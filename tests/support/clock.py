"""A clock that tests move by hand."""

from __future__ import annotations

from bench.journal.clock import Instant


class ManualClock:
    """A clock that stands still until it is moved."""

    def __init__(self, wall: float = 1_772_366_400.0, offset_min: int = 60) -> None:
        self._wall = wall
        self._offset_min = offset_min
        self._boots = 1
        self._mono = 1000.0

    def now(self) -> Instant:
        """Return the moment at which the clock stands."""
        return Instant(self._wall, self._offset_min, f"boot-{self._boots}", self._mono)

    def advance(self, seconds: float) -> None:
        """Let time pass, on both clocks."""
        self._wall += seconds
        self._mono += seconds

    def sleep(self, seconds: float) -> None:
        """Let the machine sleep: the wall clock goes on, the monotonic one stops."""
        self._wall += seconds

    def set_wall(self, wall: float) -> None:
        """Set the wall clock, as a maker or a time server may."""
        self._wall = wall

    def reboot(self) -> None:
        """Start the machine anew: another boot, whose monotonic clock begins near zero."""
        self._boots += 1
        self._mono = 10.0
