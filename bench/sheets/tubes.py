"""The sheet of `tubes`, in plain text."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bench.craft.text import cleaned
from bench.sheets.words import WIDTH, column, headed

if TYPE_CHECKING:
    from bench.answers.tubes import TubeLine, TubesAnswer

CLOSED = "●"


def tubes_lines(answer: TubesAnswer, width: int = WIDTH) -> list[str]:
    """What `tubes` prints: a line for each, then what was done and what is offered."""
    lines = []
    if answer.tubes:
        lines.append(
            f"{'tube':<8}{'size':<7}{'name':<21}{'dye lot':<10}{'left':>11} {'of':>5}  kept at"
        )
        lines += [_line(tube)[:width].rstrip() for tube in answer.tubes]
        lines.append(f"{CLOSED} not opened yet; what loadings drew is taken off")
    else:
        lines += headed(
            "", "No tubes are kept yet: --buy one, or take in your stock file (--take-in).",
            indent=0, width=width,
        )  # fmt: skip
    for head, texts in (("DONE", answer.done), ("OFFERED", answer.offered)):
        if texts:
            lines.append("")
        for text in texts:
            lines += headed(head, cleaned(text), width=width)
    if answer.offered:
        said = "--accept keeps what is offered as counts, --refuse leaves the book as it is"
        lines += ["", *headed("", f"`tubes --take-in`: {said}; of some by their tubes.",
                              indent=0, width=width)]  # fmt: skip
    return lines


_UNITS = {"beads": "", "m": " m", "pieces": " p"}


def _line(tube: TubeLine) -> str:
    unit = _UNITS[tube.unit]
    error = f" ±{tube.error:.0f}" if tube.error >= 0.5 else ""
    left = "empty" if tube.empty and tube.held == 0 else f"{tube.held:.0f}{unit}{error}"
    if tube.asked:
        left = f"{cleaned(tube.price or '', 8)} ask"
    sign = " " if tube.opened or tube.empty else CLOSED
    return (
        f"{tube.tube[:6]:<8}{column(tube.size, 7, 1)}{column(tube.name, 21, 1)}"
        f"{column(tube.dye_lot, 10, 1)}{left + sign:>11} {tube.came_in:>5.0f}"
        f"  {cleaned(tube.place, 14)}"
    )
