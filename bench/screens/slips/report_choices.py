"""What can be reported at a cross."""

from __future__ import annotations

from typing import Literal

from bench.making.braid import Braid
from bench.slips.planned_stand import PlannedStand

Report = int | Literal["elsewhere", "gap", "proud", "last", "lost", "sewn", "undone"]
"""What can be reported: another bead next at a place, by its number, or one of these."""


def carried_places(braid: Braid) -> list[int]:
    """The places whose strands are carried in the next cross."""
    step = braid.next_step
    return [] if step is None else [move.transfer.start for move in step.carried]


def choices_of(braid: Braid, scene: PlannedStand) -> list[Report]:
    """What can be reported, in order; carried places come first."""
    beads: list[Report] = [*carried_places(braid), "elsewhere"] if any(scene.loads) else []
    can_be: dict[Report, bool] = {
        "gap": any(scene.counts),
        "proud": any(scene.counts),
        "last": braid.made > 0,
        "lost": True,
        "sewn": bool(braid.state.sew_ins),
        "undone": braid.state.mended is not None,
    }
    return [*beads, *(what for what, possible in can_be.items() if possible)]
