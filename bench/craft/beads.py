"""The bead table: how large a bead of a size is, how heavy, and what its hole takes.

Sizes such as "8/0" are names, not measures; makers of beads differ. The figures are those
printed by the sources named in each row. A maker's own figures go before the table.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

GLASS_G_PER_CM3 = 2.49
"""Soda-lime glass: Encyclopaedia Britannica, article "Industrial glass", table of properties."""

SHAPE_FACTOR = 0.85
"""Glass in a bead over glass in a bored cylinder of its size: the edges are rounded.

About the mean of what the published counts per 10 g ask for with the measures of the table:
15/0 0.97, 11/0 0.86, 10/0 0.73, 8/0 0.84, 6/0 0.90 (standard deviation 0.09).
"""

STEP_RATIO = 1.45
"""Two sizes step by one if the larger is at most so many times the smaller.

Rule of thumb, no source: a bead then still rests on two below it. The usual ladder 15/0, 11/0,
8/0, 6/0 steps by 1.33 to 1.43; 15/0 to 8/0 is 2.0.
"""


@dataclass(frozen=True, slots=True)
class BeadSize:
    """One size and shape of bead, in millimetres.

    `diameter_mm` is across the hole, `length_mm` along it. `per_10_g` is None where no count is
    known; the mass is then worked out from the measures. `confirmed` says whether a source was
    read for every figure; `note` says what is doubtful.
    """

    name: str
    shape: str
    diameter_mm: float
    length_mm: float
    hole_mm: float
    per_10_g: float | None
    source: str
    confirmed: bool
    note: str = ""

    def __post_init__(self) -> None:
        measures = {
            "diameter_mm": self.diameter_mm,
            "length_mm": self.length_mm,
            "hole_mm": self.hole_mm,
            "per_10_g": self.per_10_g,
        }
        for key, value in measures.items():
            if value is not None and not (math.isfinite(value) and value > 0):
                raise ValueError(f"{key} of bead {self.name} must be above zero, not {value:g}")
        if self.hole_mm >= self.diameter_mm:
            raise ValueError(
                f"the hole of bead {self.name} ({self.hole_mm:g} mm) "
                f"must be smaller than the bead ({self.diameter_mm:g} mm)"
            )


_COUNTS = (
    "counts per 10 g and per inch: Esther Beadwork, How many seed beads are in that tube?, "
    "3 Oct 2013"
)
_RONDELLES = "diameters, least holes and counts per kg of rondelle-type beads: artplays.site"
_COUNTED = "25 to the inch, counted with calipers: beadfx.blogspot.com, May 2016"
_ROUND_15 = "hole: beads.co, Bead and beadweaving thread types"
_ROUND_8 = "hole about 1 mm: topcenter.typepad.com, Sep 2014"
_SPHERES = "round beads per inch: gemsociety.org, Bead and necklace size charts"
_DROPS = "size 3.4 mm: beads.co"

TABLE: tuple[BeadSize, ...] = (
    BeadSize(
        "15/0", "round", 1.5, 1.1, 0.7, 2715, f"{_COUNTS}; {_ROUND_15}", True,
        "narrow-holed makes exist: this is the round Japanese type",
    ),
    BeadSize(
        "13/0", "round", 1.7, 1.0, 0.5, 2910, f"{_RONDELLES}; {_COUNTED}", False,
        "count and hole are those of the rondelle type",
    ),
    BeadSize(
        "11/0", "round", 2.1, 1.5, 0.8, 1050, _COUNTS, False, "hole 0.8 to 0.9 mm from memory"
    ),
    BeadSize(
        "10/0", "round", 2.3, 1.65, 0.8, 910, _RONDELLES, False,
        "count and hole are those of the rondelle type, length from memory",
    ),
    BeadSize("8/0", "round", 3.0, 2.2, 1.0, 347, f"{_COUNTS}; {_ROUND_8}", True),
    BeadSize(
        "6/0", "round", 4.0, 2.7, 1.4, 150, _COUNTS, False, "hole and length not confirmed"
    ),
    BeadSize(
        "15/0", "rondelle", 1.5, 1.1, 0.4, None, _RONDELLES, False,
        "length of the round type; the printed count is out of step and not used",
    ),
    BeadSize("13/0", "rondelle", 1.7, 1.0, 0.4, 2910, f"{_RONDELLES}; {_COUNTED}", True),
    BeadSize(
        "11/0", "rondelle", 2.1, 1.5, 0.6, 1300, _RONDELLES, False, "length of the round type"
    ),
    BeadSize("10/0", "rondelle", 2.3, 1.65, 0.7, 910, _RONDELLES, False, "length from memory"),
    BeadSize(
        "8/0", "rondelle", 3.0, 2.2, 0.8, 420, _RONDELLES, False, "length of the round type"
    ),
    BeadSize(
        "6/0", "rondelle", 4.0, 2.7, 1.0, 133, _RONDELLES, False, "length of the round type"
    ),
    BeadSize(
        "3 mm", "round", 3.0, 3.0, 0.8, None, _SPHERES, False,
        "hole from memory, mass from the measures",
    ),
    BeadSize(
        "4 mm", "round", 4.0, 4.0, 0.9, None, _SPHERES, False,
        "hole from memory, mass from the measures",
    ),
    BeadSize(
        "3.4 mm", "drop", 3.4, 3.2, 0.8, None, _DROPS, False,
        "length, hole and mass are not confirmed: measure your own",
    ),
)  # fmt: skip
"""Every size that is known without the maker's own figures, smallest first within a shape."""

