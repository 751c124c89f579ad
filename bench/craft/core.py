"""The core: which beads on a wire fit inside the braid, and when the wire clips come off.

Core beads hang above the stand on a bare wire and sink into the braid as it grows. They sit on
the first ring that is too narrow for them, and must end short of the last ring that is wide
enough, or they prop the closing open. All figures rest on the predicted lattice; the sample
decides.
"""

from __future__ import annotations

import bisect
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from bench.craft.beads import BeadSize
from bench.craft.lattice import Lattice, PlacedBead

_TINY = 1e-9

END_GAP_MM = 1.5
"""How far the core ends below the last ring that is wide enough. Common practice, no source."""

CHANGE_MM = 3.0
"""Length of core that may be one size too small where rings change. Rule of thumb, no source."""

ROUNDED = 0.25
"""Part of a core bead's length, at each end, that is rounded off and needs less room.

Rule of thumb, no source.
"""

GRIP_MM = 75.0
"""Wire to hold and to clip, at each end. Common practice, no source."""

CORD_SPARE_MM = 150.0
"""A core cord is at least so much longer than the braid: A. Gaskell, Bead & Button, Apr 2017."""


@dataclass(frozen=True, slots=True)
class CoreGroup:
    """So many equal core beads, lowest first."""

    bead: BeadSize
    count: int


@dataclass(frozen=True, slots=True)
class CoreFinding:
    """What is wrong with a core: `kind` is large, small, narrow, long or short."""

    kind: str
    says: str


@dataclass(frozen=True, slots=True)
class CoreFit:
    """A core in its braid.

    `groups` lists the beads lowest first, from `from_mm` to `to_mm`; `down_after_cross` is the
    last cross before the first ring that is wide enough; `clip_off_after_cross` the first one
    that lies above the last core bead.
    """

    groups: tuple[CoreGroup, ...]
    from_mm: float
    to_mm: float
    room_mm: float
    down_after_cross: int
    clip_off_after_cross: int
    findings: tuple[CoreFinding, ...]

    @property
    def length_mm(self) -> float:
        """Length of the stack of core beads."""
        return self.to_mm - self.from_mm


def free_mm(diameter_mm: float, thread_mm: float, radius_factor: float) -> float:
    """Free width inside a ring of equal beads: its hollow less two thread diameters."""
    return (2 * radius_factor - 1) * diameter_mm - 2 * thread_mm


def largest_core(
    ring: BeadSize, candidates: Sequence[BeadSize], thread_mm: float, radius_factor: float
) -> BeadSize | None:
    """Find the thickest candidate that fits inside a ring of equal beads; None if none does."""
    return _thickest(candidates, free_mm(ring.diameter_mm, thread_mm, radius_factor))


def suggest(lattice: Lattice, candidates: Sequence[BeadSize], thread_mm: float) -> CoreFit | None:
    """Grade a core from the lattice: at each height the thickest bead that fits all its length.

    None if no candidate fits anywhere. Candidates are best the pattern's own sizes: the core is
    then one size under the ring around it.
    """
    room = _Room(lattice, candidates, thread_mm)
    groups: list[CoreGroup] = []
    height_mm = room.from_mm
    while True:
        fitting = [
            bead
            for bead in candidates
            if height_mm + bead.length_mm <= room.to_mm - END_GAP_MM + _TINY
            and room.takes(bead, height_mm)
        ]
        bead = max(fitting, key=lambda b: b.diameter_mm, default=None)
        if bead is None:
            break
        if groups and groups[-1].bead == bead:
            groups[-1] = CoreGroup(bead, groups[-1].count + 1)
        else:
            groups.append(CoreGroup(bead, 1))
        height_mm += bead.length_mm
    return check(lattice, groups, candidates, thread_mm) if groups else None


def check(
    lattice: Lattice,
    groups: Sequence[CoreGroup],
    candidates: Sequence[BeadSize],
    thread_mm: float,
) -> CoreFit:
    """Stack a given core in its braid and say what does not fit.

    `candidates` are the beads that could be used instead; the core's own are added. Raises
    ValueError for a core without beads.
    """
    stack = [group.bead for group in groups for _ in range(group.count)]
    if not stack:
        raise ValueError("a core on a wire needs at least one bead")
    choice = (*candidates, *(group.bead for group in groups))
    room = _Room(lattice, choice, thread_mm)
    length_mm = sum(bead.length_mm for bead in stack)
    top_mm = room.from_mm + length_mm
    findings = (*_too_large(stack, choice, room), *_too_small(groups, choice, room))
    swallowed = (spot.cross for spot in lattice.spots if spot.height_mm >= top_mm)
    return CoreFit(
        tuple(groups),
        room.from_mm,
        top_mm,
        room.to_mm - room.from_mm,
        room.first_cross - 1,
        next(swallowed, lattice.spots[-1].cross),
        (*findings, *_wrong_length(length_mm, room, choice)),
    )


