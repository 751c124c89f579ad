"""What the bench says, in words: the call, the sides, the row, what comes soon."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

from bench.craft.lattice import column_of
from bench.craft.load import SKIP, equal_runs
from bench.craft.plan import Move, Plan, PlannedCross
from bench.craft.words import in_words, ordinal
from bench.journal.state import PieceState

STAGE_WORDS = {
    "load": "load",
    "set_up": "set up",
    "braid": "braid",
    "dry": "dry",
    "finish": "finish",
}


def time_of_day(when: dt.datetime, now: dt.datetime) -> str:
    """A time on the clock, with the day of the week or the date if it is not today's."""
    if when.date() == now.date():
        return f"{when:%H:%M}"
    return f"{when:%a %H:%M}" if abs(when - now) < dt.timedelta(days=6) else f"{when:%d %b %H:%M}"


def side(place: str) -> str:
    """The side that a place belongs to: 'top, left of the two' gives 'top'."""
    return place.split(",")[0]


@dataclass(frozen=True, slots=True)
class Side:
    """The beads that the strands of one side bring in; '' where they bring in none."""

    name: str
    beads: tuple[str, ...]


def sides(plan: Plan, step: PlannedCross) -> list[Side]:
    """The sides of a cross with their beads, in the order of the structure."""
    found: dict[str, list[str]] = {}
    for move in step.carried:
        found.setdefault(side(plan.structure.places[move.transfer.start - 1]), []).append(
            move.bead or ""
        )
    return [Side(name, tuple(beads)) for name, beads in found.items()]


def bead_words(plan: Plan, letter: str) -> str:
    """A bead in words: 'rain grey 15/0, round'."""
    bead = plan.pattern.beads[letter]
    return f"{bead.name} {bead.size}, {bead.shape}"


def beads_line(step: PlannedCross) -> str:
    """The letters that a cross brings in, '–' where there is none."""
    return " ".join(move.bead or "–" for move in step.carried)


def bead_out(plan: Plan, state: PieceState, move: Move, cross: int) -> str:
    """What comes out with a carried strand as its cross is taken back.

    Where slips and mends left the braid unlike its plan, what is known of that. In a row of equal
    beads a gap may lie as far down as its first one.
    """
    strand, bead = move.strand, move.bead
    used, load = plan.used(strand, cross - 1), plan.loads[strand - 1]
    known = {at: what for role, at, what in state.out if role == strand}
    for at, what in known.items():
        if what == "gap" and at >= cross and bead:
            run = load[used : plan.used(strand, at)]
            if at > cross and set(run) != {bead}:
                continue
            sure = at == cross and load[used - 1 : used] != bead
            return "no bead out: none came in" if sure else f"a gap? no bead; else {bead} out"
    seen = known.get(cross, "proud")
    if seen == "two":
        return "two beads out over the rim"
    if bead is None or any(spot[:2] == (strand, cross) for spot in state.sew_ins):
        return "no bead on it"
    return f"bead {bead if seen == 'proud' else seen} out over the rim"


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


