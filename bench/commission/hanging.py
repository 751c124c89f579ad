"""Which piece hangs at which place: like ones not side by side, no two level, few moves.

In this order: the fewest neighbouring pairs alike; then the fewest that hang level or have no room
between them; then the fewest places where another piece hangs than before. Exact to EXACT_TO
places, by branch and bound, as long as MOST_TRIES tries are enough; above that pieces are swapped
two by two until no swap is better, which need not be the best.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import combinations, pairwise
from typing import Literal

EXACT_TO = 8
MOST_TRIES = 400_000
"""Tries after which the best that was found so far is taken, and said to be no more than that."""
MOST_ROUNDS = 60

Shape = Literal["rail", "hoop", "window"]
Cost = tuple[int, int, int]
"""Neighbouring pairs alike; pairs level or without room; places with another piece than before."""


@dataclass(frozen=True, slots=True)
class Place:
    """A place: where it is along the rail, or round the hoop, and how far below it a piece begins.

    On a hoop `x_mm` runs along its round.
    """

    x_mm: float
    drop_mm: float


@dataclass(frozen=True, slots=True)
class HungPiece:
    """A piece that can hang. `like`: pieces of the same one are alike."""

    name: str
    like: str
    length_mm: float
    thickness_mm: float
    grams: float


@dataclass(frozen=True)
class Rail:
    """Where pieces hang. `near_mm`: places in a window no further from each other are neighbours.

    In a window places lie anywhere, so that it counts how far apart they are both ways.
    """

    shape: Shape
    places: tuple[Place, ...]
    level_mm: float = 10.0
    room_mm: float = 5.0
    near_mm: float = 150.0
    round_mm: float = 0.0
    """The hoop's whole round."""

    def neighbours(self) -> tuple[tuple[int, int], ...]:
        """The pairs of places that are neighbours: next to each other, or within `near_mm`."""
        count = len(self.places)
        order = sorted(range(count), key=lambda at: (self.places[at].x_mm, at))
        if self.shape == "window":
            near = (
                (a, b)
                for a, b in combinations(range(count), 2)
                if self._between_mm(a, b) <= self.near_mm
            )
            return tuple(near)
        pairs = list(pairwise(order))
        if self.shape == "hoop" and count > 2:
            pairs.append((order[-1], order[0]))
        return tuple((min(a, b), max(a, b)) for a, b in pairs)

    def _between_mm(self, one: int, other: int) -> float:
        """How far two places in a window are from each other, along and down."""
        a, b = self.places[one], self.places[other]
        return math.hypot(a.x_mm - b.x_mm, a.drop_mm - b.drop_mm)

    def apart_mm(self, one: int, other: int) -> float:
        """How far two places are from each other, along the rail or round the hoop."""
        apart = abs(self.places[one].x_mm - self.places[other].x_mm)
        if self.shape == "hoop" and self.round_mm > 0:
            return min(apart, self.round_mm - apart)
        return apart


@dataclass(frozen=True)
class Hung:
    """Which piece hangs at each place (None: nothing), what it costs, whether none is better."""

    at: tuple[int | None, ...]
    cost: Cost
    exact: bool


@dataclass
class _Task:
    """What there is to hang, and what it costs. `near`: the neighbours of each place."""

    rail: Rail
    pieces: Sequence[HungPiece]
    before: Mapping[int, int]
    near: list[list[int]] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.near = [[] for _ in self.rail.places]
        for one, other in self.rail.neighbours():
            self.near[one].append(other)
            self.near[other].append(one)

    def pair(self, one: int, first: int | None, other: int, second: int | None) -> tuple[int, int]:
        """What two neighbouring places cost with these pieces."""
        if first is None or second is None:
            return 0, 0
        a, b = self.pieces[first], self.pieces[second]
        return int(a.like == b.like), int(self._close(one, a, other, b))

    def _close(self, one: int, a: HungPiece, other: int, b: HungPiece) -> bool:
        """Whether two neighbours hang level, or beside each other without room."""
        top_a, top_b = self.rail.places[one].drop_mm, self.rail.places[other].drop_mm
        middle_a, middle_b = top_a + a.length_mm / 2, top_b + b.length_mm / 2
        if abs(middle_a - middle_b) < self.rail.level_mm:
            return True
        beside = top_a < top_b + b.length_mm and top_b < top_a + a.length_mm
        gap = self.rail.apart_mm(one, other) - (a.thickness_mm + b.thickness_mm) / 2
        return beside and gap < self.rail.room_mm

    def moved(self, place: int, piece: int | None) -> int:
        """Whether another piece hangs there than before."""
        return int(place in self.before and self.before[place] != piece)

    def cost(self, at: Sequence[int | None]) -> Cost:
        """What a whole arrangement costs."""
        alike = close = 0
        for one, other in self.rail.neighbours():
            pair = self.pair(one, at[one], other, at[other])
            alike, close = alike + pair[0], close + pair[1]
        return alike, close, sum(self.moved(place, piece) for place, piece in enumerate(at))

    def around(self, at: Sequence[int | None], *places: int) -> Cost:
        """What some places cost with all their neighbours."""
        alike = close = 0
        for pair in {(min(a, b), max(a, b)) for a in places for b in self.near[a]}:
            found = self.pair(pair[0], at[pair[0]], pair[1], at[pair[1]])
            alike, close = alike + found[0], close + found[1]
        return alike, close, sum(self.moved(place, at[place]) for place in places)


