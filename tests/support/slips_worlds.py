"""Planted worlds: a stand on which something went wrong, noticed by a maker, and her answers.

Nothing here knows how the program weighs suspects. Threads are moved from place to place and beads
taken off queues; whether a bead is noticed and how an answer comes out wrong are drawn from rates
of this file. Besides the slips that the program knows there are kinds that it need not know: two
at once, a slip and a wrong count, several beads short, the wrong piece taken up.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cache
from typing import get_args

from bench.craft.load import SKIP
from bench.craft.plan import Plan
from bench.slips.likeness import FOREIGN
from bench.slips.looks import ANOTHER, THIS, Answer, Look
from bench.slips.suspect import Slip, Suspect
from tests.support.slips_makers import KINDS, SHIPPED, Hands, plant, random_plan, shipped

OUTSIDE = (
    "count_far", "run_from_wrong_tray", "letter_from_wrong_tray", "beads_short", "wrong_end",
    "two_at_once", "slip_and_count", "cross_twice", "both_wrong_of_pair", "wrong_piece",
    "piece_of_the_lot",
)  # fmt: skip
"""Kinds of worlds beside one slip of the older kinds."""

WORLDS = ("misread", *KINDS, *OUTSIDE)

OVERLOOKED = {"size": 0.2, "colour": 0.45, "foreign": 0.2, "nothing": 0.05}
"""How often another bead comes in unnoticed, by what is unlike the planned one. Rule of thumb, no
source."""

MARK_SEEN = 0.5
"""How often a mark in the braid is noticed as a row ends. Rule of thumb, no source."""

FAR_ROWS = 6
"""A count is planted at most so many rows off."""


@dataclass
class World:
    """Something that was noticed: so many crosses counted, a report at a place.

    faulty are the threads to which something was done, by number. slips is what was done where it
    is one slip of a known kind.
    """

    kind: str
    plan: Plan
    hands: Hands
    faulty: frozenset[int]
    slips: tuple[Suspect, ...] = ()
    made: int = 0
    place: int = 0
    saw: str | None = None
    in_braid: str | None = None

    def unsound(self, place: int) -> bool:
        """Whether something was done to the thread at a place, or it hangs unlike the plan."""
        if isinstance(self.hands, OtherPiece):
            return False
        strand = self.plan.arrangement(self.hands.real)[place - 1]
        planned = self.plan.remaining(strand, self.hands.real).replace(SKIP, "")
        return self.hands.at[place - 1] in self.faulty or self.hands.ahead(place) != planned


class OtherPiece(Hands):
    """Another piece lies on the stand, so many crosses farther or less far on.

    known: whether it can be told from the one that is meant, by a tag or by its beads.
    """

    def __init__(self, mine: Plan, other: Plan, ahead: int, *, known: bool = True) -> None:
        super().__init__(other, ())
        self.letters, self.more, self.known = set(mine.pattern.beads), ahead, known

    def count(self, made: int) -> None:
        """Make crosses of the other piece."""
        super().count(made + self.more)

    def ahead(self, place: int) -> str:
        """The beads at a place by this piece's letters; another one's are in no load."""
        return "".join(x if x in self.letters else FOREIGN for x in super().ahead(place))

    def right_answer(self, look: Look, made: int) -> Answer:
        """What a careful maker would answer; None where nothing tells which piece it is."""
        if look.kind == "piece":
            return ANOTHER if self.known else None
        return super().right_answer(look, made)


class Twice(Hands):
    """One cross is made twice, the second time in place of the next; the count is right."""

    def __init__(self, plan: Plan, at: int) -> None:
        super().__init__(plan, ())
        self.twice = at

    def _cross(self, number: int) -> None:
        if number != self.twice + 1:
            super()._cross(number)
            return
        moves = self.plan.step(self.twice).moves
        lifted = [(m.transfer, self.at[m.transfer.start - 1]) for m in moves]
        for transfer, thread in lifted:
            self.at[transfer.end - 1] = thread
            if number > self.plan.plain_start and transfer.kind == "carry" and self.beads[thread]:
                self.beads[thread].pop(0)


@cache
def plan_of(name: str) -> Plan:
    """A shipped plan, built once."""
    return shipped(name)


def some_plan(rng: random.Random) -> Plan:
    """A shipped pattern's plan, or a random one, as often."""
    return plan_of(rng.choice(SHIPPED)) if rng.random() < 0.5 else random_plan(rng)


