"""What hangs on the stand at one moment: by the plan, and if slips were made."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from bench.craft.load import SKIP
from bench.craft.plan import Plan

Slip = Literal[
    "misread", "missing", "extra", "wrong", "swapped", "reversed", "end_for_end",
    "doubles_exchanged", "strands_exchanged", "turned", "count_off", "not_brought_in",
    "two_brought_in", "not_tucked", "wrong_of_pair", "round_off", "other",
]  # fmt: skip

MOST_COUNTED = 10
"""No look counts more beads than this."""

REACH = MOST_COUNTED + 1
"""Beads of a strand that any look can see."""

LAST_ROWS = 3
"""Rows of the braid in which a gap or a proud bead is looked for."""


@dataclass(frozen=True, slots=True)
class Suspect:
    """One thing that may have gone wrong.

    strand, with_: the strands by the plan, with_ the one that a load or a move was exchanged
    with. bead is the planned one, actual what is there instead or besides. first and last count
    the strand's beads from 1 in order of release: the run of equal beads in which it lies. shift
    counts crosses (+: the program is ahead) or places. at is the cross, for a run of them the
    last. index is where the load differs, counted from 0.
    """

    slip: Slip
    strand: int | None = None
    with_: int | None = None
    bead: str | None = None
    actual: str | None = None
    first: int | None = None
    last: int | None = None
    shift: int | None = None
    at: int | None = None
    index: int = 0


@dataclass(frozen=True, slots=True)
class World:
    """What looks would see where it differs from the plan: beads to come and braid, by place."""

    ahead: Mapping[int, str]
    braid: Mapping[int, str]

    def visible(self, scene: Scene) -> tuple[object, ...]:
        """What tells this world from others by any look."""
        seen = [
            (place, *shown(beads))
            for place, beads in self.ahead.items()
            if shown(beads) != shown(scene.ahead[place])
        ]
        return (*sorted(seen), *sorted(self.braid.items()))


GAP, TWO, PROUD = "gap", "two", "proud"


@dataclass(frozen=True, slots=True)
class Seen:
    """What the braid shows where a strand made a cross: GAP, TWO, PROUD, or another bead."""

    strand: int
    cross: int
    what: str

    @property
    def other_bead(self) -> bool:
        """Whether it is a bead that is not the planned one."""
        return self.what not in (GAP, TWO, PROUD)


OF_THE_COUNT = frozenset({"count_off", "round_off"})
"""Slips of the count: the braid is as it should be, for another number of crosses."""


def really_made(plan: Plan, made: int, slips: Sequence[Suspect]) -> int:
    """How many crosses are made where so many are counted, if these slips were made."""
    counted_off = sum(s.shift or 0 for s in slips if s.slip in OF_THE_COUNT)
    return min(max(0, made - counted_off), max(plan.crosses, made))


def run_length(beads: str) -> int:
    """Beads up to the next change, as far as looks reach."""
    return len(beads) - len(beads.lstrip(beads[0])) if beads else 0


def alike(one: str, other: str) -> int:
    """How many beads two strings of them have in common from the first on."""
    least = min(len(one), len(other))
    return next((i for i in range(least) if one[i] != other[i]), least)


def spaced(beads: str, planned: str) -> str:
    """Beads with the plan's moves without one among them, each where the plan has it."""
    for at, bead in enumerate(planned):
        if bead == SKIP and at <= len(beads):
            beads = beads[:at] + SKIP + beads[at:]
    return beads


def shown(beads: str) -> tuple[str, int]:
    """What looks can see of a strand's beads: the next three, and how many to the change."""
    return beads[:3], run_length(beads)


