"""Mends: what can be done about a slip, or several, the best first."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import chain

from bench.slips.maker import Maker
from bench.slips.mend import PLAIN, Mend, Regret, mend_of
from bench.slips.mend_steps import MendStep, TakeBack
from bench.slips.planned_stand import PlannedStand
from bench.slips.single_mends import SingleMends, set_count
from bench.slips.supposed_stand import SupposedStand
from bench.slips.suspect import OF_THE_COUNT, Suspect


def mends(
    planned: PlannedStand, slips: Sequence[Suspect], maker: Maker | None = None
) -> tuple[Mend, ...]:
    """Every mend of a slip, or of several together, the best first; none for `other`."""
    if not slips or any(slip.slip == "other" for slip in slips):
        return ()
    maker = maker or Maker()
    return tuple(sorted(_single_or_joint(planned, slips, maker), key=maker.regret.of))


def _single_or_joint(
    planned: PlannedStand, slips: Sequence[Suspect], maker: Maker
) -> Iterator[Mend]:
    if len(slips) == 1:
        return SingleMends(planned, maker.costs).of(slips[0])
    return _joint(planned, slips, maker)


def _joint(planned: PlannedStand, slips: Sequence[Suspect], maker: Maker) -> Iterator[Mend]:
    """The mends of several slips at once."""
    supposed, single = SupposedStand(planned, slips), SingleMends(planned, maker.costs)
    if supposed.made != planned.made:
        # The strands lie elsewhere than the count says: all else is told as it is once set.
        counted = PlannedStand(planned.plan, supposed.made)
        others = [s for s in slips if s.slip not in OF_THE_COUNT]
        for way in _single_or_joint(counted, others, maker):
            yield Mend(((set_count(supposed.made),), *way.parts), way.seen, way.changes)
        return
    yield from _one_after_the_other(single, slips, maker.regret)
    rest = supposed.remaining()
    yield single.carry_on(rest, "changes lie out of line")
    if rest:
        sewing = [
            single.sew_in(s.strand, s.at, s.bead)
            for s in slips
            if s.slip == "not_brought_in" and s.strand and s.at and s.bead
        ]
        stays = "what was braided so far stays" if supposed.irregularities() else ""
        yield mend_of(single.restring(rest), *sewing, shows=stays)
    crosses = [s.at for s in slips if s.at is not None]
    if len(crosses) == len(slips):
        yield from single.take_back(min(crosses), MendStep("make_again", maker.costs.tuck))


def _one_after_the_other(
    single: SingleMends, slips: Sequence[Suspect], regret: Regret
) -> Iterator[Mend]:
    """The best mend of each slip, where no two are on one strand and none is seen by anyone."""
    strands = [n for s in slips for n in (s.strand, s.with_) if n is not None]
    if len(set(strands)) < len(strands) or any(s.strand is None for s in slips):
        return
    best = []
    for slip in slips:
        ways = [
            way
            for way in single.of(slip)
            if way.seen < PLAIN and not any(isinstance(e, TakeBack) for e in way.effects)
        ]
        if not ways:
            return
        best.append(min(ways, key=regret.of))
    yield Mend(
        tuple(chain(*(way.parts for way in best))),
        max(way.seen for way in best),
        tuple(dict.fromkeys(chain(*(way.changes for way in best)))),
    )