def overlooked(plan: Plan, planned: str | None, saw: str | None) -> float:
    """How often a bead comes in for the planned one without being noticed."""
    if planned is None or saw is None:
        return OVERLOOKED["nothing"]
    if FOREIGN in (planned, saw):
        return OVERLOOKED["foreign"]
    one, other = plan.pattern.beads[planned], plan.pattern.beads[saw]
    return OVERLOOKED["size" if one.size != other.size else "colour"]


# What went wrong


def _one_slip(kind: Slip, plan: Plan, rng: random.Random) -> World | None:
    slip = plant(plan, kind, rng)
    if slip is None:
        return None
    faulty = {s for s in (slip.strand, slip.with_) if s is not None}
    return World(kind, plan, Hands(plan, (slip,)), frozenset(faulty), (slip,))


def _count_far(plan: Plan, rng: random.Random) -> World | None:
    row = plan.row_length
    far = rng.randint(1, FAR_ROWS) * row if rng.random() < 0.5 else rng.randint(2, FAR_ROWS * row)
    at = rng.randint(min(far + 1, plan.crosses), plan.crosses)
    slip = Suspect("count_off", shift=rng.choice([-1, 1]) * far, at=at)
    return World("count_far", plan, Hands(plan, (slip,)), frozenset(), (slip,))


def _refilled(
    kind: str, plan: Plan, strands: list[int], pick: Callable[[int], range], rng: random.Random
) -> World | None:
    """Beads of these strands that are of another letter, whose places pick says."""
    letters = [*plan.pattern.beads, FOREIGN] if rng.random() < 0.2 else list(plan.pattern.beads)
    hands = Hands(plan, ())
    for strand in strands:
        for i in pick(strand):
            was = plan.loads[strand - 1][i]
            new = [x for x in letters if x != was]
            if not new:
                return None
            letters = letters if len(letters) == 1 else [rng.choice(new)]
            hands.beads[strand][i] = letters[0]
    return World(kind, plan, hands, frozenset(strands))


def _run_from_wrong_tray(plan: Plan, rng: random.Random) -> World | None:
    strand = rng.choice([s for s in range(1, plan.strands + 1) if plan.loads[s - 1]])
    first, last = _run(plan.loads[strand - 1], rng)
    if last - first < 2 or _others(plan, plan.loads[strand - 1][first]) < 1:
        return None
    return _refilled("run_from_wrong_tray", plan, [strand], lambda s: range(first, last), rng)


def _letter_from_wrong_tray(plan: Plan, rng: random.Random) -> World | None:
    every = [s for s in range(1, plan.strands + 1) if plan.loads[s - 1]]
    strand = rng.choice(every)
    letter = rng.choice(plan.loads[strand - 1])
    strands = [strand] if rng.random() < 0.5 else [s for s in every if letter in plan.loads[s - 1]]
    actual = rng.choice([x for x in (*plan.pattern.beads, FOREIGN) if x != letter])
    hands = Hands(plan, ())
    for s in strands:
        hands.beads[s] = [actual if x == letter else x for x in hands.beads[s]]
    return World("letter_from_wrong_tray", plan, hands, frozenset(strands))


def _others(plan: Plan, letter: str) -> int:
    return len(set(plan.pattern.beads) - {letter})


def _run(load: str, rng: random.Random) -> tuple[int, int]:
    """A run of equal beads: the first and one past the last."""
    first = last = rng.randrange(len(load))
    while first and load[first - 1] == load[first]:
        first -= 1
    while last < len(load) and load[last] == load[first]:
        last += 1
    return first, last