class Scene:
    """The strands once so many crosses of a plan have been made, if nothing went wrong.

    loads are the beads of each strand without the moves that bring in none; ahead is by place.
    """

    def __init__(self, plan: Plan, made: int) -> None:
        self.plan = plan
        self.made = made
        self.strands = plan.strands
        self.loads = tuple(load.replace(SKIP, "") for load in plan.loads)
        self._entries = [
            None if SKIP not in load else [i for i, bead in enumerate(load) if bead != SKIP]
            for load in plan.loads
        ]
        self.arrangement = plan.arrangement(made)
        self.total = sum(map(len, self.loads)) or 1
        self.counts = tuple(self.used(s, made) for s in range(1, self.strands + 1))
        """Beads brought in of each strand."""
        self.ahead = {
            place: self.coming(strand, self.counts[strand - 1])
            for place, strand in enumerate(self.arrangement, 1)
        }

    def used(self, strand: int, made: int) -> int:
        """Beads of a strand brought in by these crosses, moves without a bead not counted."""
        count = self.plan.used(strand, made)
        entries = self._entries[strand - 1]
        return count if entries is None else sum(1 for e in entries if e < count)

    def cross_of(self, strand: int, bead: int) -> int:
        """The cross that brings in a strand's bead, counted from 0."""
        entries = self._entries[strand - 1]
        return self.plan.cross_of(strand, bead if entries is None else entries[bead])

    def coming(self, strand: int, count: int) -> str:
        """The beads that a look can reach once so many of the strand's are brought in."""
        return self.loads[strand - 1][count : count + REACH]

    def world(self, slips: Sequence[Suspect]) -> World:
        """What hangs there if these slips were made; the plan's own world for a misreading."""
        return Making(self, slips).world()

    def held(self, slips: Sequence[Suspect]) -> tuple[int, dict[int, str]]:
        """Crosses really made, and all beads still to come where they are not the plan's.

        By the plan's strand, in whose place they hang; against the plan at the crosses made.
        """
        return Making(self, slips).held()

    def strung(self, slip: Suspect) -> str:
        """The beads of a slip's strand, the first to come in first, if it was made."""
        strand = slip.strand or 0
        return Making(self, (slip,)).loads.get(strand, self.loads[strand - 1])

    def braided(self, slips: Sequence[Suspect]) -> tuple[Seen, ...]:
        """What the braid made so far shows where these slips left it unlike the plan."""
        return Making(self, slips).braided()

    def history(self, slips: Sequence[Suspect]) -> dict[int, tuple[int, str]]:
        """What came in of each strand since these slips changed it: (crosses made before, beads).

        By the plan's strand; a move that brought none in is `-`, one that brought two has the
        first of them.
        """
        return Making(self, slips).history()

    def taken_back(self, slips: Sequence[Suspect]) -> list[tuple[int, int, int, str]]:
        """What comes back onto each strand as the cross of a slip in braiding is taken out.

        The strand, the crosses made then, in which strand's place it lies now, and its beads that
        lie in the braid from that cross on.
        """
        return Making(self, slips).taken_back()


