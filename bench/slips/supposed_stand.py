"""What hangs on the stand, and stands in the braid, if certain slips were made."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from bench.craft.load import SKIP
from bench.craft.plan import Plan
from bench.slips.planned_stand import REACH, PlannedStand, common_start, run_length, with_skips
from bench.slips.suspect import OF_THE_COUNT, Suspect

LAST_ROWS = 3
"""Rows of the braid in which a gap or a proud bead is looked for."""

Report = tuple[str, int, str | int | None]
"""What is reported: `next` or `braid`, at which place, and what was seen."""

GAP, TWO, PROUD = "gap", "two", "proud"


@dataclass(frozen=True, slots=True)
class Sight:
    """What looks would see where it differs from the plan: beads to come and braid, by place."""

    ahead: Mapping[int, str]
    braid: Mapping[int, str]

    def signature(self, planned: PlannedStand) -> tuple[object, ...]:
        """What tells this sight from others by any look; empty for one that is as planned."""
        shown = [
            (place, *_shown(beads))
            for place, beads in self.ahead.items()
            if _shown(beads) != _shown(planned.ahead[place])
        ]
        return (*sorted(shown), *sorted(self.braid.items()))


def _shown(beads: str) -> tuple[str, int]:
    """What looks can see of a strand's beads: the next four, and how many to the change."""
    return beads[:4], run_length(beads)


@dataclass(frozen=True, slots=True)
class Irregularity:
    """What the braid shows where a strand made a cross: GAP, TWO, PROUD, or another bead."""

    strand: int
    cross: int
    what: str

    @property
    def other_bead(self) -> bool:
        """Whether it is a bead that is not the planned one."""
        return self.what not in (GAP, TWO, PROUD)


def really_made(plan: Plan, made: int, slips: Sequence[Suspect]) -> int:
    """How many crosses are made where so many are counted, if these slips were made."""
    counted_off = sum(s.shift or 0 for s in slips if s.slip in OF_THE_COUNT)
    return min(max(0, made - counted_off), max(plan.crosses, made))


