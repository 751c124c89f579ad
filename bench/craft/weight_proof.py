"""Proof by weight: what a loaded half should weigh, and whether a scale can tell one bead."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from statistics import NormalDist

from bench.craft.beads import BeadSize, mass_g

BEAD_SCATTER = 0.06
"""Standard deviation of single beads over their mean mass. Common practice, no source."""

TABLE_DOUBT = 0.10
"""Standard deviation of a table's mean mass over that mass.

Printed counts for one size differ by 10 to 20 % between makes (8/0: 347 and 420 per 10 g).
"""

FINISH_DOUBT = 0.03
"""How much beads of one size differ by finish: lined and plated ones weigh a few per cent more.

Rule of thumb, no source.
"""

FALSE_ALARM = 0.05
"""How often a right half may be called wrong."""

SURE = 0.8
"""Chance of noticing from which a scale is said to tell one bead; the chance is told with it.

Rule of thumb, no source.
"""

_NORMAL = NormalDist()


@dataclass(frozen=True, slots=True)
class BeadMass:
    """What is known of the mass of one kind of bead, in grams.

    `doubt_g` is the standard deviation of the mean itself, `scatter_g` that of single beads.
    Kinds with the same `row` of the table share their doubt: if one is heavier than printed, so
    are the others. Empty: a kind by itself. `rests_on`: what was said of it last.
    """

    mean_g: float
    doubt_g: float
    scatter_g: float
    rests_on: str
    row: str = ""

    def __post_init__(self) -> None:
        if not (math.isfinite(self.mean_g) and self.mean_g > 0):
            raise ValueError(f"a bead must weigh more than nothing, not {self.mean_g:g} g")
        if self.doubt_g < 0 or self.scatter_g < 0:
            raise ValueError("a spread must not be below zero")


@dataclass(frozen=True, slots=True)
class ExpectedWeight:
    """What a loaded half should weigh: mean and standard deviation, before the scale rounds."""

    mean_g: float
    sd_g: float


@dataclass(frozen=True, slots=True)
class OneBead:
    """The chances that one bead of a kind too few, or too many, is noticed."""

    missing: float
    extra: float

    @property
    def told(self) -> bool:
        """Whether the scale can be trusted to tell one bead too few or too many."""
        return min(self.missing, self.extra) >= SURE


@dataclass(frozen=True, slots=True)
class WeightProof:
    """Which readings of the scale pass a half, and the chances of noticing a slip.

    Readings from `least_g` to `most_g` pass. `false_alarm` is the real chance that a right half
    fails; `notices` tells of each kind of bead, in the order in which the kinds were given.
    """

    expected: ExpectedWeight
    resolution_g: float
    least_g: float
    most_g: float
    false_alarm: float
    notices: tuple[OneBead, ...]

    @property
    def tells(self) -> bool:
        """Whether one bead of any kind is told."""
        return all(one.told for one in self.notices)


def from_table(bead: BeadSize) -> BeadMass:
    """Take a bead's mass from the table, with the doubt that a table leaves."""
    mean = mass_g(bead)
    counted = "count per 10 g in the table" if bead.per_10_g else "measures and glass density"
    return BeadMass(
        mean, TABLE_DOUBT * mean, BEAD_SCATTER * mean, counted, f"{bead.name} {bead.shape}"
    )


def weighed(before: BeadMass, beads: int, total_g: float, resolution_g: float) -> BeadMass:
    """Improve a mass by weighing so many beads together.

    The mean before and the weighing are averaged, each by one over its variance (the weighing's:
    scatter of the beads and rounding of the scale). Raises ValueError for no beads, a weight or
    a resolution not above zero.
    """
    if beads < 1:
        raise ValueError(f"weigh at least one bead, not {beads}")
    _above_zero("the weighed beads", total_g)
    _above_zero("the scale's resolution", resolution_g)
    variance = before.scatter_g**2 / beads + _rounding(resolution_g) / beads**2
    trust = before.doubt_g**2 / (before.doubt_g**2 + variance)
    mean = before.mean_g + trust * (total_g / beads - before.mean_g)
    return BeadMass(
        mean,
        math.sqrt((1 - trust) * before.doubt_g**2),
        before.scatter_g * mean / before.mean_g,
        f"{beads} beads weighed",
        before.row,
    )


def of_another_name(mass: BeadMass) -> BeadMass:
    """What weighed beads tell of others of their size and shape, whose finish may differ."""
    doubt_g = math.hypot(mass.doubt_g, FINISH_DOUBT * mass.mean_g)
    return replace(mass, doubt_g=doubt_g, rests_on=f"{mass.rests_on}, of another name")


