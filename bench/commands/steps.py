"""`steps`: every cross of a pattern, with its moves, beads and marks."""

from __future__ import annotations

import argparse
from collections.abc import Iterable
from typing import TYPE_CHECKING

from bench.commands.options import pattern_arguments
from bench.session import Session

if TYPE_CHECKING:
    from rich.console import RenderableType

    from bench.answers.steps import Carry, MarkDue, Slide, StepsAnswer
    from bench.craft.mark import Mark
    from bench.craft.plan import Move
    from bench.making.worked_pattern import WorkedPattern


def arguments(parser: argparse.ArgumentParser) -> None:
    """Take the pattern."""
    pattern_arguments(parser)


def answer(args: argparse.Namespace, session: Session) -> StepsAnswer:
    """Work the pattern up and go through its crosses."""
    return steps_of(session.work_up(args.pattern, args.size, args.colourway))


def sheet(answer: StepsAnswer) -> Iterable[RenderableType]:
    """The moves of a round once, then one line for each cross."""
    from bench.sheets.steps import lines

    return lines(answer)


def steps_of(made: WorkedPattern) -> StepsAnswer:
    """Return the steps of a pattern that was worked up."""
    from bench.answers.steps import CrossLine, StepsAnswer

    plan = made.plan
    due: dict[int, list[MarkDue]] = {}
    for mark in made.marks:
        due.setdefault(mark.after_cross, []).append(_mark(mark))
    return StepsAnswer(
        pattern=made.name,
        title=made.pattern.title,
        size=made.size,
        colourway=made.colourway,
        strands=plan.strands,
        places=made.structure.places,
        crosses=plan.crosses,
        rows=plan.rows if plan.last_bead_cross else 0,
        marks_before=tuple(due.get(0, ())),
        steps=tuple(
            CrossLine(
                cross=step.cross,
                round=step.round,
                row=step.row,
                call=step.call,
                moves=tuple(_move(move) for move in step.moves),
                marks=tuple(due.get(step.cross, ())),
            )
            for step in plan
        ),
    )


def _move(move: Move) -> Carry | Slide:
    from bench.answers.steps import Carry, Slide

    way = move.transfer.way
    start, end = move.transfer.start, move.transfer.end
    if way is None:
        return Slide(strand=move.strand, from_place=start, to_place=end)
    return Carry(strand=move.strand, from_place=start, to_place=end, way=way, bead=move.bead)


def _mark(mark: Mark) -> MarkDue:
    from bench.answers.steps import MarkDue

    return MarkDue(do=mark.do, steps=mark.steps, caution=mark.caution)
