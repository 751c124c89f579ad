"""What times a piece, a stage or a cross can take at all: limits against slips of the pen.

All are common practice, no source.
"""

from __future__ import annotations

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


def wrong_time(stage: str | None, hands_on_s: float, crosses: float | None) -> str:
    """Say what is wrong with a hands-on time of a stage (None: the whole piece); "" if nothing.

    `crosses`: of the piece; None or 0 where they are not known.
    """
    what, least = ("a piece", SHORTEST_PIECE_S) if stage is None else ("a stage", SHORTEST_STAGE_S)
    if hands_on_s < least:
        return f"hands_on_s is {hands_on_s:g}: {what} takes at least {least:g} s."
    if hands_on_s > LONGEST_S:
        return f"hands_on_s is {hands_on_s:g}: more than {LONGEST_S:g} cannot be."
    if crosses and stage in (None, "braid"):
        each = hands_on_s / crosses
        if not SHORTEST_CROSS_S <= each <= LONGEST_CROSS_S:
            return (
                f"{each:,.1f} s for each cross cannot be: hands_on_s is {hands_on_s:g},"
                f" crosses {crosses:g}."
            )
    return ""
