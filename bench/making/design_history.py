"""A pattern's versions with what changed in each, and what pieces of them measured."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from bench.craft.pattern import Pattern, canonical
from bench.craft.structure import Structure
from bench.design.pattern_changes import changes
from bench.documents.pattern_versions import PatternVersion
from bench.journal import payloads as p
from bench.journal.events import fingerprint
from bench.journal.store import Journal


@dataclass(frozen=True)
class MeasuredOf:
    """What a piece of a version measured; `sample`: it is signed off as the sample."""

    piece: str
    size: str | None
    colourway: str | None
    sample: bool
    length_mm: float | None
    thickness_mm: float | None
    weight_g: float | None


@dataclass(frozen=True)
class TracedVersion:
    """A version, what changed in it, and what was measured of it."""

    version: PatternVersion
    changes: tuple[str, ...]
    measured: tuple[MeasuredOf, ...]


def design_history(
    name: str, versions: Sequence[PatternVersion], journal: Journal
) -> tuple[TracedVersion, ...]:
    """Trace the versions of a pattern; pieces are known by the plan that was frozen with them."""
    measured = list(_measured(name, journal))
    before: PatternVersion | None = None
    found = []
    for version in versions:
        strands = version.structure.strands
        changed = () if before is None else changes(before.pattern, version.pattern, strands)
        prints = _prints(version.pattern, version.structure)
        pieces = tuple(one for mark, one in measured if mark in prints)
        found.append(TracedVersion(version, changed, pieces))
        before = version
    return tuple(found)


def _prints(pattern: Pattern, structure: Structure) -> set[str]:
    """The fingerprint that a piece of a version has, in any size and colourway."""
    frame = canonical(structure)
    return {
        fingerprint(canonical(pattern.resolve(size, colourway)), frame)
        for size in (None, *pattern.sizes)
        for colourway in (None, *pattern.colourways)
    }


def _measured(name: str, journal: Journal) -> Iterator[tuple[str, MeasuredOf]]:
    """The last measures of each piece of a pattern, with the fingerprint of its plan."""
    last: dict[str, p.Measured] = {}
    for event, said in journal.each(p.Measured):
        for piece, _ in event.pieces:
            last[piece] = said
    for piece, said in last.items():
        started = journal.started(piece)
        if started is not None and started.pattern_name == name:
            state = journal.state(piece)
            yield (
                started.hash,
                MeasuredOf(
                    state.name,
                    started.size,
                    started.colourway,
                    state.sample,
                    said.length_mm,
                    said.thickness_mm,
                    said.weight_g,
                ),
            )
