"""A pattern worked up for making: resolved, planned, predicted, with its marks and findings."""

from __future__ import annotations

import contextlib
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Protocol

from bench.craft.bead_weighings import masses_of
from bench.craft.beads import BeadSize
from bench.craft.core_choice import CoreChoice, choose_core
from bench.craft.cutting import Cutting, cut_for
from bench.craft.findings import Finding
from bench.craft.growth import Growth, grow, sizes_of
from bench.craft.mark import Mark
from bench.craft.marks import Housekeeping, work_out
from bench.craft.pattern import Pattern
from bench.craft.plan import Plan
from bench.craft.soundness import findings
from bench.craft.structure import Structure
from bench.craft.text import Fault
from bench.craft.thread import cut_said
from bench.craft.weight_plan import StandWeights, WeightPlan, joined, weigh, weight_marks
from bench.craft.weight_proof import BeadMass
from bench.documents.library import Library
from bench.documents.reading import at_key
from bench.documents.settings import Settings
from bench.journal.piece_state import PieceState
from bench.journal.store import Journal
from bench.making.calibration import Calibration, calibration_with_stock, hang_of


class PieceInHand(Protocol):
    """What is known of a piece in the making."""

    journal: Journal

    @property
    def state(self) -> PieceState:
        """How it stands."""
        ...

    @property
    def plan(self) -> Plan:
        """The plan that it was started with, loads as they are by now."""
        ...

    @property
    def marks(self) -> tuple[Mark, ...]:
        """Its marks in order."""
        ...


@dataclass(frozen=True)
class WorkedPattern:
    """One pattern in one size and colourway, ready to be shown, counted or started.

    `plan.pattern` is resolved. `marks` come in order.
    """

    name: str
    size: str | None
    colourway: str | None
    plan: Plan
    sizes: dict[str, BeadSize]
    growth: Growth
    marks: tuple[Mark, ...]
    findings: tuple[Finding, ...]
    calibration: Calibration
    weighing: WeightPlan | None
    """None where the maker's tama or weights do not go with the pattern."""

    @classmethod
    def from_library(
        cls,
        library: Library,
        settings: Settings,
        name: str,
        size: str | None = None,
        colourway: str | None = None,
        calibration: Calibration | None = None,
    ) -> WorkedPattern:
        """Work up a pattern given by its name or by a file's path.

        What earlier pieces told (`calibration`) shifts length and thickness, and with them the
        marks. Raises DocumentError for a file that is wrong, Fault for a name, size or colourway
        that is not there.
        """
        path = library.pattern_path(name)
        plan = library.plan(path)
        return cls._from_file(path, plan, settings, size, colourway, calibration or Calibration())

    @classmethod
    def for_piece(cls, piece: PieceInHand, settings: Settings) -> WorkedPattern:
        """Work a piece up from the plan and the marks that it was started with.

        The maker's settings of today count, and what earlier pieces told.
        """
        state, plan, marks = piece.state, piece.plan, piece.marks
        calibration = calibration_with_stock(piece.journal, state, settings)
        sizes = sizes_of(plan.pattern)
        growth = _predicted(plan, sizes, settings, calibration)
        weighing = _weighed(plan, sizes, marks, settings, calibration)
        named = state.pattern_name, state.size, state.colourway
        return cls(*named, plan, sizes, growth, marks, (), calibration, weighing)

    @classmethod
    def of_plan(
        cls,
        name: str,
        plan_as_written: Plan,
        settings: Settings,
        size: str | None = None,
        colourway: str | None = None,
        calibration: Calibration | None = None,
    ) -> WorkedPattern:
        """Work a plan up, which need not be in a file. Raises Fault for what cannot be."""
        known = calibration or Calibration()
        plan = plan_as_written.resolved(size, colourway)
        try:
            sizes = sizes_of(plan.pattern)
            growth = _predicted(plan, sizes, settings, known)
        except Fault as fault:
            raise _in_size(fault, plan_as_written.pattern, size) from None
        keep = Housekeeping(settings.thumb.let_out_mm, settings.thumb.rehang_mm)
        marks = work_out(plan, growth, sizes, keep)
        weighing = _weighed(plan, sizes, marks, settings, known)
        if weighing is not None:
            marks = joined(marks, weight_marks(weighing))
        found = findings(plan, growth, sizes)
        return cls(name, size, colourway, plan, sizes, growth, marks, found, known, weighing)

    @classmethod
    def _from_file(
        cls,
        path: Path,
        plan_as_written: Plan,
        settings: Settings,
        size: str | None,
        colourway: str | None,
        calibration: Calibration,
    ) -> WorkedPattern:
        plan_as_written.resolved(size, colourway)  # A choice that is not there is no file's fault.
        try:
            return cls.of_plan(path.stem, plan_as_written, settings, size, colourway, calibration)
        except Fault as fault:
            raise at_key(path, fault) from None

    @property
    def warnings(self) -> tuple[str, ...]:
        """What is unsound in it, in sentences."""
        return tuple(finding.says for finding in self.findings)

    @property
    def pattern(self) -> Pattern:
        """The pattern in its size and colourway."""
        return self.plan.pattern

    @property
    def structure(self) -> Structure:
        """The structure that it is braided on."""
        return self.plan.structure

    @cached_property
    def masses(self) -> dict[str, BeadMass]:
        """The mass of each bead by letter, improved by everything that was weighed."""
        return masses_of(self.pattern, self.sizes, self.calibration.weighed)

    @property
    def masses_g(self) -> dict[str, float]:
        """The mean mass of each bead by letter, in grams."""
        return {letter: mass.mean_g for letter, mass in self.masses.items()}

    @cached_property
    def core_choice(self) -> CoreChoice:
        """The core as planned and as suggested by the predicted lattice."""
        return choose_core(self.plan, self.growth.lattice, self.sizes)

    def take_up(self, settings: Settings) -> float:
        """Strand worked in over braid length, as set and as measured pieces have shown."""
        return max(1.0, settings.thumb.take_up * self.calibration.corrections.take_up.factor)

    def cutting(self, settings: Settings) -> Cutting:
        """What to cut for one piece."""
        hang = hang_of(settings.thumb)
        return cut_for(self.plan, self.growth.high_mm, hang, self.take_up(settings))

    def thread_said(self, settings: Settings) -> str:
        """What to cut for the piece: '4 double lengths of 1.25 m of gel-spun 0.13 mm'."""
        cuts = (cut_said(c.lengths, c.strands_each, c.cut_mm) for c in self.cutting(settings).cuts)
        return f"{', '.join(cuts)} of {self.pattern.threads.name}"


