"""Stringing: the strung thread, hung on the stand, gives the beads of the plan in order."""

from __future__ import annotations

from collections import deque

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bench.craft.pattern import Bead, Pattern, Threads
from bench.craft.plan import Plan
from bench.craft.stringing import StrungThread, folded, picture, string_up
from bench.craft.structure import Structure
from bench.documents.folders import Entry
from bench.documents.library import Library

WAYS = ("each half from its own end", "both halves from one end", "from the braid end")
LETTERS = "abc"
PAIRS = ((1, 6), (2, 5), (3, 8), (4, 7))


@pytest.fixture(scope="module")
def kongo() -> Structure:
    """The clockwise eight-strand kongo."""
    return Library().structure("kongo-8")


def plan_of(
    kongo: Structure, loads: dict[str, str], way: str, pairs: tuple[tuple[int, int], ...] = PAIRS
) -> Plan:
    """A plan of the given loads and way of stringing."""
    pattern = Pattern(
        format=1,
        title="Gully",
        structure="kongo-8",
        threads=Threads.model_validate(
            {"double_lengths": pairs, "strung": way, "diameter_mm": 0.13}
        ),
        beads={letter: Bead(size="11/0") for letter in LETTERS},
        loads=loads,
    )
    return Plan(pattern, kongo)


def hang_up(thread: StrungThread, way: str) -> dict[int, deque[str]]:
    """String a thread bead by bead as a maker would; return what each strand holds.

    The thread is a row of beads; position by position it is threaded, pushed against the clip and
    at last hung on the stand, where each strand's queue begins at the braid. Nothing here knows
    of orders of release: only where the needle and the clip sit.
    """
    held: dict[int, deque[str]] = {}
    if way == "both halves from one end" and thread.double:
        far, near = thread.halves
        line: list[str] = []  # from the clip at the far free end towards the needle
        for bead in far.beads + near.beads:
            line.append(bead)
        middle = len(far.beads)
        held[far.strand] = deque(reversed(line[:middle]))
        held[near.strand] = deque(line[middle:])
        return held
    for half in thread.halves:
        line = []
        for bead in half.beads:
            line.append(bead)  # the first one lies against the clip
        at_free_end = way == "from the braid end"
        held[half.strand] = deque(reversed(line)) if at_free_end else deque(line)
    return held


loads = st.lists(
    st.lists(st.sampled_from(LETTERS), min_size=1, max_size=9).map("".join),
    min_size=8,
    max_size=8,
)
pairings = st.permutations(range(1, 9)).flatmap(
    lambda order: st.integers(0, 4).map(
        lambda doubles: tuple((order[2 * i], order[2 * i + 1]) for i in range(doubles))
    )
)


@settings(max_examples=120)
@given(loads=loads, pairs=pairings, way=st.sampled_from(WAYS))
def test_the_strung_thread_braids_the_plan(
    kongo: Structure, loads: list[str], pairs: tuple[tuple[int, int], ...], way: str
) -> None:
    """Hung on the stand, the threads release exactly the beads of every cross, none left over."""
    texts = {str(s): " ".join(load) for s, load in enumerate(loads, 1)}
    plan = plan_of(kongo, texts, way, pairs)
    threads = string_up(plan)
    held: dict[int, deque[str]] = {}
    for thread in threads:
        held |= hang_up(thread, way)
    assert sorted(held) == list(range(1, 9))
    for step in plan:
        for move in step.carried:
            if step.row is None:
                assert move.bead is None
                continue
            queue = held[move.strand]
            assert (queue.popleft() if queue else None) == move.bead
    assert not any(held.values())


@pytest.mark.parametrize("entry", Library().patterns(), ids=lambda entry: entry.name)
def test_shipped_patterns_are_strung_as_they_braid(entry: Entry) -> None:
    """Every shipped pattern's sheet gives the beads that its crosses bring in."""
    library = Library()
    plan = library.plan(entry.path)
    held: dict[int, deque[str]] = {}
    for thread in string_up(plan):
        held |= hang_up(thread, plan.pattern.threads.strung)
    for step in plan:
        for move in step.carried:
            if move.bead is not None:
                assert held[move.strand].popleft() == move.bead
    assert not any(held.values())


def test_the_far_half_goes_on_in_reverse(kongo: Structure) -> None:
    """From one end over the middle, the far half begins with what goes into the braid last."""
    plan = plan_of(kongo, {"all": "3a 2b 1c"}, WAYS[1])
    far, near = string_up(plan)[0].halves
    assert (far.strand, far.side, near.side) == (1, "far", "near")
    assert [(g.bead, g.count, g.on) for g in far.string] == [("c", 1, 1), ("b", 2, 3), ("a", 3, 6)]
    assert [(g.bead, g.count, g.on) for g in near.string] == [("a", 3, 3), ("b", 2, 5), ("c", 1, 6)]
    assert far.release == near.string


def test_single_strands_follow_the_double_lengths(kongo: Structure) -> None:
    """Strands that no double length names are threads of their own, in order."""
    plan = plan_of(kongo, {"all": "2a"}, WAYS[0], ((2, 5),))
    threads = string_up(plan)
    assert [t.strands for t in threads] == [(2, 5), (1,), (3,), (4,), (6,), (7,), (8,)]
    assert threads[1].clip == "at the braid end"


def test_an_empty_load_leaves_an_empty_half(kongo: Structure) -> None:
    """A strand without beads is shown as such and does not break the sheet."""
    plan = plan_of(kongo, {"1": "2a"}, WAYS[0])
    first, second = string_up(plan)[0].halves
    assert (first.total, second.total, second.string) == (2, 0, ())
    assert "(none)" in picture(string_up(plan)[0])


@pytest.mark.parametrize(
    ("way", "drawn"),
    [
        (WAYS[0], "<---=1c=2b=3a=|=3a=2b=1c=--->"),
        (WAYS[1], "|=1c=2b=3a=-middle-=3a=2b=1c=--->"),
        (WAYS[2], "|=1c=2b=3a=<  middle  >=3a=2b=1c=|"),
    ],
)
def test_the_picture_shows_clip_and_needle(kongo: Structure, way: str, drawn: str) -> None:
    """The same beads lie on the thread in every way; only clips and needles differ."""
    assert picture(string_up(plan_of(kongo, {"all": "3a 2b 1c"}, way))[0]) == drawn


@settings(max_examples=100)
@given(
    load=st.lists(st.sampled_from(LETTERS), min_size=1, max_size=60).map("".join),
    width=st.integers(40, 78),
)
def test_the_picture_keeps_to_its_width(kongo: Structure, load: str, width: int) -> None:
    """However long the load, the drawn thread stays within the line."""
    for way in WAYS:
        thread = string_up(plan_of(kongo, {"all": " ".join(load)}, way))[0]
        assert len(picture(thread, width)) <= width


@settings(max_examples=100)
@given(load=st.lists(st.sampled_from(LETTERS), min_size=1, max_size=60).map("".join))
def test_folding_keeps_every_bead(kongo: Structure, load: str) -> None:
    """The folded text of a half is a load that reads back as the same beads."""
    half = string_up(plan_of(kongo, {"all": " ".join(load)}, WAYS[0]))[0].halves[0]
    again = plan_of(kongo, {"all": folded(half.string)}, WAYS[0])
    assert again.loads[0] == load


def test_repeats_are_folded(kongo: Structure) -> None:
    """A repeating load stays one short line."""
    half = string_up(plan_of(kongo, {"all": "4a 20(3b 2c) 1a"}, WAYS[0]))[0].halves[0]
    assert folded(half.string) == "4a 20(3b 2c) 1a"