def row_words(plan: Plan, cross: int) -> tuple[str, str]:
    """Where a cross stands: ('row 8 of 16', '1st of four')."""
    row, of_row = plan.row_at(cross)
    if row is not None:
        length = plan.row_end(cross) - cross + of_row
        return f"row {row} of {plan.rows}", f"{ordinal(of_row)} of {in_words(length)}"
    if not plan.last_bead_cross:
        turn = (cross - 1) // len(plan.structure.round) + 1
        rounds = -(-plan.crosses // len(plan.structure.round))
        return f"round {turn} of {rounds}", (
            f"{ordinal(of_row)} of {in_words(len(plan.structure.round))}"
        )
    if cross <= plan.plain_start:
        return "plain start", f"{ordinal(of_row)} of {in_words(plan.plain_start)}"
    return "plain end", f"{ordinal(of_row)} of {in_words(plan.crosses - plan.last_bead_cross)}"


def boxes(plan: Plan, cross: int) -> tuple[int, int]:
    """How many boxes the present row has, and how many are made before this cross."""
    _, of_row = plan.row_at(cross)
    return plan.row_end(cross) - cross + of_row, of_row - 1


@dataclass(frozen=True, slots=True)
class Soon:
    """The next change on the strands: in how many crosses, in words, and whether it is close."""

    crosses: int
    words: str
    close: bool


def soon(plan: Plan, made: int) -> Soon | None:
    """The next change of bead after the crosses made; None when nothing changes any more.

    A row is told as one: what changes in the present row stays so until its end.
    """
    cross = made + 1
    begun = cross - plan.row_at(cross)[1]
    changes: list[tuple[int, str]] = []
    holding = 0
    for strand, load in enumerate(plan.loads, 1):
        holding += plan.used(strand, begun) < len(load)
        change = _change(plan, strand, plan.used(strand, begun))
        if change is not None and change[1] == SKIP and change[0] < cross:
            change = _change(plan, strand, plan.used(strand, change[0]))
        if change is not None:
            changes.append(change)
    if not changes:
        return None
    first = min(at for at, _ in changes)
    row = plan.row_at(first)[0]
    same = [letter for at, letter in changes if plan.row_at(at)[0] == row]
    letters = sorted(set(same))
    who = f"all {in_words(holding)}" if len(same) == holding else in_words(len(same))
    if letters == [""]:
        words = f"{who} bring in their last bead; then they hang empty"
    else:
        to = [_to(plan, letter) for letter in letters]
        words = f"{who} change to {to[0]}"
        if len(letters) > 1:
            each = zip(letters, to, strict=True)
            parts = ", ".join(f"{in_words(same.count(letter))} to {what}" for letter, what in each)
            words = f"{who} change: {parts}"
    close = row is not None and row - (plan.row_at(cross)[0] or 0) <= 1
    return Soon(first - cross, words, close)


def _change(plan: Plan, strand: int, used: int) -> tuple[int, str] | None:
    """The cross of a strand's first change from an entry of its load on, and what comes then."""
    load = plan.loads[strand - 1]
    before = load[:used].rstrip(SKIP)[-1:] or load[:1]
    for entry in range(max(1, used), len(load)):
        if load[entry] != before:
            return plan.cross_of(strand, entry), load[entry]
    return (plan.cross_of(strand, len(load) - 1), "") if used < len(load) else None


def _to(plan: Plan, letter: str) -> str:
    """What a strand changes to, in words."""
    held = letter not in ("", SKIP)
    return f"{letter} {plan.pattern.beads[letter].size}" if held else "no bead"


def in_crosses(ahead: int) -> str:
    """How far off something is: 'now', 'after this cross', 'in 8 crosses'."""
    if ahead <= 0:
        return "now"
    return "after this cross" if ahead == 1 else f"in {ahead:,} crosses"


def soon_words(change: Soon) -> str:
    """When what changes, in words."""
    when = in_crosses(change.crosses) if change.crosses > 0 else "in this row"
    return f"{when} {change.words}"


def changed(plan: Plan, move: Move, cross: int) -> bool:
    """Whether a bead is another one than the strand's last: its first after a change."""
    if move.bead is None:
        return False
    used = plan.used(move.strand, cross - 1)
    return used > 0 and plan.loads[move.strand - 1][used - 1] != move.bead


def last_beads(plan: Plan, step: PlannedCross) -> int:
    """How many strands bring in their last bead at a cross."""
    return sum(
        1 for m in step.carried if m.bead is not None and not plan.remaining(m.strand, step.cross)
    )


def row_strand(plan: Plan, made: int) -> int:
    """The strand whose load is shown: of those carried next, the first that has one; 0 for none."""
    step = plan.step(min(made + 1, max(plan.last_bead_cross, 1)))
    return next((m.strand for m in step.carried if plan.loads[m.strand - 1]), 0)


def whose_rows(plan: Plan, made: int) -> str:
    """Where the strand lies whose load is shown; nothing where all loads are alike."""
    strand = row_strand(plan, made)
    if not strand or len({load for load in plan.loads if load}) < 2:
        return ""
    place = plan.structure.places[plan.place_of(strand, made) - 1]
    return f"{place.removesuffix(' of the two')}:"


def rows_line(plan: Plan, made: int, width: int) -> list[tuple[str, bool]]:
    """The load as a line of parts; True marks the one that is present: none in plain crosses.

    Short loads are shown bead by bead, long ones as runs with the place in the present run.
    """
    cross = min(made + 1, max(plan.last_bead_cross, 1))
    strand = row_strand(plan, made)
    if not strand:
        return []
    load = plan.loads[strand - 1]
    at = plan.used(strand, cross - 1) if made < plan.last_bead_cross else len(load)
    if cross <= plan.plain_start:
        at = -1
    parts: list[tuple[str, bool]] = []
    if len(load) * 2 + 4 <= width:
        for index, letter in enumerate(load):
            parts.append((letter, index == at))
        return parts
    begin = 0
    for letter, count in equal_runs(load):
        here = begin <= at < begin + count
        text = f"{at - begin + 1} of {count}{letter}" if here else f"{count}{letter}"
        parts.append((text, here))
        begin += count
    end = 0 if at < 0 else len(parts) - 1
    shown = next((i for i, (_, here) in enumerate(parts) if here), end)
    return parts[max(0, shown - 3) : shown + 6]


GAP, TWO, PROUD, TO_SEW = "·", "²", "!", "○"
SEEN = {"gap": GAP, "two": TWO, "proud": PROUD}
SIGNS = {
    TO_SEW: "to sew in",
    GAP: "a gap",
    TWO: "two in one place",
    PROUD: "stands proud",
}
"""What stands in the picture of the braid for what is not as planned."""

Spots = Mapping[tuple[int, int], str]
"""What a strand's cross shows in the braid where it is not as planned, by (strand, cross)."""


def spots_of(state: PieceState) -> dict[tuple[int, int], str]:
    """What a piece's braid shows where slips and mends left it unlike its plan."""
    spots = {(strand, cross): SEEN.get(what, what[:1]) for strand, cross, what in state.seen}
    spots |= {(strand, cross): TO_SEW for strand, cross, _ in state.sew_ins}
    return spots | {(strand, cross): bead for strand, cross, bead in state.sewn}


def recent_rings(plan: Plan, made: int, lines: int, spots: Spots | None = None) -> list[list[str]]:
    """The braid just made, unrolled: rings of letters by column, the newest first.

    '-' is a plain cross or a move without a bead, '' what is not made yet; spots stand before the
    plan. Empty where the columns are not known.
    """
    structure = plan.structure
    if structure.columns is None or structure.turn is None:
        return []
    each = max(1, structure.columns // max(len(c.carried) for c in structure.round))
    newest = max(0, made - 1) // each
    rings = [
        _ring(plan, ring * each, min(ring * each + each, made))
        for ring in range(newest, max(-1, newest - lines), -1)
    ]
    spots = spots or {}
    return [[spots.get(where, letter) for where, letter in ring] for ring in rings]


@lru_cache(maxsize=256)
def _ring(plan: Plan, first: int, last: int) -> tuple[tuple[tuple[int, int], str], ...]:
    """The letters by column that the crosses after `first`, up to `last`, have laid.

    Each with its strand and cross; ((0, 0), '') where nothing is laid.
    """
    structure = plan.structure
    assert structure.columns is not None
    assert structure.turn is not None
    letters = [((0, 0), "")] * structure.columns
    for cross in range(first + 1, last + 1):
        for move in plan.step(cross).carried:
            column = column_of(
                structure.place_angles[move.transfer.start - 1],
                cross,
                columns=structure.columns,
                turn_deg=structure.turn,
                zero_deg=structure.place_angles[structure.round[0].carried[0][0] - 1],
            )
            letters[column] = ((move.strand, cross), move.bead or "-")
    return tuple(letters)