def edges_decide(lattice: Lattice, fit: CoreFit, thread_mm: float) -> tuple[int, ...]:
    """The core beads, counted from 1, that fit as balls and not as cylinders, or the other way.

    As a ball a bead is so thick at its middle alone; as a cylinder over its whole length. Beads
    lie between the two: where only one of them fits, how round the edges are decides.
    """
    heights = [spot.height_mm for spot in lattice.spots]
    reach_mm = max(spot.diameter_mm for spot in lattice.spots)
    found = []
    foot_mm = fit.from_mm
    for number, bead in enumerate((g.bead for g in fit.groups for _ in range(g.count)), 1):
        head_mm = foot_mm + bead.length_mm
        far_mm = reach_mm + bead.diameter_mm
        first = bisect.bisect_left(heights, foot_mm - far_mm)
        near = lattice.spots[first : bisect.bisect_right(heights, head_mm + far_mm)]
        half_mm = bead.diameter_mm / 2 + thread_mm
        middle_mm = (foot_mm + head_mm) / 2
        as_ball = all(
            math.hypot(spot.radius_mm, spot.height_mm - middle_mm) + _TINY
            >= spot.diameter_mm / 2 + half_mm
            for spot in near
        )
        as_cylinder = all(_inside_mm(spot, foot_mm, head_mm) + _TINY >= half_mm for spot in near)
        if as_ball != as_cylinder:
            found.append(number)
        foot_mm = head_mm
    return tuple(found)


def _inside_mm(spot: PlacedBead, low_mm: float, high_mm: float) -> float:
    """How near a ring bead comes to the axis between two heights."""
    half_mm = spot.diameter_mm / 2
    away_mm = max(0.0, low_mm - spot.height_mm, spot.height_mm - high_mm)
    if away_mm >= half_mm:
        return math.inf
    return spot.radius_mm - math.sqrt(half_mm**2 - away_mm**2)


def stack_mm(groups: Sequence[CoreGroup]) -> float:
    """Add up the length of a stack of core beads."""
    return sum(group.count * group.bead.length_mm for group in groups)


def wire_mm(braid_mm: float, core_mm: float) -> float:
    """Add up the wire to cut: the braid, the core parked above it, and a grip at both ends."""
    return braid_mm + core_mm + 2 * GRIP_MM


def cord_mm(braid_mm: float) -> float:
    """Add up the cord to cut for a core without beads."""
    return braid_mm + CORD_SPARE_MM


def _too_large(
    stack: Sequence[BeadSize], choice: Sequence[BeadSize], room: _Room
) -> Iterator[CoreFinding]:
    said = set()
    height_mm = room.from_mm
    for number, bead in enumerate(stack, start=1):
        if bead.name not in said and not room.takes(bead, height_mm):
            said.add(bead.name)
            fitting = [b for b in choice if room.takes(b, height_mm)]
            instead = max(fitting, key=lambda b: b.diameter_mm, default=None)
            yield CoreFinding(
                "large",
                f"core bead {number}, {bead.name}, is too large: it is {bead.diameter_mm:g} mm "
                f"thick, the rings around it leave {room.width_mm(bead, height_mm):.2f} mm; "
                + (f"take {instead.name}" if instead else "nothing fits there"),
            )
        height_mm += bead.length_mm


def _too_small(
    groups: Sequence[CoreGroup], choice: Sequence[BeadSize], room: _Room
) -> Iterator[CoreFinding]:
    height_mm = room.from_mm
    inside_mm = room.to_mm + _TINY
    for group in groups:
        bead = group.bead
        thicker = [b for b in choice if b.diameter_mm > bead.diameter_mm]
        loose_mm: dict[BeadSize, float] = {}
        for _ in range(group.count):
            fit = max(
                (
                    b
                    for b in thicker
                    if height_mm + b.length_mm <= inside_mm and room.takes(b, height_mm)
                ),
                key=lambda b: b.diameter_mm,
                default=None,
            )
            if fit is not None:
                loose_mm[fit] = loose_mm.get(fit, 0.0) + bead.length_mm
            height_mm += bead.length_mm
        if sum(loose_mm.values()) <= CHANGE_MM:
            continue
        for fit, long_mm in loose_mm.items():
            yield CoreFinding(
                "small",
                f"{long_mm:.1f} mm of the {group.count} core beads {bead.name} are too small "
                f"({bead.diameter_mm:g} mm): {fit.name} fits there",
            )


