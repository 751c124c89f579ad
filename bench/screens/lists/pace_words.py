"""Times and days as the pace screen writes them."""

from __future__ import annotations

import datetime as dt

from bench.craft.words import duration


def short_time(seconds: float) -> str:
    """A time in words that may be short: 'none', '40 s', '12 min'."""
    return "none" if seconds < 1 else duration(seconds)


def minutes_and_seconds(seconds: float) -> str:
    """A gap to the second below an hour: '2:05 min', '1 h 20 min'."""
    whole = round(seconds)
    if whole < 3600:
        return f"{whole // 60}:{whole % 60:02d} min"
    return f"{whole // 3600} h {whole // 60 % 60:02d} min"


def local_day(wall: float) -> dt.datetime:
    """Local time of UTC seconds."""
    return dt.datetime.fromtimestamp(wall).astimezone()
