"""Reading a strand off: its beads against its plan, and what can be done about it."""

from __future__ import annotations

from bench.slips.edits import Edit, differences, edits
from bench.slips.maker import Maker
from bench.slips.mend import Mend, mend_of
from bench.slips.mend_steps import MendStep
from bench.slips.mends import mends
from bench.slips.planned_stand import PlannedStand, with_skips
from bench.slips.single_mends import SingleMends
from bench.slips.suspect import Suspect


def read_off(
    planned: PlannedStand, strand: int, letters: str, maker: Maker | None = None
) -> tuple[tuple[Edit, ...], tuple[Suspect, ...], tuple[Mend, ...]]:
    """What differs on a strand whose beads were all read off, next one first.

    Returned with the slips that it comes from, where it is one bead, and its mends, best first.
    """
    used = planned.counts[strand - 1]
    found = edits(planned.loads[strand - 1][used:], letters)
    if not found:
        return found, (), (mend_of(MendStep("strand_is_right")),)
    if len(found) == 1:
        slips = differences(planned, strand, letters)
        return found, slips, mends(planned, slips, maker)
    maker = maker or Maker()
    single = SingleMends(planned, maker.costs)
    rest = {strand: with_skips(letters, planned.plan.remaining(strand, planned.made))}
    ways = mend_of(single.restring(rest)), single.carry_on(rest, "these beads stay as they hang")
    return found, (), tuple(sorted(ways, key=maker.regret.of))
