"""What an event of any kind holds: the form of a payload, and the numbers in it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated, ClassVar, Literal, TypeAlias

from bench.journal.typed_json import Range

JSON: TypeAlias = "bool | int | float | str | list[JSON] | dict[str, JSON] | None"

Whole = Annotated[int, Range(0, 2**53 - 1)]
Positive = Annotated[int, Range(1, 2**53 - 1)]
Measure = Annotated[float, Range(0, 2**53)]
"""What a rule, a scale or a clock can have shown: a number that no later square overflows."""
LAST_WALL = 253_370_764_799.0
"""The end of the year 9998, UTC: every zone still has a date for it."""
FIRST_WALL = -30_610_224_000.0
"""The beginning of the year 1000, UTC: where a clock that was never set may stand, and far before.

That the clock is wrong is no reason to lose what it dated.
"""
MOST_MONO = 2.0**32
"""Seconds since a machine was started: 136 years."""
Wall = Annotated[float, Range(FIRST_WALL, LAST_WALL)]
"""UTC seconds since 1970."""
Signed = Annotated[int, Range(-(2**53), 2**53)]


Subject = Literal["piece", "commission", "customer", "tube"]
"""What an event can be about; only pieces have a state that the journal keeps."""


class Payload:
    """What an event of one kind holds; `KIND` is its name, `VERSION` that of its form."""

    __slots__ = ()
    KIND: ClassVar[str]
    VERSION: ClassVar[int] = 1
    SUBJECT: ClassVar[Subject] = "piece"


@dataclass(frozen=True, slots=True)
class NotUnderstood(Payload):
    """What this program cannot read: `values` as they came, kept and carried unchanged.

    `why` says what does not fit the kind, after the event's name; "" for a kind or a version of a
    newer program.
    """

    KIND: ClassVar[str] = ""
    values: Mapping[str, JSON]
    why: str = ""