def expected(
    groups: Sequence[tuple[int, BeadMass]], other_g: float = 0.0, other_sd_g: float = 0.0
) -> ExpectedWeight:
    """Add up what a half should weigh: (count, mass) of each kind of bead, each kind once.

    `other_g` is what else lies on the scale (thread, clip), with its standard deviation.
    Raises ValueError for a count below zero.
    """
    if any(count < 0 for count, _ in groups):
        raise ValueError("a count of beads must not be below zero")
    mean = other_g + math.fsum(count * mass.mean_g for count, mass in groups)
    doubts: dict[str, float] = {}
    for number, (count, mass) in enumerate(groups):
        row = mass.row or str(number)
        doubts[row] = doubts.get(row, 0.0) + count * mass.doubt_g
    variance = other_sd_g**2 + math.fsum(doubt**2 for doubt in doubts.values())
    variance += math.fsum(count * mass.scatter_g**2 for count, mass in groups)
    return ExpectedWeight(mean, math.sqrt(variance))


def prove(
    half: ExpectedWeight,
    beads: Sequence[BeadMass],
    resolution_g: float,
    false_alarm: float = FALSE_ALARM,
) -> WeightProof:
    """Find which readings pass a half, and the chance of noticing one bead more or fewer.

    The mass is taken as normal, the reading as the nearest multiple of the resolution, none below
    zero. The readings pass that speak most for a right half: those with the largest likelihood
    ratio of a right half over one with a bead too few or too many (of each of `beads`, all as
    likely), as few as let a right half fail at most at the stated rate (J. Neyman, E. S. Pearson,
    1933: no other choice at that rate notices more). It rests on the scatter of single beads.
    Raises ValueError for a resolution not above zero or a rate outside 0 to 1.
    """
    _above_zero("the scale's resolution", resolution_g)
    if not 0 < false_alarm < 1:
        raise ValueError(f"the rate of false alarms must lie between 0 and 1, not {false_alarm:g}")
    scale = _Scale(half.sd_g, resolution_g)
    wrong_g = tuple(half.mean_g + sign * bead.mean_g for bead in set(beads) for sign in (-1, 1))
    least, most = _window(scale, half.mean_g, wrong_g, false_alarm)

    def fails(mean_g: float) -> float:
        return 1 - scale.chance(mean_g, least, most)

    return WeightProof(
        half,
        resolution_g,
        least * resolution_g,
        most * resolution_g,
        fails(half.mean_g),
        tuple(
            OneBead(fails(half.mean_g - bead.mean_g), fails(half.mean_g + bead.mean_g))
            for bead in beads
        ),
    )


@dataclass(frozen=True, slots=True)
class _Scale:
    """What a scale reads, in whole steps of its resolution, of masses that differ by `sd_g`."""

    sd_g: float
    resolution_g: float

    def nearest(self, mean_g: float) -> int:
        """The reading of a mass that is exactly so."""
        return max(0, math.floor(mean_g / self.resolution_g + 0.5))

    def chance(self, mean_g: float, least: int, most: int) -> float:
        """Chance of a reading from one to another; a scale reads nothing below zero."""
        if self.sd_g == 0:
            return float(least <= self.nearest(mean_g) <= most)
        high = _NORMAL.cdf(((most + 0.5) * self.resolution_g - mean_g) / self.sd_g)
        if least == 0:
            return high
        return high - _NORMAL.cdf(((least - 0.5) * self.resolution_g - mean_g) / self.sd_g)


@lru_cache(maxsize=256)
def _window(
    scale: _Scale, right_g: float, wrong_g: tuple[float, ...], false_alarm: float
) -> tuple[int, int]:
    """The least and the largest reading that pass.

    How much a reading speaks for a wrong half falls towards the middle and rises again, so that
    the readings that pass lie side by side and are found from the middle outward.
    """

    def against(reading: int) -> float:
        right = scale.chance(right_g, reading, reading)
        if reading < 0 or right <= 0:
            return math.inf
        return math.fsum(scale.chance(mean, reading, reading) for mean in wrong_g) / right

    middle = scale.nearest(right_g)
    least = most = min((middle, max(0, middle - 1), middle + 1), key=against)
    left, right = against(least - 1), against(most + 1)
    while 1 - scale.chance(right_g, least, most) > false_alarm:
        if left < right:
            least -= 1
            left = against(least - 1)
        else:
            most += 1
            right = against(most + 1)
    return least, most


def _rounding(resolution_g: float) -> float:
    """Variance of what rounding to a resolution adds, taken as even over one step."""
    return resolution_g**2 / 12


def _above_zero(what: str, value_g: float) -> None:
    if not (math.isfinite(value_g) and value_g > 0):
        raise ValueError(f"{what} must be above zero, not {value_g:g} g")