class SupposedStand:
    """The stand after these slips; for a misreading it is the planned one.

    made are the crosses really made. loads are the strands' beads where they are not the plan's,
    strands by the plan.
    """

    def __init__(self, planned: PlannedStand, slips: Sequence[Suspect]) -> None:
        self.planned = planned
        self.slips = slips
        self.made = really_made(planned.plan, planned.made, slips)
        self.loads: dict[int, str] = {}
        self._shifted: dict[int, int] = {}
        """By strand: beads brought in more than planned."""
        self._stands_in: dict[int, tuple[int, int]] = {}
        """By the plan's strand: the strand that lies in its place, and its beads brought in."""
        self._braid: dict[int, str] = {}
        self._twice: int | None = None
        """The cross that was made again in place of the next one, where one was."""
        for slip in sorted(slips, key=lambda s: -s.index):
            self._load(slip)
        for slip in slips:
            held = load_exchange(planned.plan, slip)
            self.loads.update({to: self.strung(of) for to, of in held.items()})
        for slip in slips:
            self._slip_in_braiding(slip)

    def strung(self, strand: int) -> str:
        """All beads of a strand, the first to come in first."""
        return self.loads.get(strand, self.planned.loads[strand - 1])

    def sight(self) -> Sight:
        """What looks would see where it is not the plan's."""
        planned, arrangement = self.planned, self.planned.arrangement
        if self._twice is not None:
            return self._sight_of_twice(self._twice)
        strands: Iterable[int] = self._unlike
        if self.made != planned.made:
            strands = range(1, planned.strands + 1)
            arrangement = planned.plan.arrangement(self.made)
        ahead = {}
        for strand in strands:
            beads, count = self._to_come(strand)
            ahead[arrangement.index(strand) + 1] = beads[count : count + REACH]
        braid = {arrangement.index(s) + 1: what for s, what in self._braid.items()}
        return Sight({p: b for p, b in ahead.items() if b != planned.ahead[p]}, braid)

    def shows(self, report: Report) -> bool:
        """Whether what was reported is to be seen: the bead next at a place, or in the braid."""
        kind, place, saw = report
        if kind == "braid":
            arrangement = self.planned.plan.arrangement(self.made)
            return self._braid.get(arrangement[place - 1]) == saw
        if self._twice is not None:
            left = self._sight_of_twice(self._twice).ahead.get(place, self.planned.ahead[place])
        elif self.made == self.planned.made and (
            self.planned.arrangement[place - 1] not in self._unlike
        ):
            left = self.planned.ahead[place]
        else:
            left = self.all_left(place)
        return (left[:1] or None) == saw

    def _sight_of_twice(self, at: int) -> Sight:
        """The same where this cross was made again in place of the next one."""
        planned, plan = self.planned, self.planned.plan
        lie = list(plan.arrangement(at))
        counts = [planned.used(strand, at) for strand in range(1, planned.strands + 1)]
        for cross in (at, *range(at + 2, self.made + 1)):
            lifted = [(m.transfer, lie[m.transfer.start - 1]) for m in plan.step(cross).moves]
            for transfer, strand in lifted:
                lie[transfer.end - 1] = strand
                if transfer.kind == "carry" and at + 1 > plan.plain_start:
                    counts[strand - 1] += 1
        ahead = {}
        for place, strand in enumerate(lie, 1):
            beads = self.strung(strand)[counts[strand - 1] :][:REACH]
            if beads != planned.ahead[place]:
                ahead[place] = beads
        return Sight(ahead, {})

    def all_left(self, place: int) -> str:
        """All beads left on the strand at a place, the next one first; moves without one not."""
        planned = self.planned
        if self._twice is not None:
            return self._sight_of_twice(self._twice).ahead.get(place, planned.ahead[place])
        strand = planned.plan.arrangement(self.made)[place - 1]
        beads, count = self._to_come(strand)
        return beads[count:]

    def remaining(self) -> dict[int, str]:
        """All beads still to come where they are not the plan's, moves without one as `-`.

        By the plan's strand, in whose place they hang; against the plan at the crosses made.
        """
        rest = {}
        for strand in self._unlike:
            beads, count = self._to_come(strand)
            planned = self.planned.plan.remaining(strand, self.made)
            actual = with_skips(beads[count:], planned)
            if actual != planned:
                rest[strand] = actual
        return rest

    def irregularities(self) -> tuple[Irregularity, ...]:
        """What the braid shows so far where it is not the plan's, by the plan's strand."""
        return tuple(
            Irregularity(strand, cross, what)
            for strand in self._touched
            for cross, _, what in self._came_in(strand)
            if what
        )

    def history(self) -> dict[int, tuple[int, str]]:
        """What came in of each strand since a slip changed it: (crosses made before, beads).

        By the plan's strand; a move that brought none in is `-`, one that brought two has the
        first of them.
        """
        plan, found = self.planned.plan, {}
        for strand in self._touched:
            planned = plan.loads[strand - 1][: plan.used(strand, self.planned.made)]
            beads = iter([came[:1] or SKIP for _, came, _ in self._came_in(strand)])
            actual = "".join(SKIP if bead == SKIP else next(beads) for bead in planned)
            first = common_start(planned, actual)
            if first < len(planned):
                found[strand] = plan.cross_of(strand, first) - 1, actual[first:]
        return found

    def taken_back(self) -> list[tuple[int, int, int, str]]:
        """What comes back onto each strand as the cross of a slip in braiding is taken out.

        The strand, the crosses made then, in which strand's place it lies now, and its beads that
        lie in the braid from that cross on.
        """
        found = []
        for s in self.slips:
            if s.strand is None or s.at is None or s.slip == "not_tucked":
                continue
            other = s.with_ or s.strand
            for strand, place_of in {(s.strand, other), (other, s.strand)}:
                beads = [came for cross, came, _ in self._came_in(place_of) if cross >= s.at]
                found.append((strand, s.at - 1, place_of, "".join(beads)))
        return found

    @property
    def _unlike(self) -> set[int]:
        """The plan's strands whose beads to come may not be the planned ones."""
        return {*self.loads, *self._shifted, *self._stands_in}

    @property
    def _touched(self) -> list[int]:
        named = {s.strand for s in self.slips if s.strand is not None}
        return sorted({*self.loads, *self._stands_in, *named})

    def _came_in(self, strand: int) -> Iterator[tuple[int, str, str]]:
        """By each cross of a strand: the beads that came in, and what that shows, if anything."""
        planned, shift = self.planned, 0
        done = {s.at: s.slip for s in self.slips if s.strand == strand}
        for m in range(planned.counts[strand - 1]):
            cross = planned.cross_of(strand, m)
            slip = done.get(cross)
            if slip == "not_brought_in":
                shift -= 1
                yield cross, "", GAP
                continue
            thread, index = self._thread_of(strand, m)
            at = index + shift
            bead = self.strung(thread)[at : at + 1]
            if slip == "two_brought_in":
                yield cross, self.strung(thread)[at : at + 2], TWO
                shift += 1
            elif slip == "not_tucked":
                yield cross, bead, PROUD
            else:
                yield cross, bead, "" if bead == planned.loads[strand - 1][m] else bead or GAP

    def _thread_of(self, strand: int, bead: int) -> tuple[int, int]:
        """The thread that brings in a strand's planned bead, and which of its own that is."""
        for s in self.slips:
            if s.slip == "wrong_of_pair" and s.at is not None and strand in (s.strand, s.with_):
                used = self.planned.used(strand, s.at - 1)
                if bead >= used:
                    other = s.with_ if strand == s.strand else s.strand
                    assert other is not None
                    return other, self.planned.used(other, s.at - 1) + bead - used
        return strand, bead

    def _to_come(self, strand: int) -> tuple[str, int]:
        """The beads of the thread that lies in a strand's place, and how many were brought in."""
        thread, count = self._stands_in.get(strand, (strand, -1))
        if count < 0:
            count = self.planned.used(thread, self.made)
        return self.strung(thread), max(0, count + self._shifted.get(thread, 0))

    def _load(self, s: Suspect) -> None:
        if s.slip == "wrong_tray":
            self._refill(s)
            return
        if s.strand is None:
            return
        beads, i = self.strung(s.strand), s.index
        if s.slip == "missing":
            self.loads[s.strand] = beads[:i] + beads[i + 1 :]
        elif s.slip == "extra":
            self.loads[s.strand] = f"{beads[:i]}{s.actual}{beads[i:]}"
        elif s.slip == "wrong":
            self.loads[s.strand] = f"{beads[:i]}{s.actual}{beads[i + 1 :]}"
        elif s.slip == "swapped":
            end = s.last or i + 2
            first = i + run_length(beads[i:end])
            self.loads[s.strand] = beads[:i] + beads[first:end] + beads[i:first] + beads[end:]
        elif s.slip == "reversed":
            for strand in (s.strand, s.with_):
                if strand is not None:
                    self.loads[strand] = self.strung(strand)[::-1]

    def _refill(self, s: Suspect) -> None:
        """String beads from a wrong tray."""
        assert s.bead is not None
        strands = range(1, self.planned.strands + 1) if s.strand is None else (s.strand,)
        for strand in strands:
            beads = self.strung(strand)
            if s.first is not None and s.last is not None:
                run = (s.actual or "") * (s.last - s.first + 1)
                self.loads[strand] = beads[: s.first - 1] + run + beads[s.last :]
            elif s.bead in beads:
                self.loads[strand] = beads.replace(s.bead, s.actual or "")

    def _slip_in_braiding(self, s: Suspect) -> None:
        if s.slip == "cross_twice" and s.at is not None and s.at < self.made:
            self._twice = s.at
        if s.strand is None or s.at is None or s.at > self.made:
            return
        planned = self.planned
        shift = {"not_brought_in": -1, "two_brought_in": 1}.get(s.slip)
        if shift is not None:
            self._shifted[s.strand] = self._shifted.get(s.strand, 0) + shift
        if s.slip == "wrong_of_pair" and s.with_ is not None:
            a, b = s.strand, s.with_
            self._stands_in[a] = b, self._took_over(b, a, s.at)
            self._stands_in[b] = a, self._took_over(a, b, s.at)
        elif s.at > planned.made - LAST_ROWS * planned.plan.row_length:
            shows = {"not_brought_in": GAP, "two_brought_in": PROUD, "not_tucked": PROUD}
            if s.slip in shows:
                self._braid[s.strand] = shows[s.slip]

    def _took_over(self, thread: int, strand: int, at: int) -> int:
        """Beads brought in of a thread that has played a strand's part since this cross."""
        used = self.planned.used
        return used(thread, at - 1) + used(strand, self.made) - used(strand, at - 1)


def load_exchange(plan: Plan, s: Suspect) -> dict[int, int]:
    """Which strand holds which other's load; empty for slips that exchange no whole loads."""
    if s.slip == "turned":
        n, shift = plan.strands, s.shift or 0
        return {strand: (strand - 1 - shift) % n + 1 for strand in range(1, n + 1)}
    if s.slip not in ("end_for_end", "strands_exchanged", "doubles_exchanged"):
        return {}
    assert s.strand is not None
    assert s.with_ is not None
    pairs = [(s.strand, s.with_)]
    if s.slip == "doubles_exchanged":
        other = {
            a: b for pair in plan.pattern.threads.double_lengths for a, b in (pair, pair[::-1])
        }
        pairs.append((other[s.strand], other[s.with_]))
    return {to: of for a, b in pairs for to, of in ((a, b), (b, a))}
