"""The sheet of `tonight`: an evening in plain text, and on a page to print."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from bench.craft.text import cleaned
from bench.craft.words import STAGES_DOING, clock
from bench.sheets.paper import page, safe
from bench.sheets.words import WIDTH, caution_lines, headed

if TYPE_CHECKING:
    from bench.answers.tonight import LotTurn, PromisedDay, TonightAnswer, TonightStep


SURE = 0.01
WIDEST_NAME = 36
BY_PLACE = "pieces are taken by their places, as you chose"
NOTHING_LEFT = "nothing is left to make: inspect and pack it"
UNITS = {"load": "beads", "set_up": "strands", "braid": "crosses"}
_STYLE = ".steps td { white-space: nowrap; } .steps td:last-child { white-space: normal; }"


def tonight_lines(answer: TonightAnswer, width: int = WIDTH) -> list[str]:
    """What `tonight` prints: the steps, what gets finished, the turns, the promised days."""
    lines = [*headed("", f"{cleaned(answer.title)}: {at_hand(answer)}", indent=0, width=width), ""]
    for step in answer.steps:
        times = f"{clock(step.start_min)} to {clock(step.end_min)}"
        lines += headed(times, cleaned(step_words(step), 400), indent=15, width=width)
    left = left_over(answer)
    lines += headed(left[0], cleaned(left[1], 400), indent=15, width=width) if left else []
    lines += headed("NOTHING", cleaned(answer.nothing, 400), width=width) if answer.nothing else []
    if not answer.turns and not answer.nothing:
        lines.append(NOTHING_LEFT)
    lines += headed("ORDER", BY_PLACE, width=width) if answer.by_place else []
    lines += caution_lines(answer.cautions, width)
    for said in answer.batches:
        lines += headed("BATCH", cleaned(said, 400), width=width)
    if answer.finished:
        lines += headed("FINISHED", cleaned(finished_words(answer), 2000), width=width)
    if answer.out_of_turn:
        lines += headed("OR", cleaned(out_of_turn_words(answer), 400), width=width)
    if answer.next_order:
        lines += headed("NEXT", cleaned(answer.next_order, 400), width=width)
    lines += ["", "IN THIS TURN"] if answer.turns else []
    wide = min(WIDEST_NAME, max((len(turn_name(turn)) for turn in answer.turns), default=0)) + 2
    for turn in answer.turns:
        name = turn_name(turn, WIDEST_NAME)
        lines += headed(name, turn_words(turn), indent=wide, width=width)
    for day in answer.promised:
        said = day_words(day)
        lines += ["", *headed("PROMISED", cleaned(said, 400), width=width)] if said else []
        lines += [part for c in day.choices for part in headed("  or", c, width=width)]
    return lines


def tonight_html(answer: TonightAnswer) -> str:
    """The evening on a page: a box to tick for each step, the turns, the promised days."""
    steps = "".join(
        f'<tr><td><span class="tick"></span>{clock(step.start_min)} to {clock(step.end_min)}</td>'
        f"<td>{safe(step_words(step))}</td></tr>"
        for step in answer.steps
    )
    turns = "".join(
        f"<tr><td>{safe(turn_name(turn))}</td><td>{safe(turn_words(turn))}</td></tr>"
        for turn in answer.turns
    )
    said = "".join(f"<p>{safe(line)}</p>" for line in _said(answer))
    days = "".join(map(_day_html, answer.promised))
    cautions = "".join(f'<p class="caution">{safe(line)}</p>' for line in answer.cautions)
    body = (
        f"<h1>{safe(answer.title)}</h1><p>{safe(at_hand(answer))}</p>"
        f'<table class="steps">{steps}</table>{said}'
        f"<h2>In this turn</h2><table>{turns}</table>"
        + (f"<h2>Promised</h2>{days}" if days else "")
        + cautions
    )
    return page(f"Tonight: {answer.title}", body, _STYLE)


def _said(answer: TonightAnswer) -> Iterator[str]:
    """What is told below the steps, line by line."""
    left = left_over(answer)
    if left:
        yield " ".join(left)
    if answer.nothing:
        yield answer.nothing
    if answer.by_place:
        yield BY_PLACE
    yield from answer.batches
    if answer.finished:
        yield f"Finished: {finished_words(answer)}"
    if answer.out_of_turn:
        yield out_of_turn_words(answer)
    if answer.next_order:
        yield answer.next_order


def _day_html(day: PromisedDay) -> str:
    said = day_words(day)
    choices = "".join(f"<li>{safe(choice)}</li>" for choice in day.choices)
    return f"<p>{safe(said)}</p>" + (f"<ul>{choices}</ul>" if choices else "") if said else ""


def at_hand(answer: TonightAnswer) -> str:
    """The hours and the stands that the evening is laid out for."""
    hours = "1 hour" if answer.hours == 1 else f"{answer.hours:g} hours"
    return f"{hours} at hand, " + ("1 stand" if answer.stands == 1 else f"{answer.stands} stands")


def step_words(step: TonightStep, wide: int = 14) -> str:
    """A stage of a piece: how much of it where it is not done whole, why it is out of turn."""
    doing, part = STAGES_DOING[step.stage], ""
    if step.units is not None and step.left is not None:
        begun = step.left != step.whole
        of = f"the {step.left:,}" if begun else f"{step.left:,}"
        part = f": about {_about(step.units):,} of {of} {UNITS[step.stage]}{' left' * begun}"
        doing += " on" * begun
    return f"{doing:<{wide}}{step.piece}{part}" + (f" ({step.why})" if step.why else "")


def _about(units: int) -> int:
    """A number to two figures."""
    step = int("1".ljust(max(1, len(str(units)) - 1), "0"))
    return units // step * step


def finished_words(answer: TonightAnswer) -> str:
    """The pieces that get finished, and with what chance."""
    chance = "a guess"
    if answer.chance is not None:
        sure = answer.chance > 1 - SURE
        chance = "as good as surely" if sure else f"{answer.chance:.0%}"
    return f"{', '.join(answer.finished)} ({chance})"


def out_of_turn_words(answer: TonightAnswer) -> str:
    """What would be finished by another order of the work."""
    names = ", ".join(answer.out_of_turn)
    return f"out of turn {len(answer.out_of_turn)} would be finished: {names}"


def left_over(answer: TonightAnswer) -> tuple[str, str] | None:
    """How long nothing is done after the last step, and why; None where there is no such time."""
    if not answer.left_over:
        return None
    left = round(60 * answer.hours) - max(step.end_min for step in answer.steps)
    return clock(left), f"left over: {answer.left_over}"


def turn_name(turn: LotTurn, most: int = 200) -> str:
    """Whose turn it is, in at most so many letters: a lot, or its sample."""
    what = ", the sample" if turn.sample else ""
    return cleaned(turn.lot, most - len(what)) + what


def turn_words(turn: LotTurn) -> str:
    """What is left of a lot, when it is due, and why it stands where it stands."""
    parts = [f"{turn.pieces} to make, {turn.hours:.1f} h"]
    if turn.due:
        parts.append(f"due {turn.due}{_late_words(turn.late)}")
    if turn.waits:
        parts.append("once its sample is signed off")
    if turn.why:
        parts.append(turn.why)
    return "; ".join(parts)


def _late_words(late: float | None) -> str:
    if late is None:
        return ""
    if late < SURE:
        return ", in time as good as surely"
    return ", late as good as surely" if late > 1 - SURE else f", late with chance {late:.0%}"


def day_words(day: PromisedDay) -> str:
    """How short a promised day is, and what other orders need by then; "" if it holds alone."""
    taken = " and ".join(f"'{other.order}' {other.hours:.1f} h" for other in day.others)
    if day.short_h > 0:
        short = f"{day.due} cannot hold: {day.short_h:.1f} hours short"
        return f"{short} of {day.hours:.1f} h, of them {taken}" if taken else short
    return f"by {day.due} it needs {day.hours:.1f} h, of them {taken}" if taken else ""
