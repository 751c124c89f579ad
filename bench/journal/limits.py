"""What times a piece, a stage or a cross can take at all: limits against slips of the pen.

All are common practice, no source.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

LONGEST_S = 1000 * 3600.0
"""No piece takes a thousand hours of work."""
LONGEST_WAIT_S = 90 * 86400.0
LONGEST_CROSS_S = 3600.0
SHORTEST_CROSS_S = 0.2
"""Two hands cannot carry two strands faster."""
MOST_REWORK = 10.0
"""So many times the work itself nothing is made again."""
SHORTEST_PIECE_S = 60.0
SHORTEST_STAGE_S = 1.0
AHEAD_S = 300.0
"""How far two machines' clocks may lie apart."""


@dataclass(frozen=True, slots=True)
class Broken:
    """A limit that a time breaks: `seconds` of a piece, stage or cross, and what they can be."""

    what: Literal["piece", "stage", "cross"]
    seconds: float
    least_s: float
    most_s: float


def broken_limit(stage: str | None, hands_on_s: float, crosses: float | None) -> Broken | None:
    """Return the limit that a hands-on time of a stage (None: the whole piece) breaks, if any.

    `crosses`: of the piece; None or 0 where they are not known.
    """
    whole = Broken("piece", hands_on_s, SHORTEST_PIECE_S, LONGEST_S)
    if stage is not None:
        whole = Broken("stage", hands_on_s, SHORTEST_STAGE_S, LONGEST_S)
    found = [whole]
    if crosses and stage in (None, "braid"):
        found.append(Broken("cross", hands_on_s / crosses, SHORTEST_CROSS_S, LONGEST_CROSS_S))
    return next((one for one in found if not one.least_s <= one.seconds <= one.most_s), None)


def wrong_time(stage: str | None, hands_on_s: float, crosses: float | None) -> str:
    """Say what is wrong with a hands-on time of a stage, as `broken_limit`; "" if nothing."""
    broken = broken_limit(stage, hands_on_s, crosses)
    if broken is None:
        return ""
    if broken.what == "cross":
        return (
            f"{broken.seconds:,.1f} s for each cross cannot be: hands_on_s is {hands_on_s:g},"
            f" crosses {crosses:g}."
        )
    if hands_on_s < broken.least_s:
        return f"hands_on_s is {hands_on_s:g}: a {broken.what} takes at least {broken.least_s:g} s."
    return f"hands_on_s is {hands_on_s:g}: more than {broken.most_s:g} cannot be."
