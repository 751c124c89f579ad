"""A piece in the making, worked up again from its frozen pattern: for the screens that prepare."""

from __future__ import annotations

import contextlib
from dataclasses import dataclass

from bench.craft.bead_weighings import masses_g
from bench.craft.counterweight import Nudge
from bench.craft.cutting import passing
from bench.craft.growth import grow, sizes_of
from bench.craft.measuring import Corrections
from bench.craft.weight_plan import WeightPlan, weigh
from bench.documents.settings import Settings
from bench.documents.stock import weighed_in_stock
from bench.making.braid import Braid
from bench.making.calibration import Calibration, calibration_of, piece_g, strand_cut_mm
from bench.making.preparation import cutting_of
from bench.making.worked_pattern import WorkedPattern, hanging_of


def calibration_with_stock(braid: Braid, settings: Settings) -> Calibration:
    """What earlier pieces, and the beads weighed in journal and stock, tell of a piece."""
    state, journal = braid.state, braid.journal
    in_stock, _ = weighed_in_stock(journal.folder, settings.stand.scale_g)
    return calibration_of(
        journal, settings, state.pattern_name, state.size, state.colourway, in_stock
    )


def prepared(braid: Braid, settings: Settings) -> WorkedPattern:
    """Work a piece up from the pattern, structure and marks that it was started with.

    The maker's settings of today count, and what earlier pieces told. `weighing` is None where
    tama or weights do not go with the pattern.
    """
    state, plan, pattern = braid.state, braid.plan, braid.pattern
    calibration = calibration_with_stock(braid, settings)
    sizes = sizes_of(pattern)
    growth = calibration.corrections.apply(grow(plan, sizes, settings.thumb.plain_cross_mm))
    halts = [mark.after_cross for mark in braid.marks if mark.id.startswith("halt-")]
    masses = masses_g(pattern, sizes, calibration.weighed)
    weighing = None
    with contextlib.suppress(ValueError):
        weighing = weigh(plan, masses, hanging_of(settings, plan.strands), halts)
    return WorkedPattern(
        state.pattern_name,
        state.size,
        state.colourway,
        pattern,
        braid.structure,
        plan,
        sizes,
        growth,
        braid.marks,
        (),
        calibration,
        weighing,
    )


@dataclass(frozen=True, slots=True)
class ExpectedPiece:
    """What a finished piece is predicted to be; None where nothing can be said.

    `thread_cut_mm` is each strand's length as it was to be cut; `thread_left_mm` what is left of
    it beyond the end of the braid.
    """

    length_mm: float
    thickness_mm: float
    thread_cut_mm: float
    thread_left_mm: float
    weight_g: float | None

    @classmethod
    def of(cls, made: WorkedPattern, settings: Settings) -> ExpectedPiece:
        """Predict a piece, shifted by the pieces measured so far."""
        shifts = made.calibration.corrections
        take_up = max(1.0, settings.thumb.take_up * shifts.take_up.factor)
        cut = strand_cut_mm(made.plan, made.growth, settings, take_up)
        masses = masses_g(made.pattern, made.sizes, made.calibration.weighed)
        weight = piece_g(made.plan, made.growth, masses, take_up) * shifts.weight.factor
        return cls(
            made.growth.length_mm,
            made.growth.diameter_mm,
            cut,
            cut - take_up * made.growth.length_mm,
            weight if weight > 0 else None,
        )


def shifts_after(braid: Braid, settings: Settings) -> Corrections:
    """How the predictions for the next pieces are shifted by what has been measured by now."""
    return calibration_with_stock(braid, settings).corrections


def point_nudge(braid: Braid, made: WorkedPattern, seen: str) -> Nudge | None:
    """What to change when the point of braiding is seen "high" or "low"; None when it is level.

    Takes it that what was said to earlier looks was done, and hangs until the weight is changed as
    planned, which makes it up anew. Raises ValueError where
    tama or weights do not go with the pattern.
    """
    weighing = made.weighing
    if weighing is None:
        raise ValueError(
            f"Your tama or weights do not go with {made.plan.strands} strands: set them in"
            " settings.toml under [stand]; until then a tenth more or less is a fair try."
        )
    crosses, hung = 0, weighing.steps[0].weights_g
    for event in filter(lambda event: event.understood, braid.journal.events(braid.piece)):
        if event.kind in {"crossed", "taken_back", "place_set"}:
            before, crosses = crosses, int(str(event.payload["to"]))
            planned = weighing.step_after(crosses)
            hung = hung if weighing.step_after(before) == planned else planned.weights_g
        elif event.kind == "point_seen":
            earlier = _nudge(weighing, str(event.payload["at"]), crosses, hung)
            hung = hung if earlier is None else earlier.weights_g
    return _nudge(weighing, seen, braid.made, hung)


def _nudge(
    weighing: WeightPlan, seen: str, crosses: int, hung_g: tuple[float, ...]
) -> Nudge | None:
    if seen == "level":
        return None
    return weighing.nudge("high" if seen == "high" else "low", crosses, hung_g)


def thread_words(made: WorkedPattern, settings: Settings) -> str:
    """What to cut for the piece: '4 double lengths of 1.27 m of gel-spun 0.13 mm'."""
    cutting = cutting_of(made, settings)
    cuts = [
        f"{cut.lengths} {'double length' if cut.strands_each == 2 else 'single strand'}"
        f"{'' if cut.lengths == 1 else 's'} of {cut.cut_mm / 1000:.2f} m"
        for cut in cutting.cuts
    ]
    return f"{', '.join(cuts)} of {made.pattern.threads.name}"


def needle_words(made: WorkedPattern) -> str:
    """What the beads are loaded with; a needle is advice. Empty without beads."""
    found = passing(made.plan, made.sizes)
    if found is None:
        return ""
    if found.loading.needle is None:
        return f"Load with {found.load_with}: {found.stiffened.says}."
    return f"Load with {found.load_with}: advice, try it on one bead first."
