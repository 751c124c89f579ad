"""What of a pattern was changed since its sample was made: a new sample is needed, or a look."""

from __future__ import annotations

from dataclasses import dataclass

from bench.craft.pattern import Bead, Pattern, canonical
from bench.craft.text import Fault
from bench.design.pattern_changes import changes
from bench.documents.commission import Lot
from bench.documents.errors import DocumentError
from bench.documents.library import Library
from bench.journal.errors import Damaged
from bench.journal.events import fingerprint
from bench.journal.frozen import thaw
from bench.journal.piece_state import PieceState
from bench.journal.store import Journal

MOST_SAID = 3
"""As many changes are told; the others are counted."""
LOOKS = ("colour", "name", "finish")
"""What of a bead can be another and leaves every measure as it was."""


@dataclass(frozen=True, slots=True)
class SampleChange:
    """How a lot's pattern differs from the one that its sample was made by.

    `remade`: a new sample is needed; else the beads look different, and that is to be looked at.
    `mark`: the fingerprint that a piece of the pattern as it is now has.
    """

    remade: bool
    said: str
    mark: str


def changed_since(
    journal: Journal, library: Library | None, sample: PieceState, lot: Lot
) -> SampleChange | None:
    """What was changed since a sample was begun; None if nothing was, or nobody can say."""
    if library is None or not sample.hash:
        return None
    try:
        plan = library.plan(library.pattern_path(lot.pattern))
        now = plan.pattern.resolve(lot.size, lot.colourway)
        mark = fingerprint(canonical(now), canonical(plan.structure))
        started = None if mark == sample.hash else journal.started(sample.uuid)
        then = None if started is None else thaw(started)
    except (DocumentError, Fault, Damaged):
        return None
    if then is None:
        return None
    other = canonical(plan.structure) != canonical(then.structure)
    strands = plan.strands
    remade = other or _bare(now, strands) != _bare(then.pattern, strands)
    said = list(changes(then.pattern, now, strands)) if not other else ["another structure"]
    if not remade and _beads(now) == _beads(then.pattern):
        return None
    more = [f"{len(said) - MOST_SAID} changes more"] if len(said) > MOST_SAID else []
    return SampleChange(remade, "; ".join([*said[:MOST_SAID], *more]) or "its pattern", mark)


def _bare(pattern: Pattern, strands: int) -> Pattern:
    """What the measures of a piece come from: how its beads look and what is told is left out."""
    plain = {name: Bead.model_fields[name].default for name in LOOKS}
    beads = {letter: bead.model_copy(update=plain) for letter, bead in pattern.beads.items()}
    loads = {str(strand): pattern.load_of(strand) for strand in range(1, strands + 1)}
    told = {"title": "", "marks": (), "halts": None}
    return pattern.model_copy(update={**told, "beads": beads, "loads": loads})


def _beads(pattern: Pattern) -> dict[str, tuple[object, ...]]:
    """How its beads look."""
    return {
        letter: tuple(getattr(bead, name) for name in LOOKS)
        for letter, bead in pattern.beads.items()
    }
