"""Mends: what can be done about a slip, or several, the best first."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from bench.slips.effects import CAUTIONS, NEEDLE_CAUTION, Mend, Regret, SetCount, SewIn, TakeBack
from bench.slips.looks import Costs
from bench.slips.scene import OF_THE_COUNT, Scene, Suspect
from bench.slips.workbench import Workbench

ANYONE = 2
"""`Mend.seen` of what anyone sees."""


def mends(
    scene: Scene,
    slips: Sequence[Suspect],
    costs: Costs | None = None,
    regret: Regret | None = None,
) -> tuple[Mend, ...]:
    """Every mend of a slip, or of several together, the best first; none for `other`."""
    kinds = {slip.slip for slip in slips}
    if "other" in kinds or not slips:
        return ()
    rank = regret or Regret()
    work = _Several(scene, costs or Costs(), rank)
    found = list(work.together(slips) if len(slips) > 1 else work.single(slips[0]))
    return tuple(sorted(found, key=rank.of))


class _Several(Workbench):
    """A workbench that knows mends of several slips at once."""

    def __init__(self, scene: Scene, costs: Costs, regret: Regret) -> None:
        super().__init__(scene, costs)
        self.regret = regret

    def together(self, slips: Sequence[Suspect]) -> Iterator[Mend]:
        """The mends of several slips at once."""
        made, _ = self.scene.held(slips)
        if made != self.scene.made:
            # The strands lie elsewhere than the count says: all else is told as it is once set.
            counted = _Several(Scene(self.plan, made), self.costs, self.regret)
            others = [s for s in slips if s.slip not in OF_THE_COUNT]
            ways = counted.together(others) if len(others) > 1 else counted.single(others[0])
            for way in ways:
                do = f"Set the count to {made} crosses made. {way.do}"
                yield replace(way, do=do, effects=(SetCount(made), *way.effects))
            return
        yield from self._each(slips)
        braided = self.scene.braided(slips)
        shows = "what was braided so far stays" if braided else "nothing"
        yield self.carry_on(self._rest(slips), "changes lie out of line")
        yield from self._anew(slips, shows, 1 if braided else 0)
        crosses = [s.at for s in slips if s.at is not None]
        if len(crosses) == len(slips):
            yield from self._take_back(
                min(crosses), ", then make them again as planned", self.costs.tuck
            )

    def _rest(self, slips: Sequence[Suspect]) -> dict[int, str]:
        return self.scene.held(slips)[1]

    def _each(self, slips: Sequence[Suspect]) -> Iterator[Mend]:
        """The best mend of each slip, one after the other, where no two are on one strand."""
        strands = [n for s in slips for n in (s.strand, s.with_) if n is not None]
        if len(set(strands)) < len(strands) or any(s.strand is None for s in slips):
            return
        best = []
        for slip in slips:
            ways = [
                way
                for way in self.single(slip)
                if way.seen < ANYONE and not any(isinstance(e, TakeBack) for e in way.effects)
            ]
            if not ways:
                return
            best.append(min(ways, key=self.regret.of))
        shows = dict.fromkeys(way.shows for way in best if way.shows != "nothing")
        yield Mend(
            " Then: ".join(way.do for way in best),
            sum(way.seconds for way in best),
            "; ".join(shows) or "nothing",
            max(way.seen for way in best),
            " ".join(part for part in CAUTIONS if any(part in way.caution for way in best)),
            tuple(effect for way in best for effect in way.effects),
            tuple(strung for way in best for strung in way.string),
            tuple(later for way in best for later in way.later),
        )

    def _anew(self, slips: Sequence[Suspect], shows: str, seen: int) -> Iterator[Mend]:
        """String the strands anew, and close the gaps by sewing."""
        rest = self._rest(slips)
        sewn = tuple(
            SewIn(s.strand, s.at, s.bead)
            for s in slips
            if s.slip == "not_brought_in" and s.strand and s.at and s.bead
        )
        if not rest:
            return
        mend = replace(self.restring(rest), shows=shows, seen=seen, effects=sewn)
        if sewn:
            beads = " and ".join(f"one {spot.bead}" for spot in sewn)
            mend = replace(
                mend,
                do=f"{mend.do} Sew {beads} into the gap{'s'[: len(sewn) - 1]} later.",
                seconds=mend.seconds + self.costs.sew_in * len(sewn),
                caution=f"{mend.caution} {NEEDLE_CAUTION}",
            )
        yield mend
