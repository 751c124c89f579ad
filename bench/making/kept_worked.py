"""Patterns as they were worked up last, kept while file, settings and calibration are the same."""

from __future__ import annotations

from weakref import WeakKeyDictionary

from bench.craft.plan import Plan
from bench.documents.library import Library
from bench.documents.settings import Settings
from bench.making.calibration import Calibration
from bench.making.worked_pattern import WorkedPattern
from bench.pace.records import Variant

_Known = dict[Variant, tuple[Settings, Calibration, WorkedPattern]]
_kept: WeakKeyDictionary[Plan, _Known] = WeakKeyDictionary()
"""By the plan as its file has it, which the library reads anew once that has changed."""


def kept_worked(
    library: Library, settings: Settings, name: str, kind: Variant, calibration: Calibration
) -> WorkedPattern:
    """Work a pattern up, given by its name or file, or return it as it was. Raises as that does."""
    plan = library.plan(library.pattern_path(name))
    known = _kept.setdefault(plan, {})
    found = known.get(kind)
    if found is None or found[:2] != (settings, calibration):
        own = (kind.size, kind.colourway)
        made = WorkedPattern.from_library(library, settings, name, *own, calibration)
        found = known[kind] = (settings, calibration, made)
    return found[2]
