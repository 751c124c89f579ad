"""What comes up on the strands: the next change, the last beads, the load as a line."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from bench.craft.load import SKIP, equal_runs
from bench.craft.plan import Move, Plan, PlannedCross
from bench.craft.words import in_words


@dataclass(frozen=True, slots=True)
class Soon:
    """The next change on the strands: in how many crosses, in words, and whether it is close."""

    crosses: int
    words: str
    close: bool


def soon(plan: Plan, made: int) -> Soon | None:
    """The next change of bead after the crosses made; None when nothing changes any more.

    A row is told as one: once its first changed bead is at hand, the next row's change is told.
    """
    cross = made + 1
    if cross <= plan.plain_start:
        return _first_beads(plan, cross)
    begun = cross - plan.row_at(cross)[1]
    change = _next_change(plan, cross, begun)
    if change is None or change.crosses > 0:
        return change
    return _next_change(plan, cross, plan.row_end(cross))


def _next_change(plan: Plan, cross: int, after: int) -> Soon | None:
    """The next change after so many crosses, as it is told before a cross."""
    changes: list[tuple[int, str]] = []
    holding = 0
    for strand, load in enumerate(plan.loads, 1):
        used = plan.used(strand, after)
        holding += used < len(load)
        change = _change(plan, strand, used)
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


def _first_beads(plan: Plan, cross: int) -> Soon:
    """The first bead row, as it is told in the plain crosses before it."""
    letters = Counter(load[0] for load in plan.loads if load and load[0] != SKIP)
    parts = [f"{in_words(count)} {_to(plan, letter)}" for letter, count in sorted(letters.items())]
    whole = "all " if len(parts) == 1 else ""
    first = plan.plain_start + 1
    return Soon(first - cross, f"the first beads: {whole}{', '.join(parts)}", first - cross <= 1)


def _change(plan: Plan, strand: int, used: int) -> tuple[int, str] | None:
    """The cross of a strand's first change from an entry of its load on, and what comes then.

    After a move without a bead that is the next bead, whichever it is.
    """
    load = plan.loads[strand - 1]
    before = load[used - 1] if used else load[:1]
    for entry in range(max(1, used), len(load)):
        if load[entry] != before:
            return plan.cross_of(strand, entry), load[entry]
    return (plan.cross_of(strand, len(load) - 1), "") if used < len(load) else None


def last_bead(load: str, used: int) -> str:
    """The last bead of the entries of a load that are used; empty if there was none."""
    return load[:used].rstrip(SKIP)[-1:]


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
    return f"{in_crosses(change.crosses)} {change.words}"


def changed(plan: Plan, move: Move, cross: int) -> bool:
    """Whether a bead is another one than the strand's last, however long ago that was."""
    used = plan.used(move.strand, cross - 1)
    before = last_bead(plan.loads[move.strand - 1], used)
    return move.bead is not None and used > 0 and before != move.bead


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
