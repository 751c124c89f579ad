"""Thread: how thick it is, how much a strand takes, how much to cut."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from bench.craft.words import plural

NYLON_G_PER_CM3 = 1.14
"""Density of nylon, as published; threads of other fibres give their diameter."""

FILL = 0.75
"""Share of a thread's section that is fibre: 0.6 loosely plied, 0.9 bonded. Rule of thumb."""

TAKE_UP = 1.7
"""Strand worked in over braid length.

Common practice, no source: eight-strand round braids take 1.25 to 1.7; the upper end, since a
strand that is too short spoils the piece.
"""

START_KNOT_MM = 100.0
"""What single strands lose in the knot at the start. Common practice, no source."""

FIXING_MM = 40.0
"""What a double length loses where its middle is fixed. Common practice, no source."""

LONGEST_DOUBLE_MM = 3000.0
"""Double lengths above this tangle: cut single strands. Common practice, no source."""

CUT_STEP_MM = 50.0
"""Cut lengths are rounded up to whole steps. Common practice, no source."""

DENIER_PER_TEX = 9.0
"""ISO 1144: tex is grams per 1000 m, denier grams per 9000 m."""


@dataclass(frozen=True, slots=True)
class Hang:
    """What hangs on a strand when the last cross is made, in millimetres.

    Common practice, no source: rim to point of braiding 130 to 150, drop from the rim to the
    tama 200 to 250, hitch and turns on the tama 100 to 150.
    """

    rim_to_point_mm: float = 140.0
    drop_mm: float = 225.0
    hitch_mm: float = 125.0

    def __post_init__(self) -> None:
        for value in (self.rim_to_point_mm, self.drop_mm, self.hitch_mm):
            _not_below_zero("a part of the hang", value)

    @property
    def total_mm(self) -> float:
        """The whole hang of one strand."""
        return self.rim_to_point_mm + self.drop_mm + self.hitch_mm


@dataclass(frozen=True, slots=True)
class Cut:
    """How to cut the thread of one piece.

    `exact_mm` is what one cut length needs, `cut_mm` that rounded up; `lengths` how many are
    cut; `strands_each` two for double lengths, else one.
    """

    lengths: int
    strands_each: int
    exact_mm: float
    cut_mm: float

    @property
    def total_m(self) -> float:
        """Thread for one piece, in metres."""
        return self.lengths * self.cut_mm / 1000


def denier(tex: float) -> float:
    """Linear density in denier (g per 9000 m) from tex (g per 1000 m), after ISO 1144."""
    return DENIER_PER_TEX * tex


def tex(denier: float) -> float:
    """Linear density in tex (g per 1000 m) from denier (g per 9000 m), after ISO 1144."""
    return denier / DENIER_PER_TEX


def diameter_mm(tex: float, fill: float = FILL) -> float:
    """Diameter of a round nylon thread of that linear density.

    Raises ValueError for a fill outside 0 to 1 or a tex not above zero.
    """
    if not 0 < fill <= 1:
        raise ValueError(f"the fibre's share of the thread must lie in 0 to 1, not {fill:g}")
    if not (math.isfinite(tex) and tex > 0):
        raise ValueError(f"tex must be above zero, not {tex:g}")
    # 1 tex is 0.001 g a metre, and 1 g/cm³ over 1 mm² weighs 1 g a metre.
    return 2 * math.sqrt(0.001 * tex / (math.pi * NYLON_G_PER_CM3 * fill))


def mass_g(tex: float, length_mm: float) -> float:
    """Mass of a length of thread."""
    return tex * length_mm / 1e6


def strand_mm(braid_mm: float, hang: Hang | None = None, take_up: float = TAKE_UP) -> float:
    """Thread of one strand: what the braid takes in, and what hangs on it at the end."""
    _not_below_zero("the braid", braid_mm)
    if not (math.isfinite(take_up) and take_up >= 1):
        raise ValueError(f"a strand is at least as long as its braid: take-up {take_up:g} < 1")
    return take_up * braid_mm + (Hang() if hang is None else hang).total_mm


