"""When a rest is offered, and when light is spoken of: by the keys of all pieces of a sitting."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable

from bench.documents.settings import RestSettings
from bench.journal import payloads as p
from bench.journal.clock import Instant, seconds_between
from bench.journal.payload_base import Payload

NIGHT_ENDS = 5
"""Up to this hour it is still the evening before."""
LIGHT = "Evening: light the point of braiding from the side."


AT_THE_BENCH: tuple[type[Payload], ...] = (
    *(p.Loaded, p.Proved, p.SetUpDone, p.Crossed, p.TakenBack, p.PlaceSet, p.MarkDone),
    *(p.Paused, p.Resumed, p.StageEnded),
)
"""Events that a key at the bench writes down."""
LATELY = 1000
"""Events of the journal that are looked at for what was done before the program was opened."""


class Rests:
    """How long the maker has been at work without a rest, the time before a restart included.

    A stretch without a key that is as long as a rest is one, whatever it was taken for.
    """

    def __init__(self, before: Iterable[Instant] = (), wanted: RestSettings | None = None) -> None:
        """Begin with what was done at the bench before the program was opened.

        What was to be said then was said: neither a rest nor light is spoken of twice.
        """
        self.worked_s = 0.0
        """Seconds at work since the last rest."""
        self._untold_s = 0.0
        self._last: Instant | None = None
        self._evening: dt.date | None = None
        wanted = wanted or RestSettings()
        for moment in before:
            self.heard(moment, wanted)
            self.take_light(wanted)
            if self.is_due(wanted):
                self.offer()

    def heard(self, now: Instant, wanted: RestSettings) -> None:
        """Note that a key was pressed at the bench."""
        gap_s = None if self._last is None else seconds_between(self._last, now)
        self._last = now
        if gap_s is None or gap_s >= 60 * wanted.taken_minutes:
            self.worked_s = self._untold_s = 0.0
        else:
            self.worked_s += gap_s
            self._untold_s += gap_s

    def is_due(self, wanted: RestSettings) -> bool:
        """Whether to offer a rest: so long at work since the last one, taken or offered."""
        return 0 < 60 * wanted.after_minutes <= self._untold_s

    def offer(self) -> None:
        """Note that a rest was offered."""
        self._untold_s = 0.0

    def take_light(self, wanted: RestSettings) -> str:
        """What is said of light, once an evening; empty by day, and once it was said."""
        if self._last is None:
            return ""
        zone = dt.timezone(dt.timedelta(minutes=self._last.offset_min))
        now = dt.datetime.fromtimestamp(self._last.wall, zone)
        evening = (now - dt.timedelta(hours=NIGHT_ENDS)).date()
        if NIGHT_ENDS <= now.hour < wanted.evening_hour or evening == self._evening:
            return ""
        self._evening = evening
        return LIGHT
