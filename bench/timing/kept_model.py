"""A fitted pace as JSON and back, equal in every digit."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

import numpy as np

from bench.pace.design_matrix import N_STAGES, SIZE
from bench.pace.model import Model
from bench.pace.partial_pooling import Component, PatternEffects, VariantEffects
from bench.pace.prior import COMMON_PRACTICE
from bench.pace.records import Variant
from bench.pace.rework import Rework


def model_to_json(model: Model) -> dict[str, Any]:
    """Everything but the prior, which is common practice."""
    said = _plain(asdict(model))
    del said["prior"]
    return dict(said)


def _plain(value: Any) -> Any:
    """Arrays as nested lists, whatever holds them."""
    if isinstance(value, np.ndarray):
        return value.tolist()
    if isinstance(value, dict):
        return {key: _plain(part) for key, part in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(part) for part in value]
    return value


def model_from_json(said: dict[str, Any]) -> Model:
    """Raises KeyError, TypeError or ValueError where that is no model."""
    return Model(
        prior=COMMON_PRACTICE,
        **{
            **said,
            "components": tuple(_component(part) for part in said["components"]),
            "variants": tuple(Variant(*variant) for variant in said["variants"]),
            "patterns": tuple(said["patterns"]),
            "scatter": np.array(said["scatter"]),
            "rework": Rework(**said["rework"]),
        },
    )


def _component(said: dict[str, Any]) -> Component:
    patterns, variants = said["patterns"], said["variants"]
    return Component(
        said["chance"],
        said["pattern_sd"],
        said["drift_sd"],
        said["span_days"],
        np.array(said["mean"]),
        np.array(said["covariance"]),
        PatternEffects(
            np.reshape(patterns["offset"], (-1, N_STAGES)),
            np.reshape(patterns["slope"], (-1, N_STAGES, SIZE)),
            np.reshape(patterns["covariance"], (-1, N_STAGES, N_STAGES)),
        ),
        VariantEffects(
            np.array(variants["offset"]),
            np.reshape(variants["slope"], (-1, SIZE)),
            np.array(variants["variance"]),
        ),
    )
