"""Guided loading: group by group, left and taken up, proved, one set or several."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bench.craft.half_proof import prove_all
from bench.craft.pattern import Pattern
from bench.craft.plan import Plan
from bench.craft.stringing import string_up
from bench.documents.library import Library
from bench.documents.settings import Settings
from bench.journal.payloads import SetTagged
from bench.journal.piece_state import PieceState
from bench.journal.store import Journal
from bench.making.braid import Braid
from bench.making.loading import (
    MOST_SETS,
    Loading,
    end_tag,
    loading_of,
    next_set,
    set_tag,
    set_to_come,
    tag_first,
)
from bench.making.worked_pattern import WorkedPattern
from tests.support.clock import ManualClock
from tests.support.events import record

LIBRARY = Library(Path("nowhere"))
SETTINGS = Settings()
DROP = WorkedPattern.from_library(LIBRARY, SETTINGS, "silver-eaves")
ROPE = WorkedPattern.from_library(LIBRARY, SETTINGS, "stair-rope")


def loading(
    made: WorkedPattern, on: dict[int, int] | None = None, proved: Iterable[int] = ()
) -> Loading:
    """The loading of a pattern, from the start or from what is on and proved."""
    threads = string_up(made.plan)
    masses = made.masses
    provings = prove_all(threads, made.sizes, masses, SETTINGS.stand.scale_g)
    return Loading(threads, provings, on, set(proved))


@pytest.fixture
def start(tmp_path: Path) -> Iterator[Callable[[WorkedPattern], Braid]]:
    """Start pieces in a journal of their own, at their loading."""
    with Journal.open(tmp_path / "journal.db", write=True, clock=ManualClock()) as journal:
        yield lambda made: Braid.start(journal, made, stage="load", commission="eaves", lot="first")


def load_all(one: Loading) -> list[str]:
    """Load to the end, finding everything right; return what was done, in order."""
    done = []
    while one.task != "done":
        if one.task == "string":
            now = one.next
            assert now is not None
            strand, held = one.put_on()
            assert held == now.on
            done.append(f"{strand}:{now.count}{now.bead}")
        else:
            done.append("prove " + " ".join(str(s) for s in one.prove(right=True)))
        assert len(done) < 2000
    return done


def test_a_drop_is_loaded_half_by_half_and_proved_by_thread() -> None:
    """Seven groups on each half of a thread, then both halves side by side; four threads."""
    done = load_all(loading(DROP))
    first = ["3a", "3b", "3c", "3d", "2c", "1b", "1a"]
    assert done[:7] == [f"1:{group}" for group in first]
    assert done[7:14] == [f"6:{group}" for group in first]
    assert done[14] == "prove 1 6"
    assert [step for step in done if step.startswith("prove")] == [
        "prove 1 6", "prove 2 5", "prove 3 8", "prove 4 7",
    ]  # fmt: skip


def test_a_rope_is_proved_strand_by_strand() -> None:
    """A single strand is measured as soon as it is full."""
    done = load_all(loading(ROPE))
    assert done[:4] == ["1:4g", "1:246h", "1:4g", "prove 1"]
    assert done.count("prove 8") == 1


def test_what_comes_next() -> None:
    """The group in hand, and the one after it."""
    drop = loading(DROP)
    drop.put_on()
    now, then = drop.next, drop.then
    assert now is not None
    assert then is not None
    assert (now.bead, now.count, now.on) == ("b", 3, 6)
    assert (then.bead, then.count, then.on) == ("c", 3, 9)


def test_a_wrong_half_stays_to_be_proved() -> None:
    """Found wrong, the thread waits; a group taken off is strung again before it is proved."""
    drop = loading(DROP)
    for _ in range(14):
        drop.put_on()
    assert drop.prove(right=False) == (1, 6)
    assert {half.strand for half in drop.to_prove} == {1, 6}
    assert drop.take_off(1) == (1, 15)
    assert drop.to_prove == ()
    assert drop.put_on() == (1, 16)
    assert drop.prove(right=True) == (1, 6)
    assert [drop.thread_done(thread) for thread in drop.threads].count(True) == 1


def test_nothing_goes_on_a_full_half_and_nothing_off_an_empty_one() -> None:
    """The last group off leaves nothing; a full half takes no more."""
    rope = loading(ROPE)
    assert rope.take_off() is None
    for _ in range(3):
        rope.put_on()
    with pytest.raises(ValueError, match="full"):
        rope.put_on()


@settings(max_examples=30)
@given(presses=st.lists(st.sampled_from(["on", "on", "on", "off", "right", "wrong"]), max_size=60))
@pytest.mark.parametrize("made", [DROP, ROPE], ids=["drop", "rope"])
def test_it_is_taken_up_where_it_was_left(made: WorkedPattern, presses: list[str]) -> None:
    """From the events in the journal alone, the same group comes next, and the same is proved."""
    with (
        TemporaryDirectory() as folder,
        Journal.open(Path(folder) / "journal.db", write=True, clock=ManualClock()) as journal,
    ):
        braid = Braid.start(journal, made, stage="load")
        drop = loading_of(made, braid, SETTINGS)
        for press in presses:
            if press == "on" and drop.task == "string":
                strand, held = drop.put_on()
                record(braid, "loaded", {"strand": strand, "beads": held})
            elif press == "off":
                off = drop.take_off()
                if off is not None:
                    record(braid, "loaded", {"strand": off[0], "beads": off[1]})
            elif press in {"right", "wrong"} and drop.task == "prove":
                right = press == "right"
                for strand in drop.prove(right=right):
                    how = drop.proving[strand].how
                    record(braid, "proved", {"strand": strand, "how": how, "right": right})
        again = loading_of(made, braid, SETTINGS)
        assert (again.task, again.next, again.then) == (drop.task, drop.next, drop.then)
        assert again.beads_on == drop.beads_on
        assert all(again.thread_done(t) == drop.thread_done(t) for t in drop.threads)


def test_a_batch_is_loaded_set_after_set(start: Callable[[WorkedPattern], Braid]) -> None:
    """Each set is a piece with the same frozen pattern, lot and run, and has the next number."""
    first = start(DROP)
    assert tag_first(first, 3).label == "set 1, 1 of 3"
    first.lay_aside()
    second = next_set(first, 7)
    assert second.state.tag == "set 2, 2 of 3"
    assert (second.state.stage, second.state.title) == ("load", "first 7")
    assert (second.state.hash, second.state.lot) == (first.state.hash, first.state.lot)
    assert second.state.commission == "eaves"
    assert (first.state.stage, first.next_stage) == (None, "set_up")
    assert set_to_come(first) is None, "the second set is begun already"
    third = next_set(second, 8)
    with pytest.raises(ValueError, match="no further set"):
        next_set(third, 9)


def test_numbers_of_a_batch_stay_free_for_it(start: Callable[[WorkedPattern], Braid]) -> None:
    """A batch that is begun beside another one takes numbers above all of the other's sets."""
    first, other = start(DROP), start(DROP)
    tag_first(first, 4)
    assert tag_first(other, 1).label == "set 5"
    assert next_set(first, None).state.tag == "set 2, 2 of 4"


