"""What the journal knows of measured pieces, weighed beads and signed-off samples."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass, field
from pathlib import Path

from bench.craft.bead_weighings import WeighedBeads, masses_g
from bench.craft.cutting import cut_for
from bench.craft.growth import Growth, grow, sizes_of
from bench.craft.measuring import Corrections, MeasuredPiece, corrections, take_up_of
from bench.craft.plan import Plan
from bench.craft.text import Fault
from bench.craft.thread import FIXING_MM, START_KNOT_MM, Hang, mass_g
from bench.craft.weight_plan import core_mass_g, loads_g
from bench.documents.settings import Settings, ThumbRules
from bench.documents.stock import weighed_in_stock
from bench.journal import payloads as p
from bench.journal.errors import Damaged, JournalError
from bench.journal.frozen import thaw
from bench.journal.piece_state import PieceState
from bench.journal.store import Journal
from bench.pace.records import Variant


@dataclass(frozen=True, slots=True)
class Calibration:
    """What earlier work tells about a pattern in one size.

    `sample` is the title of the piece that was signed off for this size and colourway, if any.
    """

    corrections: Corrections = field(default_factory=Corrections)
    weighed: tuple[WeighedBeads, ...] = ()
    sample: str | None = None


def hang_of(thumb: ThumbRules) -> Hang:
    """The hang that the maker has set."""
    return Hang(thumb.rim_to_point_mm, thumb.drop_to_tama_mm, thumb.hitch_mm)


def strand_cut_mm(plan: Plan, growth: Growth, settings: Settings, take_up: float) -> float:
    """How long one strand is as cut, in mm, its share of the fixing or the knot left out."""
    (cut, *_) = cut_for(plan, growth.high_mm, hang_of(settings.thumb), take_up).cuts
    lost = FIXING_MM if cut.strands_each == 2 else START_KNOT_MM
    return (cut.cut_mm - lost) / cut.strands_each


def piece_g(plan: Plan, growth: Growth, masses: Mapping[str, float], take_up: float) -> float:
    """What a finished piece should weigh, in grams, by the mass of each bead.

    That is its beads, the core's too, and its thread if tex is known.
    """
    beads = sum(loads_g(plan, masses)) + core_mass_g(plan, masses)
    tex = plan.pattern.threads.tex
    return beads + (mass_g(tex, plan.strands * take_up * growth.length_mm) if tex else 0.0)


def calibration_of(
    journal: Journal,
    settings: Settings,
    pattern_name: str,
    size: str | None = None,
    colourway: str | None = None,
    in_stock: Iterable[WeighedBeads] = (),
) -> Calibration:
    """Read what the journal knows of a pattern in one size and colourway, as `calibrations_of`."""
    kind = Variant(pattern_name, size, colourway)
    return calibrations_of(journal, settings, [kind], in_stock)[kind]


def calibrations_of(
    journal: Journal,
    settings: Settings,
    kinds: Sequence[Variant],
    in_stock: Iterable[WeighedBeads] = (),
) -> Mapping[Variant, Calibration]:
    """Read what the journal knows of patterns, each in a size and colourway.

    Beads count as weighed in the journal and, `in_stock`, by the maker's stock.

    Every piece is compared with what is predicted for its own frozen pattern. Measures of all
    colourways count; of a piece that was measured twice each figure counts as measured last, and it
    stays signed off until that is taken back.
    """
    weighed = (*weighed_beads(journal), *in_stock)
    pieces = {piece for event, _ in journal.each(p.Measured) for piece, _ in event.pieces}
    wanted = {(name, size) for name, size, _ in kinds}
    measured: dict[tuple[str, str | None], list[MeasuredPiece]] = {one: [] for one in wanted}
    samples: dict[Variant, str] = {}
    for piece in sorted(pieces):
        started = journal.started(piece)
        if started is None or (started.pattern_name, started.size) not in wanted:
            continue
        kind = Variant(started.pattern_name, started.size, started.colourway)
        state = journal.state(piece)
        if kind in kinds and state.sample:
            samples[kind] = state.name
        base = _kept_prediction(started, settings, weighed)
        if base is not None and state.measured is not None:
            figures = _figures(state.measured)
            measured[started.pattern_name, started.size].append(_beside(figures, base))
    corrected = {one: corrections(found) for one, found in measured.items()}
    return {
        kind: Calibration(corrected[kind.pattern, kind.size], weighed, samples.get(kind))
        for kind in kinds
    }


def calibration_with_stock(journal: Journal, state: PieceState, settings: Settings) -> Calibration:
    """What earlier pieces, and the beads weighed in journal and stock, tell of a piece."""
    in_stock, _ = weighed_in_stock(journal.folder, settings.stand.scale_g)
    return calibration_of(
        journal, settings, state.pattern_name, state.size, state.colourway, in_stock
    )


def read_calibration(
    home: Path,
    settings: Settings,
    pattern_name: str,
    size: str | None = None,
    colourway: str | None = None,
    in_stock: Sequence[WeighedBeads] = (),
) -> tuple[Calibration, str | None]:
    """As `calibration_of`, from the journal in a data folder; with what kept it from being read."""
    try:
        with Journal.open(home / "journal.db", write=False) as journal:
            return calibration_of(journal, settings, pattern_name, size, colourway, in_stock), None
    except JournalError as error:
        return Calibration(weighed=tuple(in_stock)), f"measured pieces are left out: {error}"


def weighed_beads(journal: Journal) -> Iterator[WeighedBeads]:
    """Every weighing of beads that was not taken back, as they came."""
    weighed: list[WeighedBeads] = []
    for _, said in journal.each(p.BeadWeighed):
        one = WeighedBeads(
            said.size, said.shape, said.name, said.beads, said.grams, said.resolution_g
        )
        if not said.undone:
            weighed.append(one)
        elif one in weighed:
            weighed.remove(one)
    return iter(weighed)


def _figures(said: p.Measured) -> dict[str, float]:
    """What was measured, by name; nothing of what was not."""
    known = asdict(said).items()
    return {name: value for name, value in known if name != "sample" and value is not None}


_predictions: dict[tuple[str, ThumbRules, tuple[WeighedBeads, ...]], MeasuredPiece | None] = {}
"""By the pattern's hash: a piece's frozen pattern never changes."""
MOST_PREDICTIONS = 500


def _kept_prediction(
    started: p.PieceStarted, settings: Settings, weighed: tuple[WeighedBeads, ...]
) -> MeasuredPiece | None:
    key = (started.hash, settings.thumb, weighed)
    if key not in _predictions:
        if len(_predictions) >= MOST_PREDICTIONS:
            _predictions.clear()
        _predictions[key] = _predicted(started, settings, weighed)
    return _predictions[key]


def _predicted(
    started: p.PieceStarted, settings: Settings, weighed: Sequence[WeighedBeads]
) -> MeasuredPiece | None:
    """The uncorrected predictions for a piece as (0, predicted) pairs; None if it has no plan."""
    try:
        frozen = thaw(started)
        pattern, plan = frozen.pattern, frozen.plan
        sizes = sizes_of(pattern)
        growth = grow(plan, sizes, settings.thumb.plain_cross_mm, settings.thumb.take_up)
    except (Fault, Damaged):
        return None
    take_up = settings.thumb.take_up
    return MeasuredPiece(
        (0.0, growth.length_mm),
        (0.0, growth.diameter_mm),
        (0.0, piece_g(plan, growth, masses_g(pattern, sizes, weighed), take_up)),
        (strand_cut_mm(plan, growth, settings, take_up), take_up),
    )


def _beside(figures: Mapping[str, float], base: MeasuredPiece) -> MeasuredPiece:
    def pair(key: str, predicted: tuple[float, float] | None) -> tuple[float, float] | None:
        value = figures.get(key)
        return (value, predicted[1]) if value and predicted is not None else None

    length, left = figures.get("length_mm"), figures.get("thread_left_mm")
    take_up = None
    if length and left is not None and base.take_up is not None:
        real = take_up_of(figures.get("thread_cut_mm") or base.take_up[0], left, length)
        take_up = (real, base.take_up[1]) if real is not None else None
    return MeasuredPiece(
        pair("length_mm", base.length),
        pair("thickness_mm", base.thickness),
        pair("weight_g", base.weight),
        take_up,
    )
