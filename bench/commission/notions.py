"""What is counted beside beads and thread: used up with each piece, or needed once for a stand."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from bench.answers.needs import Notion
from bench.craft.growth import thread_mm
from bench.craft.needles import glued_end_mm
from bench.making.core_answer import core_cord_mm
from bench.making.worked_pattern import WorkedPattern


def used_up_by(made: WorkedPattern) -> Mapping[str, int]:
    """What one piece uses up, by name: end beads, end caps, cord."""
    used: dict[str, int] = {}
    hole = made.pattern.finish.end_bead_hole_mm
    if hole is not None:
        _, most = glued_end_mm(thread_mm(made.pattern.threads), made.plan.strands)
        used[f"end bead, hole {max(hole, most):.1f} mm or more"] = 1
    elif made.pattern.finish.threads == 0:
        used["end cap"] = 2
    cord_mm = core_cord_mm(made)
    if cord_mm is not None:
        used[f"core cord of {cord_mm / 1000:.2f} m"] = 1
    return used


def notions_of(lots: Iterable[tuple[WorkedPattern, int]]) -> tuple[Notion, ...]:
    """What so many pieces of each of some patterns take."""
    used: dict[str, int] = {}
    once: dict[str, int] = {}
    for made, pieces in lots:
        for name, count in used_up_by(made).items():
            used[name] = used.get(name, 0) + count * pieces
        wired = made.pattern.core is not None and made.pattern.core.on == "wire"
        for name, count in (
            ("tama", made.plan.strands),
            ("middle clip", len(made.pattern.threads.double_lengths)),
            ("bead clip", made.plan.strands if any(made.plan.loads) else 0),
            ("wire clip", 2 if wired else 0),
        ):
            if count:
                once[name] = max(once.get(name, 0), count)
    return (
        *(Notion(name=n, count=c, used_up=True) for n, c in used.items()),
        *(Notion(name=n, count=c, used_up=False) for n, c in once.items()),
    )
