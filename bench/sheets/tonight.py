"""The sheet of `tonight`, in plain text."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bench.craft.text import cleaned
from bench.craft.words import STAGES_DOING
from bench.sheets.words import WIDTH, headed

if TYPE_CHECKING:
    from bench.answers.tonight import LotTurn, TonightAnswer


FEW_MIN = 10
LEFT = "left over: no further stage is sure to be done whole in that"


def tonight_lines(answer: TonightAnswer, width: int = WIDTH) -> list[str]:
    """What `tonight` prints: the steps, what gets finished, the turns, the promised days."""
    lines = [f"{cleaned(answer.title)}: {answer.hours:g} hours", ""]
    for step in answer.steps:
        times = f"{clock(step.start_min)} to {clock(step.end_min)}"
        lines.append(f"{times:<15}{STAGES_DOING[step.stage]:<12}{cleaned(step.piece, width - 28)}")
    left = left_min(answer)
    lines += headed(clock(left), LEFT, indent=15, width=width) if left else []
    if not answer.steps:
        lines.append("not even one stage fits with 8 in 10")
    for said in answer.batches:
        lines += headed("BATCH", cleaned(said, 400), width=width)
    if answer.finished:
        chance = "a guess" if answer.chance is None else f"{answer.chance:.0%}"
        said = f"{', '.join(answer.finished)} ({chance})"
        lines += headed("FINISHED", cleaned(said, 2000), width=width)
    lines += ["", "IN THIS TURN"]
    for turn in answer.turns:
        lines += headed(cleaned(turn.lot, 22), turn_words(turn), indent=24, width=width)
    for day in answer.promised:
        if day.short_h > 0:
            said = f"{day.due} cannot hold: {day.short_h:.1f} hours short"
            lines += ["", *headed("PROMISED", said, width=width)]
            lines += [part for c in day.choices for part in headed("  or", c, width=width)]
    return lines


def left_min(answer: TonightAnswer) -> int:
    """Minutes that stay free after the last step; 0 for few, and where there is no step."""
    if not answer.steps:
        return 0
    left = round(60 * answer.hours) - max(step.end_min for step in answer.steps)
    return left if left >= FEW_MIN else 0


def turn_words(turn: LotTurn) -> str:
    """What is left of a lot, when it is due, and why it stands where it stands."""
    parts = [f"{turn.pieces} to make, {turn.hours:.1f} h"]
    if turn.due:
        late = "" if turn.late is None else f", late with chance {turn.late:.0%}"
        parts.append(f"due {turn.due}{late}")
    if turn.why:
        parts.append(turn.why)
    return "; ".join(parts)


def clock(minutes: int) -> str:
    """Minutes as hours and minutes."""
    return f"{minutes // 60}:{minutes % 60:02d}"