def growth_of(piece: PieceInHand, settings: Settings) -> Growth:
    """How a piece is predicted to grow, as earlier pieces told."""
    calibration = calibration_with_stock(piece.journal, piece.state, settings)
    return _predicted(piece.plan, sizes_of(piece.plan.pattern), settings, calibration)


def stand_weights_of(settings: Settings, strands: int) -> StandWeights:
    """What the maker hangs on so many strands, by the settings."""
    stand = settings.stand
    tama = stand.tama_g if isinstance(stand.tama_g, tuple) else (stand.tama_g,) * strands
    return StandWeights(tama, stand.weights_g, stand.fraction, stand.bag_g)


def check_file(library: Library, settings: Settings, path: Path) -> list[str]:
    """Work up a pattern's file in every size; return its warnings, named by size.

    Raises DocumentError or Fault for what is wrong.
    """
    plan = library.plan(path)
    warnings: list[str] = []
    for size in (None, *plan.pattern.sizes):
        made = WorkedPattern._from_file(path, plan, settings, size, None, Calibration())
        new = [w for w in made.warnings if w not in warnings]
        warnings += [w if size is None else f"size {size}: {w}" for w in new]
    return warnings


def _predicted(
    plan: Plan, sizes: dict[str, BeadSize], settings: Settings, calibration: Calibration
) -> Growth:
    thumb = settings.thumb
    return calibration.corrections.apply(grow(plan, sizes, thumb.plain_cross_mm, thumb.take_up))


def _weighed(
    plan: Plan,
    sizes: dict[str, BeadSize],
    marks: Sequence[Mark],
    settings: Settings,
    calibration: Calibration,
) -> WeightPlan | None:
    """The counterweight over the rows; None where tama or weights do not go with the pattern."""
    masses = masses_of(plan.pattern, sizes, calibration.weighed)
    means = {letter: mass.mean_g for letter, mass in masses.items()}
    with contextlib.suppress(ValueError):
        return weigh(plan, means, stand_weights_of(settings, plan.strands), halts_of(marks))
    return None


def halts_of(marks: Sequence[Mark]) -> list[int]:
    """The crosses after which a long braid halts anyway."""
    return [mark.after_cross for mark in marks if mark.is_halt]


def _in_size(fault: Fault, document: Pattern, size: str | None) -> Fault:
    """Return a fault of a bead with the key of the size that brought it in, if one did."""
    changed = {} if size is None else document.sizes[size].beads
    if len(fault.key) > 1 and fault.key[0] == "beads" and fault.key[1] in changed:
        return Fault(str(fault), "sizes", size or "", "beads", fault.key[1])
    return fault
