"""What `weights` answers. Units are in the keys."""

from __future__ import annotations

from dataclasses import dataclass

from bench.answers import Answer, Part


@dataclass(frozen=True, kw_only=True)
class WeightChangeLine(Part):
    """The counterweight from a cross on, and what to change for it."""

    cross: int
    counterweight_g: float
    take_off_g: tuple[float, ...]
    add_g: tuple[float, ...]


@dataclass(frozen=True, kw_only=True)
class WeightsAnswer(Answer):
    """`weights PATTERN`. `start_g` and `end_g` are what the fraction asks for."""

    pattern: str
    fraction: float
    start_g: float
    end_g: float
    hang_g: tuple[float, ...]
    core_g: float
    bag_g: float
    least_share: float
    most_share: float
    says: str
    schedule: tuple[WeightChangeLine, ...]
    point: str | None = None
