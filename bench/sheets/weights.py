"""The sheet of `weights`, in plain text."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bench.craft.cautions import WEIGHTS
from bench.sheets.words import headed

if TYPE_CHECKING:
    from bench.answers.weights import WeightsAnswer


def weights_lines(answer: WeightsAnswer) -> list[str]:
    """What `weights` prints."""
    start = answer.schedule[0]
    each = {round(grams, 1) for grams in answer.hang_g}
    hangs = (
        f"{answer.hang_g[0]:.1f} g on each strand"
        if len(each) == 1
        else ", ".join(f"{strand}: {g:.1f} g" for strand, g in enumerate(answer.hang_g, 1))
    )
    lines = [
        *headed("STRANDS", f"tama with beads, {hangs}; {sum(answer.hang_g):.0f} g in all"),
        *headed(
            "ASKED",
            f"{answer.start_g:.0f} g at the start, {answer.end_g:.0f} g after the last row:"
            f" {answer.fraction:g} of what the strands pull, less what hangs in the braid",
        ),
        *headed("HANG", f"{start.counterweight_g:g} g: {_listed(start.add_g, answer.bag_g)}"),
        *headed("CHANGES", answer.says),
    ]
    for change in answer.schedule[1:]:
        moved = [f"take off {_listed(change.take_off_g)}"] if change.take_off_g else []
        moved += [f"add {_listed(change.add_g)}"] if change.add_g else []
        lines += headed(
            "", f"after cross {change.cross}: {', '.join(moved)}: {change.counterweight_g:g} g"
        )
    if answer.point is not None:
        lines += headed("POINT", answer.point)
    lines += headed("", "The eye is the gauge: weigh by the sum, then look at the point.")
    return [*lines, *headed("!", WEIGHTS)]


def _listed(grams: tuple[float, ...], bag_g: float = 0.0) -> str:
    said = " + ".join(f"{g:g}" for g in grams)
    return (f"{said} g" if grams else "no weight") + (
        f" and the bag's {bag_g:g} g" if bag_g else ""
    )
