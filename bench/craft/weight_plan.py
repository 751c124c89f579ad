"""Weighing a plan up: what hangs on each strand, the counterweight over the rows, its marks."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from bench.craft import counterweight as cw
from bench.craft.cautions import WEIGHT_IN_HAND
from bench.craft.load import SKIP, parse_load
from bench.craft.mark import Mark
from bench.craft.marks import HANG_ANEW, LET_OUT, STICK_IN
from bench.craft.plan import Plan
from bench.craft.words import often

HANG_AGAIN = "Hang it again"


@dataclass(frozen=True, slots=True)
class StandWeights:
    """What the maker hangs: tama in grams by strand, own weights, bag, and the fraction wanted."""

    tama_g: tuple[float, ...]
    weights_g: tuple[float, ...]
    fraction: float = cw.FRACTION
    bag_g: float = 0.0
    band: float = cw.BAND


@dataclass(frozen=True, slots=True)
class WeightPlan:
    """A plan weighed up.

    `series` holds the start and the end of every row. `hang_g` is tama and beads of each strand
    at the start; `start_g` and `end_g` what the fraction asks for, `steps` what the maker's own
    weights make of it. `warnings` are sentences.
    """

    hanging: StandWeights
    series: tuple[cw.Masses, ...]
    hang_g: tuple[float, ...]
    steps: tuple[cw.WeightChange, ...]
    warnings: tuple[str, ...]

    @property
    def start_g(self) -> float:
        """The counterweight that gives the fraction at the start."""
        return self._asked(self.series[0])

    @property
    def end_g(self) -> float:
        """The counterweight that gives the fraction after the last row."""
        return self._asked(self.series[-1])

    @property
    def shares(self) -> tuple[float, float]:
        """The least and the largest share over the piece, with what is really hung."""
        shares = [cw.share(hung, masses) for masses, hung in self._hung()]
        return min(shares), max(shares)

    @property
    def says(self) -> str:
        """How often weight is changed, in one sentence."""
        least, most = self.shares
        kept = f"the share runs from {least:.2f} to {most:.2f}"
        if any(step.leaves_band_at is not None for step in self.steps):
            return f"your weights cannot be made up to what is asked for: {kept}"
        if len(self.steps) == 1:
            return f"no change is needed: {kept}"
        changed = often(len(self.steps) - 1)
        return (
            f"weight is changed {changed}, at the end of a row, as seldom as your weights allow:"
            f" {kept}"
        )

    def masses_after(self, cross: int) -> cw.Masses:
        """What weighs where at the last row end up to this cross."""
        return [m for m in self.series if m.cross <= max(cross, self.series[0].cross)][-1]

    def nudge(
        self, where: Literal["high", "low"], crosses: int, hung_g: Sequence[float] | None = None
    ) -> cw.Nudge:
        """What to change where the point of braiding lies too high or too low after some crosses.

        `hung_g` are the maker's weights that hang; by default those of the plan.
        """
        hung = self.step_after(crosses).weights_g if hung_g is None else hung_g
        hanging, masses = self.hanging, self.masses_after(crosses)
        return cw.point_of_braiding(where, hung, masses, hanging.weights_g, bag_g=hanging.bag_g)

    def hung_after(self, cross: int) -> float:
        """The counterweight that should hang after this cross."""
        return self.step_after(cross).counterweight_g

    def step_after(self, cross: int) -> cw.WeightChange:
        """The last change of weight up to this cross, or what is hung at the start."""
        return [s for s in self.steps if s.cross <= max(cross, 0)][-1]

    def _asked(self, masses: cw.Masses) -> float:
        return cw.counterweight_g(self.hanging.fraction, masses.strands_g, masses.hangs_g)

    def _hung(self) -> Iterable[tuple[cw.Masses, float]]:
        return ((masses, self.hung_after(masses.cross)) for masses in self.series)


def core_mass_g(plan: Plan, masses_g: Mapping[str, float]) -> float:
    """The mass of the core beads; the bare wire is left out (under 0.3 g)."""
    core = plan.pattern.core
    if core is None or not core.beads:
        return 0.0
    return math.fsum(masses_g[letter] for letter in parse_load(core.beads))


def loads_g(plan: Plan, masses_g: Mapping[str, float]) -> tuple[float, ...]:
    """The mass of the beads of each strand, in grams."""
    return tuple(
        math.fsum(load.count(letter) * masses_g[letter] for letter in set(load) - {SKIP})
        for load in plan.loads
    )


def row_ends(plan: Plan) -> list[int]:
    """The start and the cross that ends each row, in order."""
    last = plan.last_bead_cross
    if not last:
        return [0]
    ends = range(plan.plain_start + plan.row_length, last, plan.row_length)
    return [0, *ends, last]


def weigh(
    plan: Plan,
    masses_g: Mapping[str, float],
    hanging: StandWeights,
    halts: Sequence[int] = (),
) -> WeightPlan:
    """Weigh a plan up with the maker's tama and weights.

    `halts` are crosses at which the maker stops anyway; a change of weight that can as well be
    made at the halt before it is made there. Raises ValueError for tama that are not one a
    strand, and as the functions of the counterweight do.
    """
    if len(hanging.tama_g) != plan.strands:
        raise ValueError(
            f"{len(hanging.tama_g)} tama are given for {plan.strands} strands:"
            " give one weight for all, or one for each strand"
        )
    cw.check_tama(hanging.tama_g)
    unusual = cw.check_fraction(hanging.fraction)
    releases = [
        (step.cross, masses_g[move.bead])
        for step in plan
        for move in step.carried
        if move.bead is not None
    ]
    down = plan.pattern.core.down_after_cross if plan.pattern.core is not None else 0
    series = cw.masses_at(
        row_ends(plan),
        releases,
        hanging.tama_g,
        core_g=core_mass_g(plan, masses_g),
        core_after_cross=max(1, down),
    )
    steps = cw.schedule(
        series, hanging.weights_g, hanging.fraction, band=hanging.band, bag_g=hanging.bag_g
    )
    steps = _at_halts(steps, series, hanging, sorted(halts))
    warnings = [unusual] if unusual else []
    warnings += _out_of_reach(steps, series, hanging)
    hang = tuple(t + b for t, b in zip(hanging.tama_g, loads_g(plan, masses_g), strict=True))
    return WeightPlan(hanging, series, hang, steps, tuple(warnings))


def _at_halts(
    steps: tuple[cw.WeightChange, ...],
    series: tuple[cw.Masses, ...],
    hanging: StandWeights,
    halts: Sequence[int],
) -> tuple[cw.WeightChange, ...]:
    moved = [steps[0]]
    for step in steps[1:]:
        before = [h for h in halts if moved[-1].cross < h <= step.cross]
        if before and step.leaves_band_at is None:
            between = (m for m in series if before[-1] <= m.cross < step.cross)
            off = (
                abs(cw.share(step.counterweight_g, masses) - hanging.fraction) for masses in between
            )
            if all(away <= hanging.band + 1e-9 for away in off):
                step = replace(step, cross=before[-1])
        moved.append(step)
    return tuple(moved)


def _out_of_reach(
    steps: Iterable[cw.WeightChange], series: Sequence[cw.Masses], hanging: StandWeights
) -> list[str]:
    for step in steps:
        if step.leaves_band_at is None:
            continue
        masses = next(m for m in series if m.cross == step.leaves_band_at)
        share = cw.share(step.counterweight_g, masses)
        wanted = max(0.0, hanging.fraction * masses.strands_g - masses.hangs_g)
        return [
            f"your weights cannot make {wanted:.0f} g after cross {masses.cross}: the nearest,"
            f" {step.counterweight_g:g} g, gives a share of {share:.2f} instead of"
            f" {hanging.fraction:g}"
        ]
    return []


def weight_marks(weighing: WeightPlan) -> tuple[Mark, ...]:
    """The marks of the changes of weight; none for a piece that needs no change."""
    marks = []
    for number, step in enumerate(weighing.steps[1:], 1):
        marks.append(
            Mark(
                step.cross,
                f"weight-{number}",
                "weight",
                _title(step),
                (
                    STICK_IN,
                    *_in_the_bag(step),
                    f"{HANG_AGAIN}: {step.counterweight_g:g} g in all.",
                    "Stick out. See that the point of braiding lies level.",
                ),
                WEIGHT_IN_HAND,
            )
        )
    return tuple(marks)


def _title(step: cw.WeightChange) -> str:
    if step.take_off_g and step.add_g:
        return "Change weight"
    return "Weight off" if step.take_off_g else "Weight on"


def _in_the_bag(step: cw.WeightChange) -> list[str]:
    said = []
    if step.take_off_g:
        said.append(f"Take out {_listed(step.take_off_g)}.")
    if step.add_g:
        said.append(f"Put in {_listed(step.add_g)}.")
    return said


def _listed(weights_g: Sequence[float]) -> str:
    return " and ".join(f"{grams:g} g" for grams in weights_g)


def joined(marks: Sequence[Mark], weights: Sequence[Mark]) -> tuple[Mark, ...]:
    """Return all marks in order; a change of weight at a halt is one mark with it.

    The halt's own thread work comes while the weight is off.
    """
    changes = {mark.after_cross: mark for mark in weights}
    merged = []
    for mark in marks:
        change = changes.get(mark.after_cross) if mark.is_halt else None
        if change is None:
            merged.append(mark)
            continue
        del changes[mark.after_cross]
        off, *bag, hang, out = change.steps
        if mark.kind == "rehang":
            hang = hang.replace(HANG_AGAIN, HANG_ANEW.rstrip("."))
        merged.append(
            Mark(
                mark.after_cross,
                mark.id,
                mark.kind,
                mark.do if mark.kind == "rehang" else f"{change.do}, let out",
                (off, LET_OUT, *bag, hang, out),
                WEIGHT_IN_HAND,
            )
        )
    return tuple(sorted((*merged, *changes.values()), key=lambda mark: mark.after_cross))
