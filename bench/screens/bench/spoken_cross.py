"""A cross and its beads, as they are said aloud."""

from __future__ import annotations

from bench.craft.coming_up import changed
from bench.craft.plan import PlannedCross
from bench.making.braid import Braid
from bench.screens.kit import words


def spoken_cross(braid: Braid, step: PlannedCross) -> str:
    """Say a cross and its beads; its row where that begins."""
    _, of_row = braid.plan.row_at(step.cross)
    where = f"{words.row_words(braid.plan, step.cross)[0]}. " if of_row == 1 else ""
    return f"{where}{step.call}: {_beads(braid, step)}"


def _beads(braid: Braid, step: PlannedCross) -> str:
    if step.row is None:
        return "plain"
    found = words.sides(braid.plan, step)
    new = {m.bead for m in step.carried if changed(braid.plan, m, step.cross)}
    all_beads = [bead for side in found for bead in side.beads]
    if len(set(all_beads)) == 1:
        return _bead(braid, all_beads[0], new)
    return ", ".join(
        f"{side.name} {' and '.join(_bead(braid, bead, new) for bead in dict.fromkeys(side.beads))}"
        for side in found
    )


def _bead(braid: Braid, letter: str, new: set[str | None]) -> str:
    if not letter:
        return "no bead"
    bead = braid.plan.pattern.beads[letter]
    return f"new, {letter}, {bead.name} {bead.size}" if letter in new else letter
