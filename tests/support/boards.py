"""Sheets of beads of shipped patterns, for tests of the drawing board."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from bench.craft.structure import Structure
from bench.design.sheet import Sheet
from bench.documents.library import Library

NOWHERE = Path("/nonexistent")
"""A data folder that is not there: only what is shipped is found."""

BEADED = (
    "cistern", "downpipe", "gutter-pearl", "second-drop", "silver-eaves", "stair-rope",
)  # fmt: skip
"""Every shipped pattern with beads."""


@cache
def library() -> Library:
    """What is shipped."""
    return Library(NOWHERE)


def structure(name: str = "kongo-8") -> Structure:
    """A shipped structure."""
    return library().structure(name)


@cache
def board(name: str = "silver-eaves") -> Sheet:
    """The sheet of a shipped pattern."""
    plan = library().plan(library().pattern_path(name))
    return Sheet.of(plan.pattern, plan.structure)


def with_loads(*loads: str, name: str = "silver-eaves") -> Sheet:
    """The sheet of a shipped pattern with other loads, all eight or one for all."""
    sheet = board(name)
    return sheet.with_loads(loads * sheet.strands if len(loads) == 1 else loads)
