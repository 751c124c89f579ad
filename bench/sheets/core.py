"""The sheet of `core`, in plain text."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bench.sheets.words import core_room, headed

if TYPE_CHECKING:
    from bench.answers.core import CoreAnswer, CoreStack


def core_lines(answer: CoreAnswer) -> list[str]:
    """What `core` prints."""
    core = answer.core
    lines = []
    if core.planned is not None:
        lines += _stack("PLANNED", core.planned, judged=True)
    elif core.on == "cord":
        lines += headed("PLANNED", f"a cord of {core.cord_mm:.0f} mm, without beads")
    else:
        lines += headed("PLANNED", "no core beads")
    if core.suggested is not None:
        same = core.planned is not None and core.planned.beads == core.suggested.beads
        lines += (
            headed("SUGGESTED", "the same")
            if same
            else _stack("SUGGESTED", core.suggested, judged=False)
        )
    elif core.rings:
        lines += headed("SUGGESTED", "none: no bead of the pattern fits inside")
    else:
        lines += headed("SUGGESTED", "none: the columns of this braid are not known")
    for ring in core.rings:
        fits = f"takes {ring.largest}" if ring.largest else "takes no bead of the pattern"
        lines += headed(
            "RING", f"of {ring.bead} {ring.size}: {ring.free_mm:.2f} mm free inside, {fits}"
        )
    if core.wire_mm is not None:
        lines += headed("WIRE", f"{core.wire_mm:.0f} mm, braid, parked core and two grips")
    crosses = (
        ("core down", core.down_after_cross),
        ("upper clip off", core.clip_off_after_cross),
        ("core cord cut off" if core.on == "cord" else "wire out", core.out_after_cross),
    )
    marks = [f"{do} after cross {cross}" for do, cross in crosses if cross is not None]
    lines += headed("MARKS", "; ".join(marks)) if marks else []
    lines += headed("", "Predicted from the columns: the sample decides.") if core.rings else []
    return lines


def _stack(head: str, stack: CoreStack, *, judged: bool) -> list[str]:
    lines = headed(
        head,
        f"{stack.beads}, first in first: {core_room(stack)};"
        f" down after cross {stack.down_after_cross}"
        + (" at the earliest" if stack.room_mm is not None else ""),
    )
    if judged:
        for finding in stack.findings or ("it fits",):
            lines += headed("", finding)
    if stack.edges_decide:
        numbers = ", ".join(map(str, stack.edges_decide))
        core = (
            f"bead {numbers} fits as a ball or as a cylinder"
            if len(stack.edges_decide) == 1
            else f"beads {numbers} fit as balls or as cylinders"
        )
        lines += headed(
            "",
            f"core {core}, not as both: how round the edges are decides; try it on the sample",
        )
    return lines
