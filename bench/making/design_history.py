"""A pattern's versions with what changed in each, and what pieces of them measured."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator
from pathlib import Path

from bench.answers.versions import MeasuredPiece, VersionLine, VersionsAnswer
from bench.craft.pattern import Pattern, canonical
from bench.craft.plan import Plan
from bench.craft.structure import Structure
from bench.design.pattern_changes import changes
from bench.documents.errors import DocumentError
from bench.documents.pattern_versions import PatternVersion, read_versions
from bench.journal import payloads as p
from bench.journal.events import fingerprint
from bench.journal.store import Journal

FIGURES = ("length_mm", "thickness_mm", "weight_g")


def versions_answer(
    home: Path, name: str, plan: Plan, journal: Journal
) -> tuple[VersionsAnswer, tuple[str, ...]]:
    """The versions of a pattern, whose file has this plan now; with what could not be read.

    Pieces are known by the plan that was frozen with them. Raises DocumentError.
    """
    versions, told = read_versions(home, name)
    measured = list(_measured(name, journal))
    contents = [(one.pattern, one.structure) for one in versions]
    lines = []
    for number, version in enumerate(versions):
        prints = prints_of(version.pattern, version.structure)
        changed: tuple[str, ...] = ()
        if number:
            changed = _changed(contents[number - 1][0], version)
        lines.append(
            VersionLine(
                version=version.number,
                at=version.at,
                why=version.why,
                changes=changed,
                measured=tuple(piece for mark, piece in measured if mark in prints),
            )
        )
    since = changes(contents[-1][0], plan.pattern, plan.strands) if contents else ()
    title = plan.pattern.title
    return VersionsAnswer(pattern=name, title=title, versions=tuple(lines), since=since), told


def prints_of(pattern: Pattern, structure: Structure) -> set[str]:
    """The fingerprint that a piece of a version has, in any size and colourway."""
    frame = canonical(structure)
    return {
        fingerprint(canonical(pattern.resolve(size, colourway)), frame)
        for size in (None, *pattern.sizes)
        for colourway in (None, *pattern.colourways)
    }


def version_words(home: Path, name: str, mark: str) -> str:
    """Which version of a pattern a piece with this fingerprint is of, as a maker knows it.

    "" for a pattern without versions, or where none is of that fingerprint.
    """
    with contextlib.suppress(DocumentError):
        versions, _ = read_versions(home, name)
        for before, one in zip((None, *versions), versions, strict=False):
            if mark in prints_of(one.pattern, one.structure):
                said = () if before is None else _changed(before.pattern, one)
                told = "; ".join(filter(None, (one.why, *said)))
                return f"version {one.number}, kept on {one.at[:10]}" + (
                    f": {told}" if told else ""
                )
    return ""


def _changed(before: Pattern, version: PatternVersion) -> tuple[str, ...]:
    return changes(before, version.pattern, version.structure.strands)


def _measured(name: str, journal: Journal) -> Iterator[tuple[str, MeasuredPiece]]:
    """What each piece of a pattern measured, each figure as measured last, with its fingerprint."""
    figures: dict[str, dict[str, float]] = {}
    for piece, its in journal.by_piece(p.Measured).items():
        found = figures.setdefault(piece, {})
        for _, said in its:
            known = {name: getattr(said, name) for name in FIGURES}
            found |= {name: mm for name, mm in known.items() if mm is not None}
    for piece, found in figures.items():
        started = journal.started(piece)
        if started is not None and started.pattern_name == name:
            state = journal.state(piece)
            yield (
                started.hash,
                MeasuredPiece(
                    piece=state.name,
                    size=started.size,
                    colourway=started.colourway,
                    sample=state.sample,
                    length_mm=found.get("length_mm"),
                    thickness_mm=found.get("thickness_mm"),
                    weight_g=found.get("weight_g"),
                ),
            )