def test_a_tag_that_was_taken_back_uses_no_number_up(
    start: Callable[[WorkedPattern], Braid],
) -> None:
    """Who steps back to the number of sets, and begins again, begins with the same tag."""
    braid = start(DROP)
    assert tag_first(braid, 2).label == "set 1, 1 of 2"
    braid.untag_set()
    assert tag_first(braid, 3).label == "set 1, 1 of 3"
    assert tag_first(start(DROP), 1).label == "set 4"


@pytest.mark.parametrize("sets", [0, MOST_SETS + 1])
def test_a_batch_has_some_sets_and_not_too_many(
    start: Callable[[WorkedPattern], Braid], sets: int
) -> None:
    """No set and far too many are refused, and nothing is tagged."""
    braid = start(DROP)
    with pytest.raises(ValueError, match="batch"):
        tag_first(braid, sets)
    assert braid.state.tag is None


def test_the_tag_of_an_end() -> None:
    """It names set, thread and strand."""
    thread = loading(DROP).threads[1]
    state = PieceState("p", pattern_title="Cistern", batch=SetTagged(4, 2, 3))
    assert end_tag(state, thread, thread.halves[1]) == "set 4, thread 2, place 5"
    assert set_tag(state) == "set 4, Cistern"
    assert end_tag(PieceState("p"), thread, thread.halves[1]) == "this set, thread 2, place 5"


def test_the_far_half_comes_off_only_after_the_near_one() -> None:
    """Both halves strung from one end: the far half's beads cannot pass the near half's."""
    data = DROP.pattern.model_dump()
    data["threads"]["strung"] = "both halves from one end"
    pattern = Pattern.model_validate(data)
    made = dataclasses.replace(DROP, plan=Plan(pattern, DROP.structure))
    drop = loading(made, {1: 16, 6: 3})
    far, near = drop.threads[0].halves
    assert (far.side, near.side) == ("far", "near")
    assert drop.lies_behind(far)
    assert drop.take_off(far.strand) is None
    assert drop.take_off(near.strand) == (near.strand, 0)
    assert not drop.lies_behind(far)
    off = drop.take_off(far.strand)
    assert off is not None
    assert off[1] < 16