def hang(rail: Rail, pieces: Sequence[HungPiece], before: Mapping[int, int] | None = None) -> Hung:
    """Hang pieces, as many as there are places for.

    `before`: the piece that the maker had at a place, by their numbers.
    """
    task = _Task(rail, pieces, before or {})
    first = _swapped(task, _start(task))
    if len(rail.places) <= EXACT_TO:
        return _searched(task, first)
    return Hung(tuple(first), task.cost(first), exact=False)


def cost_of(
    rail: Rail, pieces: Sequence[HungPiece], at: Sequence[int | None], before: Mapping[int, int]
) -> Cost:
    """What an arrangement of the maker's own costs."""
    return _Task(rail, pieces, before).cost(at)


def troubles(
    rail: Rail, pieces: Sequence[HungPiece], at: Sequence[int | None]
) -> tuple[list[tuple[int, int]], list[tuple[int, int]]]:
    """The pairs of neighbouring places that are alike, and those level or without room."""
    task, alike, close = _Task(rail, pieces, {}), [], []
    for one, other in rail.neighbours():
        is_alike, is_close = task.pair(one, at[one], other, at[other])
        alike += [(one, other)] if is_alike else []
        close += [(one, other)] if is_close else []
    return alike, close


def off_centre_mm(rail: Rail, pieces: Sequence[HungPiece], at: Sequence[int | None]) -> float:
    """How far the weight of a hoop's pieces hangs from its middle."""
    radius = rail.round_mm / (2 * math.pi)
    x = y = grams = 0.0
    for place, piece in zip(rail.places, at, strict=True):
        if piece is None or not rail.round_mm:
            continue
        angle = 2 * math.pi * place.x_mm / rail.round_mm
        weight = pieces[piece].grams
        x, y = x + weight * math.cos(angle), y + weight * math.sin(angle)
        grams += weight
    return radius * math.hypot(x, y) / grams if grams else 0.0


def _start(task: _Task) -> list[int | None]:
    """The maker's own places first; then each place takes the piece that costs least there.

    Of several that cost as little it takes one whose kind is due: each kind comes back after as
    many places as there are for one of it, so that none stands in a heap.
    """
    places, pieces = len(task.rail.places), len(task.pieces)
    at: list[int | None] = [None] * places
    left = list(range(pieces))
    for place, piece in task.before.items():
        if place < places and piece in left:
            at[place] = piece
            left.remove(piece)
    order = sorted(range(places), key=lambda place: task.rail.places[place].x_mm)
    kinds = Counter(piece.like for piece in task.pieces)
    every = {kind: max(places, pieces) / count for kind, count in kinds.items()}
    due = {kind: step / 2 for kind, step in every.items()}
    for place in order:
        known = at[place]
        if known is None and left:

            def tried(piece: int, place: int = place) -> tuple[Cost, float, int]:
                at[place] = piece
                return task.around(at, place), due[task.pieces[piece].like], piece

            known = min(left, key=tried)
            at[place] = known
            left.remove(known)
        if known is not None:
            due[task.pieces[known].like] += every[task.pieces[known].like]
    return at


def _swapped(task: _Task, at: list[int | None]) -> list[int | None]:
    """Swap two places, or a place with a piece that does not hang, while it helps."""
    idle = [piece for piece in range(len(task.pieces)) if piece not in at]
    for _ in range(MOST_ROUNDS):
        better = False
        bad = [p for p in range(len(at)) if task.around(at, p) > (0, 0, 0)]
        for one in bad:
            for other in range(len(at)):
                if other == one:
                    continue
                old = task.around(at, one, other)
                at[one], at[other] = at[other], at[one]
                if task.around(at, one, other) < old:
                    better = True
                else:
                    at[one], at[other] = at[other], at[one]
            for number, piece in enumerate(idle):
                old, was = task.around(at, one), at[one]
                if was is None:
                    continue
                at[one] = piece
                if task.around(at, one) < old:
                    idle[number], better = was, True
                    break
                at[one] = was
        if not better:
            break
    return at


def _searched(task: _Task, first: Sequence[int | None]) -> Hung:
    """Branch and bound from a good arrangement; pieces that are the same are tried once."""
    places = len(task.rail.places)
    hung = min(places, len(task.pieces))
    best, best_cost = list(first), task.cost(first)
    at: list[int | None] = [None] * places
    used = [False] * len(task.pieces)
    mates = set(task.before.values())
    tries = 0

    def go(place: int, empty: int, cost: Cost) -> None:
        nonlocal best, best_cost, tries
        tries += 1
        if tries > MOST_TRIES or cost >= best_cost:
            return
        if place == places:
            best, best_cost = list(at), cost
            return
        own = task.before.get(place)
        choices = sorted(
            (piece for piece in range(len(task.pieces)) if not used[piece]),
            key=lambda piece: piece != own,
        )
        seen: set[tuple[str, float, float]] = set()
        for piece in choices:
            this = task.pieces[piece]
            key = (this.like, this.length_mm, this.thickness_mm)
            if piece not in mates:
                if key in seen:
                    continue
                seen.add(key)
            at[place], used[piece] = piece, True
            go(place + 1, empty, _with(task, at, place, cost))
            used[piece] = False
        at[place] = None
        if empty:
            go(place + 1, empty - 1, _with(task, at, place, cost))

    go(0, places - hung, (0, 0, 0))
    return Hung(tuple(best), best_cost, exact=tries <= MOST_TRIES)


def _with(task: _Task, at: Sequence[int | None], place: int, cost: Cost) -> Cost:
    """The cost with one place more, against the earlier ones."""
    alike, close, moved = cost
    for other in task.near[place]:
        if other < place:
            pair = task.pair(other, at[other], place, at[place])
            alike, close = alike + pair[0], close + pair[1]
    return alike, close, moved + task.moved(place, at[place])