class Making:
    """A world in the making: loads, beads brought in and roles that differ from the plan."""

    def __init__(self, scene: Scene, slips: Sequence[Suspect]) -> None:
        self.scene = scene
        self.slips = slips
        self.made = really_made(scene.plan, scene.made, slips)
        self.loads: dict[int, str] = {}
        self.brought: dict[int, int] = {}
        self.roles: dict[int, tuple[int, int]] = {}
        """By the plan's strand: the strand that lies in its place, and its beads brought in."""
        self.braid: dict[int, str] = {}
        for slip in sorted(self.slips, key=lambda s: -s.index):
            self._load(slip)
        for slip in self.slips:
            self._exchange(slip)
        for slip in self.slips:
            self._braided(slip)

    def world(self) -> World:
        """What looks would see where it is not the plan's."""
        scene = self.scene
        strands: Iterable[int] = {*self.loads, *self.brought, *self.roles}
        arrangement = scene.arrangement
        if self.made != scene.made:
            strands = range(1, scene.strands + 1)
            arrangement = scene.plan.arrangement(self.made)
        ahead = {arrangement.index(s) + 1: self._ahead(s) for s in strands}
        braid = {arrangement.index(s) + 1: what for s, what in self.braid.items()}
        return World({p: b for p, b in ahead.items() if b != scene.ahead[p]}, braid)

    def held(self) -> tuple[int, dict[int, str]]:
        """Crosses really made, and all beads still to come where they are not the plan's."""
        plan = self.scene.plan
        rest = {}
        for role in {*self.loads, *self.brought, *self.roles}:
            beads, count = self._rest(role)
            planned = plan.remaining(role, self.made)
            actual = spaced(beads[count:], planned)
            if actual != planned:
                rest[role] = actual
        return self.made, rest

    def braided(self) -> tuple[Seen, ...]:
        """What the braid shows so far where it is not the plan's, by the plan's strand."""
        return tuple(
            Seen(role, cross, what)
            for role in self._touched()
            for cross, _, what in self._came_in(role)
            if what
        )

    def history(self) -> dict[int, tuple[int, str]]:
        """What came in of each strand since a slip changed it, by the plan's strand."""
        plan, found = self.scene.plan, {}
        for role in self._touched():
            planned = plan.loads[role - 1][: plan.used(role, self.scene.made)]
            beads = iter([came[:1] or SKIP for _, came, _ in self._came_in(role)])
            actual = "".join(SKIP if bead == SKIP else next(beads) for bead in planned)
            first = alike(planned, actual)
            if first < len(planned):
                found[role] = plan.cross_of(role, first) - 1, actual[first:]
        return found

    def taken_back(self) -> list[tuple[int, int, int, str]]:
        """What comes back onto each strand as the cross of a slip in braiding is taken out."""
        found = []
        for s in self.slips:
            if s.strand is None or s.at is None or s.slip == "not_tucked":
                continue
            other = s.with_ or s.strand
            for strand, role in {(s.strand, other), (other, s.strand)}:
                beads = [came for cross, came, _ in self._came_in(role) if cross >= s.at]
                found.append((strand, s.at - 1, role, "".join(beads)))
        return found

    def _touched(self) -> list[int]:
        named = {s.strand for s in self.slips if s.strand is not None}
        return sorted({*self.loads, *self.roles, *named})

    def _came_in(self, role: int) -> Iterator[tuple[int, str, str]]:
        """By each cross of a strand: the beads that came in, and what that shows, if anything."""
        scene, shift = self.scene, 0
        done = {s.at: s.slip for s in self.slips if s.strand == role}
        for m in range(scene.counts[role - 1]):
            cross = scene.cross_of(role, m)
            slip = done.get(cross)
            if slip == "not_brought_in":
                shift -= 1
                yield cross, "", GAP
                continue
            strand, index = self._thread_of(role, m)
            at = index + shift
            bead = self._beads(strand)[at : at + 1]
            if slip == "two_brought_in":
                yield cross, self._beads(strand)[at : at + 2], TWO
                shift += 1
            elif slip == "not_tucked":
                yield cross, bead, PROUD
            else:
                yield cross, bead, "" if bead == scene.loads[role - 1][m] else bead or GAP

    def _thread_of(self, role: int, bead: int) -> tuple[int, int]:
        """The thread that brings in a strand's planned bead, and which of its own that is."""
        for s in self.slips:
            if s.slip == "wrong_of_pair" and s.at is not None and role in (s.strand, s.with_):
                used = self.scene.used(role, s.at - 1)
                if bead >= used:
                    other = s.with_ if role == s.strand else s.strand
                    assert other is not None
                    return other, self.scene.used(other, s.at - 1) + bead - used
        return role, bead

    def _ahead(self, role: int) -> str:
        beads, count = self._rest(role)
        return beads[count : count + REACH]

    def _rest(self, role: int) -> tuple[str, int]:
        strand, count = self.roles.get(role, (role, -1))
        if count < 0:
            count = (
                self.scene.counts[strand - 1]
                if self.made == self.scene.made
                else self.scene.used(strand, self.made)
            )
        return self._beads(strand), max(0, count + self.brought.get(strand, 0))

    def _beads(self, strand: int) -> str:
        return self.loads.get(strand, self.scene.loads[strand - 1])

    def _load(self, s: Suspect) -> None:
        if s.strand is None:
            return
        beads, i = self._beads(s.strand), s.index
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
            self.loads[s.strand] = beads[::-1]

    def _exchange(self, s: Suspect) -> None:
        if s.slip in ("end_for_end", "strands_exchanged", "doubles_exchanged", "turned"):
            moved = {to: self._beads(of) for to, of in exchanged(self.scene.plan, s).items()}
            self.loads.update(moved)

    def _braided(self, s: Suspect) -> None:
        if s.strand is None or s.at is None or s.at > self.made:
            return
        scene = self.scene
        recent = s.at > scene.made - LAST_ROWS * scene.plan.row_length
        if s.slip == "not_brought_in":
            self.brought[s.strand] = self.brought.get(s.strand, 0) - 1
            if recent:
                self.braid[s.strand] = "gap"
        elif s.slip == "two_brought_in":
            self.brought[s.strand] = self.brought.get(s.strand, 0) + 1
            if recent:
                self.braid[s.strand] = "proud"
        elif s.slip == "not_tucked" and recent:
            self.braid[s.strand] = "proud"
        elif s.slip == "wrong_of_pair" and s.with_ is not None:
            a, b = s.strand, s.with_
            self.roles[a] = b, self._took_over(b, a, s.at)
            self.roles[b] = a, self._took_over(a, b, s.at)

    def _took_over(self, strand: int, role: int, at: int) -> int:
        """Beads brought in of a strand that has played another's part since this cross."""
        used = self.scene.used
        return used(strand, at - 1) + used(role, self.made) - used(role, at - 1)


def exchanged(plan: Plan, s: Suspect) -> dict[int, int]:
    """Which strand holds which other's load, for the slips that exchange whole loads."""
    if s.slip == "turned":
        n, shift = plan.strands, s.shift or 0
        return {strand: (strand - 1 - shift) % n + 1 for strand in range(1, n + 1)}
    if s.strand is None or s.with_ is None:
        return {}
    pairs = [(s.strand, s.with_)]
    if s.slip == "doubles_exchanged":
        other = {
            a: b for pair in plan.pattern.threads.double_lengths for a, b in (pair, pair[::-1])
        }
        pairs.append((other[s.strand], other[s.with_]))
    return {to: of for a, b in pairs for to, of in ((a, b), (b, a))}