def cut(
    braid_mm: float,
    strands: int,
    double_lengths: int,
    *,
    hang: Hang | None = None,
    take_up: float = TAKE_UP,
) -> tuple[Cut, ...]:
    """Work out what to cut for one piece: the double lengths first, then the single strands.

    A single strand has a knot at its start, a double length is fixed at its middle. Raises
    ValueError if the double lengths make more strands than there are.
    """
    singles = strands - 2 * double_lengths
    if singles < 0 or double_lengths < 0:
        raise ValueError(f"{double_lengths} double lengths do not make {strands} strands")
    one = strand_mm(braid_mm, hang, take_up)
    cuts = []
    for lengths, each, exact in (
        (double_lengths, 2, 2 * one + FIXING_MM),
        (singles, 1, one + START_KNOT_MM),
    ):
        if lengths:
            steps = math.ceil(exact / CUT_STEP_MM - 1e-9)
            cuts.append(Cut(lengths, each, exact, steps * CUT_STEP_MM))
    return tuple(cuts)


def cut_said(lengths: int, strands_each: int, cut_mm: float) -> str:
    """A cut in words: '4 double lengths of 1.25 m'."""
    what = "double length" if strands_each == 2 else "single strand"
    return f"{plural(lengths, what)} of {cut_mm / 1000:.2f} m"


def too_long_for_doubles(one: Cut) -> bool:
    """Whether a rope's double lengths would tangle, so that single strands are better."""
    return one.strands_each == 2 and one.cut_mm > LONGEST_DOUBLE_MM


def lengths_from_spool(spool_m: float, cut_mm: float) -> int:
    """How many whole cut lengths a spool gives; the rest is too short."""
    _not_below_zero("the spool", spool_m)
    if not cut_mm > 0:
        raise ValueError(f"a cut length must be above zero, not {cut_mm:g} mm")
    return math.floor(1000 * spool_m / cut_mm + 1e-9)


def spools(cuts: tuple[Cut, ...], pieces: int, spool_m: float) -> int:
    """How many spools the cut lengths of so many pieces take, no length knotted.

    Longest lengths first, each from the first spool that still has it. Raises ValueError if a
    length is longer than a spool.
    """
    rest_mm: list[float] = []
    for one in sorted(cuts, key=lambda c: -c.cut_mm):
        per_spool = lengths_from_spool(spool_m, one.cut_mm)
        if per_spool == 0:
            raise ValueError(f"a spool of {spool_m:g} m has no length of {one.cut_mm:g} mm")
        wanted = one.lengths * pieces
        for i, left in enumerate(rest_mm):
            taken = min(wanted, math.floor(left / one.cut_mm + 1e-9))
            rest_mm[i] = left - taken * one.cut_mm
            wanted -= taken
        while wanted > 0:
            taken = min(wanted, per_spool)
            rest_mm.append(1000 * spool_m - taken * one.cut_mm)
            wanted -= taken
    return len(rest_mm)


def still_to_cut(cuts: tuple[Cut, ...], pieces: int, rests_m: Sequence[float]) -> tuple[Cut, ...]:
    """Which lengths are left to cut once these spools and rests of spools are used up.

    Longest lengths first, each from the shortest rest that still has it: a rest shorter than a
    length serves for nothing.
    """
    left_mm = [1000 * rest for rest in rests_m]
    left = []
    for one in sorted(cuts, key=lambda c: -c.cut_mm):
        wanted = one.lengths * pieces
        for i in sorted(range(len(left_mm)), key=lambda n: left_mm[n]):
            taken = min(wanted, math.floor(left_mm[i] / one.cut_mm + 1e-9))
            left_mm[i] -= taken * one.cut_mm
            wanted -= taken
        if wanted:
            left.append(replace(one, lengths=wanted))
    return tuple(left)


def _not_below_zero(what: str, value_mm: float) -> None:
    if not (math.isfinite(value_mm) and value_mm >= 0):
        raise ValueError(f"{what} must not be below zero: {value_mm:g} mm")
