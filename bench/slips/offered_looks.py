"""Checks before it is too late: a glance where bead or size changes, rarely a count."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import Literal

from bench.craft.plan import Plan
from bench.slips.costs import Costs
from bench.slips.looks import Look
from bench.slips.planned_stand import MOST_COUNTED, PlannedStand, run_length


@dataclass(frozen=True, slots=True)
class Frequency:
    """How often the bench may ask; never in the middle of a row."""

    glance: Literal["never", "at changes", "before and at changes"] = "before and at changes"
    rows_between: int = 1
    """No glance sooner than so many rows after the last. Rule of thumb, no source."""
    count_rows: int = 8
    """A count at one place every so many rows; 0: never. Rule of thumb, no source."""
    at_most_s: float = 60.0
    """Seconds that all offered looks of a piece may take together. Rule of thumb, no source."""


def offers(
    plan: Plan,
    frequency: Frequency | None = None,
    costs: Costs | None = None,
) -> dict[int, Look]:
    """Every look that is offered over a piece, by crosses made; linear in the rows.

    The latest fall away that would ask for more seconds than the maker set.
    """
    frequency = frequency or Frequency()
    found: dict[int, Look] = {}
    asked, glanced = 0.0, None
    for made in range(plan.plain_start, plan.last_bead_cross, plan.row_length):
        look = offer(PlannedStand(plan, made), frequency, costs, glanced)
        if look is not None and asked + look.seconds <= frequency.at_most_s:
            asked += look.seconds
            found[made] = look
            glanced = made if look.kind == "glance" else glanced
    return found


def offer(
    planned: PlannedStand,
    frequency: Frequency | None = None,
    costs: Costs | None = None,
    glanced: int | None = None,
) -> Look | None:
    """The look to offer once so many crosses are made; None in a row's middle or for nothing.

    glanced: the crosses made when the last glance was offered.

    A glance, at a place whose next bead is that of most strands, when most strands change bead
    with the next row, or with the row after it: then one that is a bead short already shows the
    change, and in the row itself one that has a bead too many does not.
    """
    frequency, costs = frequency or Frequency(), costs or Costs()
    row = _row_begun(planned, planned.made)
    if row is None:
        return None
    if frequency.glance != "never" and _changing(planned, frequency):
        rows = frequency.rows_between * planned.plan.row_length
        if glanced is None or planned.made - glanced >= rows:
            return _glance(planned, costs)
    if frequency.count_rows and row % frequency.count_rows == frequency.count_rows // 2:
        return _count(planned, row // frequency.count_rows, costs)
    return None


def _row_begun(planned: PlannedStand, made: int) -> int | None:
    """Rows finished when the next cross begins another; None in the middle of one."""
    if not planned.plan.plain_start <= made < planned.plan.last_bead_cross:
        return None
    row, of_row = planned.plan.row_at(made + 1)
    return None if row is None or of_row != 1 else row - 1


def _changing(planned: PlannedStand, frequency: Frequency) -> bool:
    strands = now = soon = 0
    for load, used in zip(planned.loads, planned.counts, strict=True):
        if used < len(load):
            strands += 1
            now += used > 0 and load[used - 1] != load[used]
            soon += load[used + 1 : used + 2] != load[used]
    if frequency.glance == "at changes":
        soon = 0
    return 2 * max(now, soon) > strands > 1


def _glance(planned: PlannedStand, costs: Costs) -> Look | None:
    shown = Counter(beads[0] for beads in planned.ahead.values() if beads)
    bead = shown.most_common(1)[0][0]
    place = next(p for p, beads in planned.ahead.items() if beads[:1] == bead)
    return Look("glance", planned.arrangement[place - 1], place, costs.of("glance"), bead)


def _count(planned: PlannedStand, turn: int, costs: Costs) -> Look | None:
    """A count at one place, another one each time, where it is short enough to count."""
    places = [
        place for place, beads in planned.ahead.items() if 2 <= run_length(beads) <= MOST_COUNTED
    ]
    if not places:
        return None
    place = places[(turn * 3) % len(places)]
    beads = run_length(planned.ahead[place])
    return Look("left", planned.arrangement[place - 1], place, costs.of("left", beads))
