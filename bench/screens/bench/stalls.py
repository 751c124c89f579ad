"""Times in which the program stood still while keys came: a slow disk, a stopped program."""

from __future__ import annotations

BEAT_S = 0.5
"""How often the clock is looked at, to know of a stall."""
STALL_S = 1.0
"""The clock not looked at for so long, beside the beat itself, is a stall."""
AT_ONCE_S = 0.3
"""Keys that waited in the terminal while the program was stopped are read within so long of it."""
TOLD_S = 5.0
"""For so long at least it is told, whatever is pressed."""


class Stalls:
    """Knows of stalls by a beat that fails to come; all times are of one clock that only grows."""

    def __init__(self, now: float) -> None:
        self._beaten = now
        self._ended: float | None = None
        self._lasted = 0.0

    def beat(self, now: float) -> bool:
        """Note that the program is at work; say whether it stood still until now."""
        lasted, self._beaten = now - self._beaten, now
        if lasted < STALL_S + BEAT_S:
            return False
        self._ended, self._lasted = now, lasted
        return True

    def may_have_waited(self, arrived: float) -> bool:
        """Whether a key may have come before it was read: with the first after a stop."""
        return self._ended is not None and -AT_ONCE_S <= arrived - self._ended <= AT_ONCE_S

    @property
    def are_told(self) -> bool:
        """Whether a stall is fresh."""
        return self._ended is not None

    def sentence(self, place_key: str) -> str:
        """What the maker is told while a stall is fresh; nothing without one."""
        if self._ended is None:
            return ""
        return f"STOOD STILL {self._lasted:.0f} s: COUNT MAY LAG. {place_key} finds your place"

    def heard(self, now: float) -> None:
        """A key was pressed: what was told long enough ago has been read."""
        if self._ended is not None and now - self._ended > TOLD_S:
            self._ended = None