def _beads_short(plan: Plan, rng: random.Random) -> World | None:
    strand = rng.choice([s for s in range(1, plan.strands + 1) if len(plan.loads[s - 1]) > 5])
    load, many = plan.loads[strand - 1], rng.choice([2, 3, 3])
    if rng.random() < 0.5:
        first, last = _run(load, rng)
        gone = set(range(first, min(last, first + many)))
    else:
        gone = set(rng.sample(range(len(load)), many))
    hands = Hands(plan, ())
    hands.beads[strand] = [x for i, x in enumerate(load) if i not in gone]
    return World("beads_short", plan, hands, frozenset([strand]))


def _wrong_end(plan: Plan, rng: random.Random) -> World | None:
    """A strand, or a whole thread, strung from its wrong end."""
    doubles = plan.pattern.threads.double_lengths
    if doubles and rng.random() < 0.5:
        strands = list(rng.choice(doubles))
    else:
        strands = [rng.randint(1, plan.strands)]
    hands = Hands(plan, ())
    for strand in strands:
        hands.beads[strand].reverse()
    return World("wrong_end", plan, hands, frozenset(strands))


def _two_at_once(plan: Plan, rng: random.Random) -> World | None:
    kinds = [k for k in KINDS if k not in ("count_off", "round_off", "turned")]
    slips = [plant(plan, kind, rng) for kind in rng.sample(kinds, 2)]
    one, two = slips
    if one is None or two is None:
        return None
    faulty = {s for x in (one, two) for s in (x.strand, x.with_) if s is not None}
    if {one.strand, one.with_} & {two.strand, two.with_} - {None}:
        return None
    return World("two_at_once", plan, Hands(plan, (one, two)), frozenset(faulty))


def _slip_and_count(plan: Plan, rng: random.Random) -> World | None:
    kinds = [k for k in KINDS if k not in ("count_off", "round_off", "turned")]
    one, two = plant(plan, rng.choice(kinds), rng), plant(plan, "count_off", rng)
    if one is None or two is None:
        return None
    faulty = {s for s in (one.strand, one.with_) if s is not None}
    return World("slip_and_count", plan, Hands(plan, (one, two)), frozenset(faulty))


def _cross_twice(plan: Plan, rng: random.Random) -> World | None:
    at = rng.randint(plan.plain_start + 1, max(plan.plain_start + 1, plan.last_bead_cross - 1))
    moved = {m.strand for c in (at, at + 1) for m in plan.step(c).moves}
    return World("cross_twice", plan, Twice(plan, at), frozenset(moved))


def _both_wrong_of_pair(plan: Plan, rng: random.Random) -> World | None:
    """Two hands that carry the wrong one of their pair at one cross."""
    one = plant(plan, "wrong_of_pair", rng)
    if one is None or one.at is None:
        return None
    lie = plan.arrangement(one.at - 1)
    carried = {m.strand: m.transfer.start for m in plan.step(one.at).carried}
    others = [
        Suspect("wrong_of_pair", strand, lie[beside - 1], at=one.at)
        for strand, place in carried.items()
        for beside in plan.structure.beside(place)
        if strand != one.strand and lie[beside - 1] not in (one.with_, *carried)
    ]
    if not others:
        return None
    slips = (one, rng.choice(others))
    faulty = {s for x in slips for s in (x.strand, x.with_) if s is not None}
    return World("both_wrong_of_pair", plan, Hands(plan, slips), frozenset(faulty))


def _wrong_piece(plan: Plan, rng: random.Random) -> World | None:
    others = [p for p in map(plan_of, SHIPPED) if p is not plan and p.strands == plan.strands]
    others = [p for p in others if p.structure.title == plan.structure.title]
    if not others:
        return None
    other = rng.choice(others)
    return World("wrong_piece", plan, OtherPiece(plan, other, rng.randint(-12, 12)), frozenset())


