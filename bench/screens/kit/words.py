"""What screens say of a piece in words: stages, sides, beads, rows and where a bead belongs."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from bench.craft.load import SKIP
from bench.craft.plan import Plan, PlannedCross
from bench.craft.stages import STAGES
from bench.craft.words import STAGES_DOING, in_words, ordinal
from bench.journal.piece_state import PieceState

STAGE_WORDS = {stage: stage.replace("_", " ") for stage in STAGES}
"""Each stage as what is to be done: 'load', 'set up'."""


def doing(state: PieceState) -> str:
    """What is being done at a piece in the making, or what it waits for."""
    if state.stage is not None:
        return STAGES_DOING[state.stage]
    if "finish" in state.stages_done:
        return "finished: how did it come out?"
    return "loaded" if state.stages_done == ("load",) else "waits"


def time_of_day(when: dt.datetime, now: dt.datetime) -> str:
    """A time on the clock, with the day of the week or the date if it is not today's."""
    if when.date() == now.date():
        return f"{when:%H:%M}"
    return f"{when:%a %H:%M}" if abs(when - now) < dt.timedelta(days=6) else f"{when:%d %b %H:%M}"


@dataclass(frozen=True, slots=True)
class Side:
    """The beads that the strands of one side bring in; '' where they bring in none."""

    name: str
    beads: tuple[str, ...]
    places: tuple[str, ...]
    """The place of each of them, in words."""


def sides(plan: Plan, step: PlannedCross) -> list[Side]:
    """The sides of a cross with their beads, as they lie: from left to right, then from the top.

    Always in the same order for the same cross, whatever its beads.
    """
    places, angles = plan.structure.places, plan.structure.place_angles
    named = plan.structure.sides
    found: dict[str, list[tuple[tuple[float, float], str, str]]] = {}
    for move in step.carried:
        start = move.transfer.start - 1
        one = (_lies_at([angles[start]]), places[start], move.bead or "")
        found.setdefault(named[start], []).append(one)
    lie = {
        name: _lies_at([angle for side, angle in zip(named, angles, strict=True) if side == name])
        for name in found
    }
    return [
        Side(
            name,
            tuple(bead for _, _, bead in sorted(found[name])),
            tuple(place for _, place, _ in sorted(found[name])),
        )
        for name in sorted(found, key=lie.__getitem__)
    ]


def _lies_at(angles: Sequence[float]) -> tuple[float, float]:
    """The middle of places on the rim, from above: how far right, how far down, of its radius."""
    turned = [math.radians(angle) for angle in angles]
    right = sum(math.sin(angle) for angle in turned) / len(turned)
    return round(right, 3), round(-sum(math.cos(angle) for angle in turned) / len(turned), 3)


def bead_words(plan: Plan, letter: str) -> str:
    """A bead in words: 'rain grey 15/0, round'."""
    bead = plan.pattern.beads[letter]
    return f"{bead.name} {bead.size}, {bead.shape}"


def beads_line(plan: Plan, step: PlannedCross) -> str:
    """What a cross brings in, '–' for no bead: 'c c', or with sides 'left c, right e'."""
    found = sides(plan, step)
    if len({bead for one in found for bead in one.beads}) == 1:
        return " ".join(bead or "–" for one in found for bead in one.beads)
    return ", ".join(f"{one.name} {' '.join(bead or '–' for bead in one.beads)}" for one in found)


def where_in_braid(plan: Plan, strand: int, cross: int, made: int) -> str:
    """Where a bead belongs in the braid: its row, its neighbours on its line, and whose that is."""
    if not (1 <= strand <= plan.strands and 1 <= cross <= plan.crosses):
        return f"cross {cross}"
    load, entry = plan.loads[strand - 1], plan.used(strand, cross - 1)
    before, after = load[:entry].rstrip(SKIP)[-1:], load[entry + 1 :].lstrip(SKIP)[:1]
    beside = f"between {before} and {after}" if before and after else f"beside {before or after}"
    line = plan.structure.places[plan.place_of(strand, made) - 1]
    where = f"{row_words(plan, cross)[0]} (cross {cross})"
    return f"{where}, {beside} on the line of {line}"


@dataclass(frozen=True, slots=True)
class RowPlace:
    """Where a cross stands: in a part of the piece, at a number there, and at which turn of it."""

    part: Literal["row", "round", "plain"]
    number: str
    """'8 of 16'; of the plain crosses 'start' or 'end'."""
    turn: str
    """'1st of four'."""


def row_place(plan: Plan, cross: int) -> RowPlace:
    """Where a cross stands."""
    part: Literal["row", "round", "plain"]
    row, of_row = plan.row_at(cross)
    if row is not None:
        length = plan.row_end(cross) - cross + of_row
        part, number = "row", f"{row} of {plan.rows}"
    elif not plan.last_bead_cross:
        length = len(plan.structure.round)
        part, number = "round", f"{(cross - 1) // length + 1} of {-(-plan.crosses // length)}"
    elif cross <= plan.plain_start:
        length = plan.plain_start
        part, number = "plain", "start"
    else:
        length = plan.crosses - plan.last_bead_cross
        part, number = "plain", "end"
    return RowPlace(part, number, f"{ordinal(of_row)} of {in_words(length)}")


def row_words(plan: Plan, cross: int) -> tuple[str, str]:
    """Where a cross stands, in words: ('row 8 of 16', '1st of four')."""
    place = row_place(plan, cross)
    return f"{place.part} {place.number}", place.turn


def boxes(plan: Plan, cross: int) -> tuple[int, int]:
    """How many boxes the present row has, and how many are made before this cross."""
    _, of_row = plan.row_at(cross)
    return plan.row_end(cross) - cross + of_row, of_row - 1
