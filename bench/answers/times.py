"""What `export`, `import`, `record`, `pace` and `forecast` answer."""

from __future__ import annotations

from typing import Any

from bench.answers import Answer, Part


class Exported(Answer):
    """`export`: the file that was written, or else what would stand in it."""

    kind: str
    count: int
    file: str | None
    pieces: tuple[dict[str, Any], ...] | None = None
    events: tuple[dict[str, Any], ...] | None = None


class Imported(Answer):
    """`import FILE`: rows or events that were new, and those that were there already."""

    kind: str
    added: int
    known: int


class Recorded(Answer):
    """`record PATTERN`: what was written down; `hands_on_s` is the share of each piece."""

    piece: str
    """The first of `pieces`."""
    pieces: tuple[str, ...]
    pattern: str
    size: str | None
    colourway: str | None
    stage: str | None
    hands_on_s: float
    finished_at: str
    """Local time with its offset, ISO 8601."""


class Seconds(Part):
    """Seconds that hold with chance `level`: as often below low as above high."""

    level: float
    low_s: float
    median_s: float
    high_s: float


class PaceLine(Part):
    """A pattern's pace. `basis` says whether it rests on any recorded piece."""

    pattern: str
    title: str
    size: str | None
    colourway: str | None
    pieces: int
    next_piece: Seconds
    stages: dict[str, Seconds]
    basis: str


class Pace(PaceLine, Answer):
    """`pace PATTERN`."""


class Paces(Answer):
    """`pace` without a pattern: every pattern's pace."""

    patterns: tuple[PaceLine, ...]


class Hours(Part):
    """Hands-on hours that hold with chance `level`."""

    level: float
    low_h: float
    median_h: float
    high_h: float


class Dates(Part):
    """Days on which the work is done, ISO 8601, for the low, median and high hours."""

    low: str
    median: str
    high: str


class Money(Part):
    """The price at the median hours; null without an hourly rate in the settings."""

    amount: float | None
    low: float | None
    high: float | None
    currency: str
    says: str
    """What is in it."""


class LotLine(Part):
    """One lot of a commission. `late`: the chance that it is not done when due.

    done, in_the_making, to_make: pieces that came out good, that are begun, that are to begin.
    """

    lot: str
    pattern: str
    size: str | None
    colourway: str | None
    pieces: int
    done: int
    in_the_making: int
    to_make: int
    to_come: Hours
    due: str | None
    late: float | None


class CommissionForecast(Answer):
    """`forecast COMMISSION`."""

    commission: str
    title: str
    hours_per_week: float
    done_h: float
    to_come: Hours
    finish: Dates
    price: Money
    lots: tuple[LotLine, ...]
    basis: str
