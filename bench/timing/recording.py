"""Pieces, or a stage of them, that were timed without the program: checked, and as events."""

from __future__ import annotations

import math

from bench.craft.stages import HANDS_ON, Stage
from bench.craft.text import Fault
from bench.journal.events import new_id
from bench.journal.frozen import work_of
from bench.journal.limits import broken_limit
from bench.journal.payloads import Recorded
from bench.making.worked_pattern import WorkedPattern
from bench.pace.gaps import share_out
from bench.pace.records import Work
from bench.timing.plausible_times import usual_s, work_words

MOST_PIECES = 500


def recorded(
    made: WorkedPattern, minutes: float | None, pieces: int, stage: Stage | None, at: float
) -> list[tuple[str, Recorded]]:
    """The ids and events of so many good pieces that took so many minutes together.

    `minutes`: None where nobody timed them; they count for no pace. `stage`: only that one, else
    the whole piece; `at`: when they were done, UTC seconds. Raises Fault for a number of pieces or
    minutes that cannot be.
    """
    if not 1 <= pieces <= MOST_PIECES:
        raise Fault(f"{pieces} pieces cannot be recorded at once; 1 to {MOST_PIECES} can")
    work = work_of(made.plan)
    units = sum(work.units(one) for one in HANDS_ON if stage in (None, one))
    if not units:
        raise Fault(f"'{made.name}' has no beads, so nothing of it is loaded")
    if minutes is not None and not math.isfinite(minutes):
        raise Fault(f"{minutes:g} minutes cannot be")
    shares = share_out(60 * (minutes or 0.0), [units] * pieces)
    if minutes is not None and (wrong := _wrong(shares[0], made.name, work, stage)):
        each = "" if pieces == 1 else f" for {pieces} pieces"
        raise Fault(f"{minutes:g} minutes{each} cannot be{wrong}")
    return [
        (
            new_id(),
            Recorded(
                title=made.pattern.title,
                pattern=made.name,
                size=made.size,
                colourway=made.colourway,
                stage=stage,
                hands_on_s=seconds,
                waiting_s=None,
                crosses=work.crosses if stage in (None, "braid") else None,
                rework_s=None,
                finished_at=at,
                quality="good",
            ),
        )
        for seconds in shares
    ]


def _wrong(seconds: float, pattern: str, work: Work, stage: str | None) -> str:
    """Say what is wrong with the time of one piece, after "cannot be"; "" if nothing is."""
    broken = broken_limit(stage, seconds, work.crosses)
    if broken is not None and broken.what == "cross":
        return f": {broken.seconds:.2g} seconds for each of the {work.crosses} crosses"
    if broken is not None:
        takes = f"{broken.least_s:g} seconds to {broken.most_s / 3600:g} hours"
        return f"; a {broken.what} takes {takes}"
    usual_least, usual_most = usual_s(work, stage)
    if usual_least <= seconds <= usual_most:
        return ""
    return (
        f"; {work_words(stage)} of '{pattern}' takes {usual_least / 60:,.1f} to"
        f" {usual_most / 60:,.0f} minutes"
    )