def _piece_of_the_lot(plan: Plan, rng: random.Random) -> World | None:
    """A piece of the same pattern that is farther on, with a tag or, as often, without one."""
    ahead = rng.randint(1, FAR_ROWS * plan.row_length)
    hands = OtherPiece(plan, plan, ahead, known=rng.random() < 0.5)
    return World("piece_of_the_lot", plan, hands, frozenset())


_OUTSIDE: dict[str, Callable[[Plan, random.Random], World | None]] = {
    "count_far": _count_far,
    "run_from_wrong_tray": _run_from_wrong_tray,
    "letter_from_wrong_tray": _letter_from_wrong_tray,
    "beads_short": _beads_short,
    "wrong_end": _wrong_end,
    "two_at_once": _two_at_once,
    "slip_and_count": _slip_and_count,
    "cross_twice": _cross_twice,
    "both_wrong_of_pair": _both_wrong_of_pair,
    "wrong_piece": _wrong_piece,
    "piece_of_the_lot": _piece_of_the_lot,
}


# Noticing and answering


def world(kind: str, rng: random.Random) -> World:
    """A random world of a kind that comes to be noticed."""
    slips = {slip: slip for slip in get_args(Slip)}
    while True:
        plan = some_plan(rng)
        if kind == "misread":
            found = _misread(plan, rng)
        elif kind in _OUTSIDE:
            found = _OUTSIDE[kind](plan, rng)
            found = found and _noticed(found, rng)
        else:
            found = _one_slip(slips[kind], plan, rng)
            found = found and _noticed(found, rng)
        if found is not None:
            return found


def _misread(plan: Plan, rng: random.Random) -> World | None:
    """A flawless piece, and a bead that was taken for another."""
    made = rng.randrange(plan.plain_start, plan.last_bead_cross)
    move = rng.choice(plan.step(made + 1).carried)
    hands = Hands(plan, ())
    hands.count(made)
    saw = rng.choice([x for x in (*plan.pattern.beads, None) if x != move.bead])
    return World("misread", plan, hands, frozenset(), (), made, move.transfer.start, saw)


def _noticed(planted: World, rng: random.Random) -> World | None:
    """Braid on until the maker notices something; None if that never comes about."""
    plan, hands = planted.plan, planted.hands
    for made in range(plan.crosses):
        hands.count(made)
        for move in plan.step(made + 1).carried:
            place = move.transfer.start
            saw = hands.ahead(place)[:1] or None
            planned = plan.remaining(move.strand, made).replace(SKIP, "")[:1] or None
            if saw != planned and rng.random() > overlooked(plan, planned, saw):
                return replace(planted, made=made, place=place, saw=saw)
        if hands.marks and made % plan.row_length == 0:
            place = hands.at.index(hands.marks[-1].thread) + 1
            seen = hands.in_braid(place, made)
            if seen != "nothing" and rng.random() < MARK_SEEN:
                return replace(planted, made=made, place=place, in_braid=seen)
    return None


def wrong_answer(look: Look, right: Answer, plan: Plan, rng: random.Random) -> Answer:
    """A wrong answer such as makers give: another bead, one off in a count, a bead passed over."""
    letters = sorted(plan.pattern.beads)
    if look.kind == "next":
        return rng.choice([x for x in (*letters, None) if x != right])
    if look.kind == "piece":
        return THIS if right == ANOTHER else ANOTHER
    if look.kind == "braid":
        return rng.choice([x for x in ("gap", "proud", "nothing") if x != right])
    if isinstance(right, int):
        return right + 1 if right == 0 else right + rng.choice([-1, 1])
    beads = list(right or "")
    at = rng.randrange(len(beads)) if beads else 0
    if beads and rng.random() < 0.3:
        del beads[at]
        return "".join(beads)
    beads[at : at + 1] = rng.choice([x for x in letters if beads[at : at + 1] != [x]] or letters)
    return "".join(beads)
