"""Proof by weight: what a loaded half should weigh, and whether a scale can tell one bead."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
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

SURE = 0.9
"""Chance of noticing from which a scale is said to tell one bead."""

_NORMAL = NormalDist()


@dataclass(frozen=True, slots=True)
class BeadMass:
    """What is known of the mass of one kind of bead, in grams.

    `doubt_g` is the standard deviation of the mean itself, `scatter_g` that of single beads.
    Kinds with the same `row` of the table share their doubt: if one is heavier than printed, so
    are the others. Empty: a kind by itself.
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
class WeightProof:
    """Which readings of the scale pass a half, and the chances of noticing a slip.

    Readings from `least_g` to `most_g` pass. `false_alarm` is the real chance that a right half
    fails; `one_missing` and `one_extra` that a wrong one does.
    """

    expected: ExpectedWeight
    resolution_g: float
    least_g: float
    most_g: float
    false_alarm: float
    one_missing: float
    one_extra: float

    @property
    def tells(self) -> bool:
        """Whether this scale can be trusted to tell one bead too few or too many."""
        return min(self.one_missing, self.one_extra) >= SURE


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
        f"{before.rests_on}; {beads} beads weighed",
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
    half: ExpectedWeight, bead: BeadMass, resolution_g: float, false_alarm: float = FALSE_ALARM
) -> WeightProof:
    """Find which readings pass a half, and the chance of noticing one of `bead` more or fewer.

    The mass is taken as normal, the reading as the nearest multiple of the resolution. The
    passing readings are the fewest round the expected one for which a right half fails at most
    at the stated rate. Raises ValueError for a resolution not above zero or a rate outside 0 to
    1.
    """
    _above_zero("the scale's resolution", resolution_g)
    if not 0 < false_alarm < 1:
        raise ValueError(f"the rate of false alarms must lie between 0 and 1, not {false_alarm:g}")
    middle = round(half.mean_g / resolution_g)
    wide = _NORMAL.inv_cdf(1 - false_alarm / 2) * half.sd_g / resolution_g
    reach = max(0, math.floor(wide) - 1)
    while 1 - _passes(half.mean_g, half.sd_g, middle, reach, resolution_g) > false_alarm:
        reach += 1

    def fails(mean_g: float) -> float:
        return 1 - _passes(mean_g, half.sd_g, middle, reach, resolution_g)

    return WeightProof(
        half,
        resolution_g,
        (middle - reach) * resolution_g,
        (middle + reach) * resolution_g,
        fails(half.mean_g),
        fails(half.mean_g - bead.mean_g),
        fails(half.mean_g + bead.mean_g),
    )


def _passes(mean_g: float, sd_g: float, middle: int, reach: int, resolution_g: float) -> float:
    """Chance that the rounded reading lies within `reach` steps of the middle one."""
    low = (middle - reach - 0.5) * resolution_g
    high = (middle + reach + 0.5) * resolution_g
    if sd_g == 0:
        return float(low <= mean_g <= high)
    return _NORMAL.cdf((high - mean_g) / sd_g) - _NORMAL.cdf((low - mean_g) / sd_g)


def _rounding(resolution_g: float) -> float:
    """Variance of what rounding to a resolution adds, taken as even over one step."""
    return resolution_g**2 / 12


def _above_zero(what: str, value_g: float) -> None:
    if not (math.isfinite(value_g) and value_g > 0):
        raise ValueError(f"{what} must be above zero, not {value_g:g} g")
