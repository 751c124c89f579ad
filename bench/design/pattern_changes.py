"""What changed from one version of a pattern to the next, in the maker's words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from bench.craft.load import SKIP
from bench.craft.pattern import Bead, Pattern
from bench.craft.words import plural
from bench.design.colour_names import nearest_name

MOST_ROWS = 6
"""Rows that are told one by one; of more only how many."""
NO_BEAD = "no bead"


def changes(before: Pattern, after: Pattern, strands: int) -> tuple[str, ...]:
    """Every difference of two versions on a structure of so many strands, the rows first."""
    return (
        *_of_rows(before, after, strands),
        *_of_beads(before.beads, after.beads),
        *_of_names("size", before.sizes, after.sizes),
        *_of_names("colourway", before.colourways, after.colourways),
        *_of_parts(before, after),
    )


def _of_rows(before: Pattern, after: Pattern, strands: int) -> Iterator[str]:
    ours, theirs = (
        [pattern.load_of(strand) for strand in range(1, strands + 1)] for pattern in (before, after)
    )
    old, new = (max(map(len, loads), default=0) for loads in (ours, theirs))
    if old != new:
        more = "more" if new > old else "less"
        yield f"{plural(abs(new - old), 'row')} {more}, {new} in all"
    rows: dict[int, dict[tuple[str, str], list[int]]] = {}
    for strand, (was, now) in enumerate(zip(ours, theirs, strict=True), 1):
        for row in range(1, min(old, new) + 1):
            change = _cell(was, row), _cell(now, row)
            if change[0] != change[1]:
                rows.setdefault(row, {}).setdefault(change, []).append(strand)
    if len(rows) > MOST_ROWS:
        yield f"beads of {len(rows)} rows changed, from row {min(rows)} to row {max(rows)}"
        return
    for row, found in rows.items():
        for (was, now), on in found.items():
            where = "all strands" if len(on) == strands else f"strand {' '.join(map(str, on))}"
            yield f"row {row} on {where}: {was} became {now}"


def _cell(load: str, row: int) -> str:
    return load[row - 1 : row].replace(SKIP, "") or NO_BEAD


def _of_beads(before: Mapping[str, Bead], after: Mapping[str, Bead]) -> Iterator[str]:
    yield from _of_names("bead", dict.fromkeys(before), dict.fromkeys(after))
    for letter in (x for x in before if x in after):
        old, new = before[letter], after[letter]
        for name in Bead.model_fields:
            was, now = getattr(old, name), getattr(new, name)
            if was == now:
                continue
            if name == "colour":
                was, now = nearest_name(was), nearest_name(now)
            if was != now:
                yield f"bead {letter}: {name.replace('_', ' ')} {_said(was)} became {_said(now)}"
            elif old.name == new.name:
                yield f"bead {letter}: another {now}"


def _of_names(what: str, before: Mapping[str, Any], after: Mapping[str, Any]) -> Iterator[str]:
    """What is new, gone or changed of some named things."""
    for name in after:
        if name not in before:
            yield f"{what} {name} is new"
        elif before[name] != after[name]:
            yield f"{what} {name} changed"
    for name in before:
        if name not in after:
            yield f"{what} {name} is gone"


def _of_parts(before: Pattern, after: Pattern) -> Iterator[str]:
    for name in ("title", "structure", "plain_start", "plain_end", "crosses"):
        was, now = getattr(before, name), getattr(after, name)
        if was != now:
            yield f"{name.replace('_', ' ')}: {_said(was)} became {_said(now)}"
    for name in ("threads", "core", "marks", "halts", "finish"):
        if getattr(before, name) != getattr(after, name):
            yield f"{name} changed"


def _said(value: object) -> str:
    return "none" if value is None else str(value)
