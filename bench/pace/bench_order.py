"""The order of work at the bench: one pair of hands, some stands, pieces that dry on them.

Setting up takes a free stand, which the piece keeps until it has dried; loading is done beside
it, finishing after it. The best order of some stages is the one whose last stage ends first, of
those that keep the turn: none is loaded, set up or braided before one that stands before it, nor
finished before one that is dry, nor loaded before one that is dry from the beginning.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TypeVar

from bench.craft.stages import HandsOn

T = TypeVar("T")

WIDTH = 48
"""Courses that are followed at once; with few pieces that is all of them that can be best."""
DIGITS = 3
"""Of seconds, in comparing courses: what only rounding tells apart is equal."""


@dataclass(frozen=True)
class StagesAhead:
    """The stages of one piece that are to be done, in their order.

    stages: with their median seconds. braided: nothing of the braid is to come. dry_s: how long it
    dries once braided here. ready_s: seconds from now until it is dry, where it is braided.
    on_stand: it lies on a stand now. cut_short: the last stage is done in part only.
    """

    name: str
    stages: tuple[tuple[HandsOn, float], ...]
    braided: bool
    dry_s: float
    ready_s: float
    on_stand: bool
    cut_short: bool = False


@dataclass(frozen=True)
class _Course:
    """How far an order has come, and by which stages: of each piece how many are done.

    free_s: when each piece leaves its stand, dry; 0 if it lies on none, without end if it is not
    braided. ready_s: when it may be finished.
    """

    clock_s: float
    done: tuple[int, ...]
    free_s: tuple[float, ...]
    ready_s: tuple[float, ...]
    order: tuple[int, ...]
    starts: tuple[float, ...]


def best_order(pieces: Sequence[StagesAhead], stands: int) -> tuple[int, ...] | None:
    """Which piece's next stage to do, one after the other, to be done first.

    pieces: in their turn, those on a stand before all others. None if there is no way: no stand
    comes free.
    """
    kinds, courses = _kinds(pieces), [_beginning(pieces)]
    for _ in range(sum(len(piece.stages) for piece in pieces)):
        found: dict[object, list[_Course]] = {}
        for course in courses:
            for later in _next(course, pieces, stands, kinds):
                _keep(found.setdefault(_place(later, kinds), []), later, kinds)
        kept = [course for some in found.values() for course in some]
        best = sorted(kept, key=lambda course: _promise(course, pieces))[:WIDTH]
        # Of equal ones the first found is kept: so that is the one that goes by the turn.
        courses = sorted(best, key=lambda course: course.order)
    if not courses:
        return None
    best_one = min(courses, key=lambda course: _promise(course, pieces))
    return _dressed_sooner(pieces, stands, best_one)


def _dressed_sooner(pieces: Sequence[StagesAhead], stands: int, course: _Course) -> tuple[int, ...]:
    """An order with what is dry finished before a later piece is loaded, where it ends no later."""
    for n, piece in enumerate(pieces):
        if not piece.stages or piece.stages[-1][0] != "finish":
            continue
        end = len(course.order) - 1 - course.order[::-1].index(n)
        for at in range(end):
            if not _is_load_after(pieces, course, at, n):
                continue
            order = (*course.order[:at], n, *course.order[at:end], *course.order[end + 1 :])
            moved = _course_of(pieces, stands, order)
            if moved is None or moved.clock_s > course.clock_s + 10**-DIGITS:
                continue
            if moved.starts[at] <= course.starts[at] + 10**-DIGITS:
                course = moved
                break
    return course.order


def _is_load_after(pieces: Sequence[StagesAhead], course: _Course, at: int, n: int) -> bool:
    """Whether a step of a course is the loading of a piece later in turn."""
    later = course.order[at]
    first = later not in course.order[:at]
    return later > n and first and pieces[later].stages[0][0] == "load" and n in course.order[:at]


def starts_of(
    pieces: Sequence[StagesAhead], stands: int, order: Sequence[int], slow: float
) -> tuple[tuple[float, ...], float] | None:
    """Lay an order out in time: when each stage starts, and when the last one ends.

    slow: so many times the median seconds every stage takes. None if no stand comes free.
    """
    course = _course_of(pieces, stands, order, slow)
    return None if course is None else (course.starts, course.clock_s)


def _course_of(
    pieces: Sequence[StagesAhead], stands: int, order: Sequence[int], slow: float = 1.0
) -> _Course | None:
    course: _Course | None = _beginning(pieces)
    for piece in order:
        course = course and _with(course, piece, pieces, stands, slow)
    return course


def _beginning(pieces: Sequence[StagesAhead]) -> _Course:
    free = tuple(0.0 if not p.on_stand else p.ready_s if p.braided else math.inf for p in pieces)
    return _Course(0.0, (0,) * len(pieces), free, tuple(p.ready_s for p in pieces), (), ())


def _with(
    course: _Course, n: int, pieces: Sequence[StagesAhead], stands: int, slow: float
) -> _Course | None:
    """Do the next stage of a piece as soon as it can be begun; None if no stand comes free."""
    piece = pieces[n]
    stage, seconds = piece.stages[course.done[n]]
    start, free, ready = course.clock_s, course.free_s[n], course.ready_s[n]
    if stage == "finish":
        start = max(start, ready)
    elif stage == "set_up" and free == 0.0:
        taken = sorted(f for f in course.free_s if f > start)
        if len(taken) >= stands:
            start = taken[len(taken) - stands]
        if start == math.inf:
            return None
        free = math.inf
    end = start + slow * seconds
    if stage == "braid" and not piece.cut_short:
        ready = free = end + piece.dry_s
    return _Course(
        end,
        _put(course.done, n, course.done[n] + 1),
        _put(course.free_s, n, free),
        _put(course.ready_s, n, ready),
        (*course.order, n),
        (*course.starts, start),
    )


def _put(values: tuple[T, ...], n: int, value: T) -> tuple[T, ...]:
    return (*values[:n], value, *values[n + 1 :])


def _next(
    course: _Course, pieces: Sequence[StagesAhead], stands: int, kinds: Sequence[int]
) -> Iterator[_Course]:
    seen, earlier = set(), set[HandsOn]()
    for n, piece in enumerate(pieces):
        left = [stage for stage, _ in piece.stages[course.done[n] :]]
        alike = (kinds[n], course.done[n], course.free_s[n], course.ready_s[n])
        if left and left[0] not in earlier and alike not in seen:
            seen.add(alike)
            later = _with(course, n, pieces, stands, 1.0)
            if later is not None:
                yield later
        dry = left == ["finish"] and course.ready_s[n] <= course.clock_s
        earlier.update(stage for stage in left if stage != "finish" or dry)
        if left == ["finish"] and piece.braided and piece.ready_s <= 0.0:
            earlier.add("load")


def _kinds(pieces: Sequence[StagesAhead]) -> list[int]:
    """Number the pieces by what there is to do on them."""
    numbers: dict[object, int] = {}
    return [numbers.setdefault(replace(p, name=""), len(numbers)) for p in pieces]


def _place(course: _Course, kinds: Sequence[int]) -> object:
    """What of a course has to be alike for one to be better than another: what is done."""
    return tuple(sorted(zip(kinds, course.done, strict=True)))


def _keep(known: list[_Course], course: _Course, kinds: Sequence[int]) -> None:
    """Keep a course unless one with as much done is nowhere later; then drop those it beats."""
    times = _times(course, kinds)
    before = [(k, _times(k, kinds)) for k in known]
    if not any(all(a <= b for a, b in zip(t, times, strict=True)) for _, t in before):
        beaten = [all(a <= b for a, b in zip(times, t, strict=True)) for _, t in before]
        known[:] = [k for k, lost in zip(known, beaten, strict=True) if not lost]
        known.append(course)


def _times(course: _Course, kinds: Sequence[int]) -> tuple[float, ...]:
    """Its clock, and when the pieces are dry and off their stands, alike pieces in one order."""
    now = round(course.clock_s, DIGITS)
    pieces = sorted(
        (kind, done, max(now, round(ready, DIGITS)), max(now, round(free, DIGITS)))
        for kind, done, ready, free in zip(
            kinds, course.done, course.ready_s, course.free_s, strict=True
        )
    )
    return (now, *(time for _, _, *times in pieces for time in times))


def _promise(course: _Course, pieces: Sequence[StagesAhead]) -> tuple[float, float]:
    """When it can be done at the earliest; and when its pieces are dry at the earliest, summed."""
    work, ends, dry = 0.0, [course.clock_s], 0.0
    for piece, done, ready in zip(pieces, course.done, course.ready_s, strict=True):
        left = piece.stages[done:]
        if not left:
            continue
        rest = sum(seconds for _, seconds in left)
        work += rest
        finish = left[-1][1] if left[-1][0] == "finish" else 0.0
        if any(stage == "braid" for stage, _ in left):
            ready = course.clock_s + rest - finish + (piece.dry_s if finish else 0.0)
        dry += ready
        ends.append(max(ready, course.clock_s) + finish)
    return round(max(course.clock_s + work, *ends), DIGITS), round(dry, DIGITS)