_BY_NAME = {(bead.name, bead.shape): bead for bead in TABLE}


def find(size: str, shape: str = "round") -> BeadSize:
    """Look up the table's row for a size and shape.

    Raises ValueError, with what to give instead, if the table has no such row.
    """
    try:
        return _BY_NAME[size, shape]
    except KeyError:
        raise ValueError(
            f'bead size "{size}" of shape "{shape}" is not in the table: '
            "give diameter_mm, length_mm, hole_mm and per_10_g"
        ) from None


def numbered(shape: str) -> tuple[BeadSize, ...]:
    """The table's sizes of a shape that go by a number such as 8/0, smallest first."""
    return tuple(size for size in TABLE if size.shape == shape and not size.name.endswith("mm"))


def mass_g(bead: BeadSize) -> float:
    """Mass of one bead in grams, from the count per 10 g, else from the measures."""
    return mass_by_measures_g(bead) if bead.per_10_g is None else 10 / bead.per_10_g


def mass_by_measures_g(bead: BeadSize, shape_factor: float | None = None) -> float:
    """Mass of one bead in grams as glass in a bored cylinder, times the shape factor.

    A bead as long as it is thick is taken as a ball with a hole drilled through, for which the
    factor is known and not a rule of thumb.
    """
    if shape_factor is None and bead.shape == "round" and bead.length_mm == bead.diameter_mm:
        bored_ball_mm3: float = math.pi / 6 * (bead.diameter_mm**2 - bead.hole_mm**2) ** 1.5
        return GLASS_G_PER_CM3 * bored_ball_mm3 / 1000
    factor = SHAPE_FACTOR if shape_factor is None else shape_factor
    ring_mm2 = math.pi / 4 * (bead.diameter_mm**2 - bead.hole_mm**2)
    return GLASS_G_PER_CM3 * factor * ring_mm2 * bead.length_mm / 1000


def steps_between(a: BeadSize, b: BeadSize) -> int:
    """How many steps of size lie between two beads: 0 for equal thickness, 1 for neighbours."""
    ratio = max(a.diameter_mm, b.diameter_mm) / min(a.diameter_mm, b.diameter_mm)
    return math.ceil(math.log(ratio) / math.log(STEP_RATIO) - 1e-9)


def steps_by_one(a: BeadSize, b: BeadSize) -> bool:
    """Whether two beads may follow each other on a strand without a gap or a climb.

    A drop hangs out of the braid by its thick end and is held by its thin one, so it may be two
    steps from its neighbours (rule of thumb, no source).
    """
    return steps_between(a, b) <= (2 if "drop" in (a.shape, b.shape) else 1)
