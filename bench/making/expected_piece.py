"""What a finished piece is predicted to be, to be held against what is measured."""

from __future__ import annotations

from dataclasses import dataclass

from bench.documents.settings import Settings
from bench.making.calibration import piece_g, strand_cut_mm
from bench.making.worked_pattern import WorkedPattern


@dataclass(frozen=True, slots=True)
class ExpectedPiece:
    """The figures of a finished piece; `weight_g` is None where nothing can be said.

    `thread_cut_mm` is each strand's length as it was to be cut; `thread_left_mm` what is left of
    it beyond the end of the braid.
    """

    length_mm: float
    length_low_mm: float
    length_high_mm: float
    thickness_mm: float
    thickness_at_most: bool
    thread_cut_mm: float
    thread_left_mm: float
    weight_g: float | None

    @classmethod
    def of(cls, made: WorkedPattern, settings: Settings) -> ExpectedPiece:
        """Predict a piece, shifted by the pieces measured so far."""
        take_up = made.take_up(settings)
        length_mm = made.growth.length_mm
        cut_mm = strand_cut_mm(made.plan, made.growth, settings, take_up)
        weight = piece_g(made.plan, made.growth, made.masses_g, take_up)
        weight *= made.calibration.corrections.weight.factor
        return cls(
            length_mm,
            made.growth.low_mm,
            made.growth.high_mm,
            made.growth.diameter_mm,
            made.growth.diameter_at_most,
            cut_mm,
            cut_mm - take_up * length_mm,
            weight if weight > 0 else None,
        )
