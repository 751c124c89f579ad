"""What the journal knows of measured pieces, weighed beads and signed-off samples."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from bench.craft.bead_weighings import WeighedBeads, masses_g
from bench.craft.cutting import cut_for
from bench.craft.growth import Growth, grow, sizes_of
from bench.craft.measuring import Corrections, MeasuredPiece, corrections, take_up_of
from bench.craft.pattern import Pattern
from bench.craft.plan import Plan
from bench.craft.structure import Structure
from bench.craft.text import Fault
from bench.craft.thread import FIXING_MM, START_KNOT_MM, Hang, mass_g
from bench.craft.weight_plan import core_mass_g, loads_g
from bench.documents.settings import Settings, ThumbRules
from bench.documents.stock import weighed_in_stock
from bench.journal.errors import JournalError
from bench.journal.events import Event
from bench.journal.state import PieceState
from bench.journal.store import Journal


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
    return Hang(thumb.rim_to_point_mm, thumb.drop_to_tama_mm, thumb.hitch_mm, "settings")


def strand_cut_mm(plan: Plan, growth: Growth, settings: Settings, take_up: float) -> float:
    """How long one strand is as cut, in mm, its share of the fixing or the knot left out."""
    (cut, *_) = cut_for(plan, growth.length_mm, hang_of(settings.thumb), take_up).cuts
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
    """Read what the journal knows of a pattern in one size and colourway.

    Beads count as weighed in the journal and, `in_stock`, by the maker's stock.

    Every piece is compared with what is predicted for its own frozen pattern. Measures of all
    colourways count; of a piece that was measured twice each figure counts as measured last, and it
    stays signed off.
    """
    weighed = (*weighed_beads(journal), *in_stock)
    last: dict[str, dict[str, Any]] = {}
    signed: set[str] = set()
    for event in journal.events(kind="measured"):
        for piece, _ in event.pieces:
            last[piece] = {**last.get(piece, {}), **event.payload}
            if event.payload["sample"]:
                signed.add(piece)
    measured = []
    sample = None
    predicted: dict[str, MeasuredPiece | None] = {}
    for piece, figures in last.items():
        first = journal.first(piece)
        if first is None or first.payload.get("pattern_name") != pattern_name:
            continue
        if first.payload.get("size") != size:
            continue
        if piece in signed and first.payload.get("colourway") == colourway:
            sample = str(first.payload["title"])
        key = str(first.payload.get("hash"))
        if key not in predicted:
            predicted[key] = _predicted(first, settings, weighed)
        base = predicted[key]
        if base is not None:
            measured.append(_beside(figures, base))
    return Calibration(corrections(measured), weighed, sample)


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
    for event in journal.events(kind="bead_weighed"):
        p = event.payload
        one = WeighedBeads(
            str(p["size"]),
            str(p["shape"]),
            str(p["name"]),
            _whole(p["beads"]),
            _number(p["grams"]),
            _number(p["resolution_g"]),
        )
        if not p.get("undone"):
            weighed.append(one)
        elif one in weighed:
            weighed.remove(one)
    return iter(weighed)


def _predicted(
    first: Event, settings: Settings, weighed: Sequence[WeighedBeads]
) -> MeasuredPiece | None:
    """The uncorrected predictions for a piece as (0, predicted) pairs; None if it has no plan."""
    try:
        pattern = Pattern.model_validate(first.payload["pattern"])
        plan = Plan(pattern, Structure.model_validate(first.payload["structure"]))
        sizes = sizes_of(pattern)
        growth = grow(plan, sizes, settings.thumb.plain_cross_mm)
    except (Fault, ValidationError, KeyError):
        return None
    take_up = settings.thumb.take_up
    return MeasuredPiece(
        (0.0, growth.length_mm),
        (0.0, growth.diameter_mm),
        (0.0, piece_g(plan, growth, masses_g(pattern, sizes, weighed), take_up)),
        (strand_cut_mm(plan, growth, settings, take_up), take_up),
    )


def _beside(payload: Mapping[str, object], base: MeasuredPiece) -> MeasuredPiece:
    def pair(key: str, predicted: tuple[float, float] | None) -> tuple[float, float] | None:
        value = payload.get(key)
        return (_number(value), predicted[1]) if value and predicted is not None else None

    length = payload.get("length_mm")
    left = payload.get("thread_left_mm")
    take_up = None
    if length and left is not None and base.take_up is not None:
        cut = payload.get("thread_cut_mm") or base.take_up[0]
        real = take_up_of(_number(cut), _number(left), _number(length))
        take_up = (real, base.take_up[1]) if real is not None else None
    return MeasuredPiece(
        pair("length_mm", base.length),
        pair("thickness_mm", base.thickness),
        pair("weight_g", base.weight),
        take_up,
    )


def _number(value: object) -> float:
    return float(value) if isinstance(value, int | float) else 0.0


def _whole(value: object) -> int:
    return int(value) if isinstance(value, int | float) else 0
