"""The sheet of `steps`: a round's moves in words, then one line for each cross."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rich.console import RenderableType

from bench.answers.steps import Carry, CrossLine, MarkDue, StepsAnswer
from bench.craft.words import full_name, plural
from bench.sheets.printing import indented, line
from bench.sheets.words import numbered

BEADS_AT = 42


def lines(answer: StepsAnswer) -> Iterator[RenderableType]:
    """Yield the sheet line by line."""
    beaded = f", {plural(answer.rows, 'bead row')}" if answer.rows else ""
    title = full_name(answer.title, answer.size, answer.colourway)
    yield line(
        f"{title}: {plural(answer.crosses, 'cross')}{beaded}, {answer.strands} strands",
        "bold",
    )
    yield line("")
    yield from _round(answer)
    yield line("")
    if answer.marks_before:
        yield line("Before the first cross:")
        yield from _marks(answer.marks_before)
    yield line(f"{'cross':>6}  {'row':<5} {'call':<27} bring in", "bold")
    for step in answer.steps:
        row = "plain" if step.row is None else str(step.row)
        first, *more = _beads(step, answer.places)
        yield line(f"{step.cross:>6}  {row:<5} {step.call:<27} {first}")
        for bead in more:
            yield line(f"{'':<{BEADS_AT}}{bead}")
        yield from _marks(step.marks)


def _round(answer: StepsAnswer) -> Iterator[RenderableType]:
    """Every cross of the first round in words; the later rounds have the same moves."""
    for step in answer.steps:
        if step.round > 1:
            return
        if step.cross == 1:
            yield line("The moves of every round, seen from above:", "bold")
        yield line(f"  {step.call}")
        for move in step.moves:
            start, end = (answer.places[p - 1] for p in (move.from_place, move.to_place))
            if isinstance(move, Carry):
                yield line(f"    {move.way}: {start}, over to {end}")
            else:
                yield line(f"    then slide: {start}, to {end}")


def _beads(step: CrossLine, places: Sequence[str]) -> list[str]:
    """The beads of a cross; where the sides differ, each with its place on a line of its own."""
    carried = [move for move in step.moves if isinstance(move, Carry)]
    beads = {move.bead for move in carried}
    if beads == {None}:
        return ["-"]
    if len(beads) == 1:
        return [" ".join(move.bead or "-" for move in carried)]
    return [f"{move.bead or '-'}  {places[move.from_place - 1]}" for move in carried]


def _marks(marks: Sequence[MarkDue]) -> Iterator[RenderableType]:
    for mark in marks:
        yield line(f"     >> {mark.do}", "bold")
        for step in numbered(mark.steps):
            yield indented(step, 8)
        if mark.caution:
            yield indented(f"! {mark.caution}", 8, "italic")
