"""What `sheet` answers. Units are in the keys."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from bench.answers import Answer, Part
from bench.answers.core import CorePart


@dataclass(frozen=True, kw_only=True)
class BeadKind(Part):
    """One kind of bead: its letter, and what stands on its tube."""

    bead: str
    size: str
    shape: str
    colour: str
    name: str


@dataclass(frozen=True, kw_only=True)
class BeadLine(BeadKind):
    """One kind of bead of a piece: how many are strung and how many lie in the core."""

    count: int
    core: int
    diameter_mm: float


@dataclass(frozen=True, kw_only=True)
class GroupLine(Part):
    """So many beads that go on together; `on` is what the half then holds."""

    bead: str
    count: int
    on: int


@dataclass(frozen=True, kw_only=True)
class WeighingLine(Part):
    """What the beads of a half should weigh, and whether this scale tells one bead."""

    expected_g: float
    least_g: float
    most_g: float
    false_alarm: float
    tells: bool
    notices_one_bead: dict[str, float]
    says: str


@dataclass(frozen=True, kw_only=True)
class ProofLine(Part):
    """How a half is proved."""

    how: Literal["side by side", "count", "length", "weight"]
    says: str
    strung_mm: float
    weighed: WeighingLine | None


@dataclass(frozen=True, kw_only=True)
class StrandLine(Part):
    """One half: where it goes, and its beads in the order in which they go on."""

    strand: int
    place: str
    thread: int
    half: str
    strung_as: int
    string: tuple[GroupLine, ...]
    total: int
    prove: ProofLine


@dataclass(frozen=True, kw_only=True)
class ThreadLine(Part):
    """One thread of two strands, or of one: clip, needle and picture."""

    thread: int
    strands: tuple[int, ...]
    clip: str
    needle: str
    says: str
    picture: str


@dataclass(frozen=True, kw_only=True)
class CutLine(Part):
    """So many lengths to cut, each for one or two strands."""

    lengths: int
    strands_each: int
    cut_mm: float


@dataclass(frozen=True, kw_only=True)
class ThreadAndNeedle(Part):
    """Thread and needle of one piece."""

    name: str
    diameter_mm: float
    cuts: tuple[CutLine, ...]
    total_m: float
    worked_in_mm: float
    hang_mm: float
    take_up: float
    needle: str
    says: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class MarkLine(Part):
    """Something to do after a cross."""

    after_cross: int
    do: str
    caution: str


@dataclass(frozen=True, kw_only=True)
class PredictedBraid(Part):
    """What the finished braid is predicted to be, and what that rests on.

    Where `diameter_at_most`, it is only known to be no thicker.
    """

    length_mm: float
    length_low_mm: float
    length_high_mm: float
    diameter_mm: float
    diameter_at_most: bool
    rests_on: str


@dataclass(frozen=True, kw_only=True)
class LoadingSheet(Answer):
    """`sheet PATTERN`."""

    pattern: str
    title: str
    size: str | None
    colourway: str | None
    structure: str
    crosses: int
    rows: int
    beads_in_all: int
    predicted: PredictedBraid
    sample: str | None
    beads: tuple[BeadLine, ...]
    strung: str
    double_lengths: tuple[ThreadLine, ...]
    single_strands: tuple[ThreadLine, ...]
    strands: tuple[StrandLine, ...]
    thread: ThreadAndNeedle
    core: CorePart | None
    counterweight: str
    marks: tuple[MarkLine, ...]
    cautions: tuple[str, ...]