def _wrong_length(
    length_mm: float, room: _Room, choice: Sequence[BeadSize]
) -> Iterator[CoreFinding]:
    room_mm = room.to_mm - room.from_mm
    if room_mm <= 0:
        least = min(choice, key=lambda b: b.diameter_mm)
        yield CoreFinding(
            "narrow",
            f"no ring is wide enough for a core: {least.name} needs {least.diameter_mm:g} mm",
        )
    elif length_mm > room_mm - END_GAP_MM + _TINY:
        yield CoreFinding(
            "long",
            f"the core is {length_mm:.1f} mm long, {max(0.0, room_mm - END_GAP_MM):.1f} mm is the"
            f" most: {room_mm:.1f} mm of wide rings less {END_GAP_MM:g} mm",
        )
    elif length_mm < room_mm - END_GAP_MM - CHANGE_MM:
        yield CoreFinding(
            "short",
            f"the core fills {length_mm:.1f} mm of {room_mm:.1f} mm of wide rings; up to "
            f"{room_mm - END_GAP_MM:.1f} mm is right",
        )


class _Room:
    """Where each core bead can lie inside the braid.

    A ring bead keeps core beads of a thickness out of the heights where its glass reaches too
    far in; overlapping such stretches are joined. The core lies in the first stretch that is
    open to the thinnest core bead, from `from_mm` to `to_mm`; `first_cross` is the cross of the
    first ring there.
    """

    def __init__(self, lattice: Lattice, choice: Sequence[BeadSize], thread_mm: float) -> None:
        self._spots = lattice.spots
        self._thread_mm = thread_mm
        self._closed = {bead.diameter_mm: self._closed_to(bead.diameter_mm) for bead in choice}
        thinnest = min(choice, key=lambda bead: bead.diameter_mm)
        self.from_mm, self.to_mm = self._first_open(thinnest)
        self.first_cross = next(
            (
                spot.cross
                for spot in self._spots
                if spot.height_mm >= self.from_mm and self._free(spot) >= thinnest.diameter_mm
            ),
            self._spots[0].cross,
        )

    def takes(self, bead: BeadSize, foot_mm: float) -> bool:
        """Whether a core bead can lie with its foot at a height."""
        closed = self._closed[bead.diameter_mm]
        low, high = _middle(bead, foot_mm)
        at = bisect.bisect_right(closed, (low, math.inf)) - 1
        if at >= 0 and closed[at][1] > low + _TINY:
            return False
        return at + 1 == len(closed) or closed[at + 1][0] >= high - _TINY

    def width_mm(self, bead: BeadSize, foot_mm: float) -> float:
        """Find the width that the rings leave where a core bead is thick."""
        low, high = _middle(bead, foot_mm)
        least = min(_inside_mm(spot, low, high) for spot in self._spots)
        return max(0.0, 2 * (least - self._thread_mm))

    def _free(self, spot: PlacedBead) -> float:
        return 2 * spot.radius_mm - spot.diameter_mm - 2 * self._thread_mm

    def _closed_to(self, core_mm: float) -> list[tuple[float, float]]:
        stretches = []
        for spot in self._spots:
            out_mm = spot.radius_mm - core_mm / 2 - self._thread_mm
            half_mm = spot.diameter_mm / 2
            if out_mm < half_mm - _TINY:
                reach = half_mm if out_mm < 0 else math.sqrt(half_mm**2 - out_mm**2)
                stretches.append((spot.height_mm - reach, spot.height_mm + reach))
        joined: list[tuple[float, float]] = []
        for low, high in sorted(stretches):
            if joined and low <= joined[-1][1]:
                joined[-1] = (joined[-1][0], max(joined[-1][1], high))
            else:
                joined.append((low, high))
        return joined

    def _first_open(self, thinnest: BeadSize) -> tuple[float, float]:
        foot_mm = min(spot.height_mm - spot.diameter_mm / 2 for spot in self._spots)
        head_mm = max(spot.height_mm + spot.diameter_mm / 2 for spot in self._spots)
        for low, high in self._closed[thinnest.diameter_mm]:
            if low - foot_mm >= thinnest.length_mm:
                return foot_mm, low
            foot_mm = max(foot_mm, high)
        return (foot_mm, head_mm) if head_mm - foot_mm >= thinnest.length_mm else (foot_mm, foot_mm)


def _middle(bead: BeadSize, foot_mm: float) -> tuple[float, float]:
    """From where to where a core bead has its whole thickness."""
    rounded_mm = ROUNDED * bead.length_mm
    return foot_mm + rounded_mm, foot_mm + bead.length_mm - rounded_mm


def _thickest(candidates: Sequence[BeadSize], free: float) -> BeadSize | None:
    return max(
        (bead for bead in candidates if bead.diameter_mm <= free + _TINY),
        key=lambda bead: bead.diameter_mm,
        default=None,
    )
