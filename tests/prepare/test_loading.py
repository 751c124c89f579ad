"""Guided loading: group by group, left and taken up, proved, one set or several."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bench.journal.events import Entry, check_payload, whole_share
from bench.journal.state import PieceState
from bench.library import Library
from bench.loading import MOST_SETS, Batch, Loading, end_tag, next_set, tags_of
from bench.settings import Settings
from bench.workup import Workup, work_up

LIBRARY = Library(Path("nowhere"))
SETTINGS = Settings()
DROP = work_up(LIBRARY, SETTINGS, "silver-eaves")
ROPE = work_up(LIBRARY, SETTINGS, "stair-rope")


def loading_of(made: Workup, state: PieceState | None = None) -> Loading:
    """The loading of a pattern, from the start or from a state."""
    return Loading.of(made, SETTINGS, state)


def load_all(loading: Loading) -> list[str]:
    """Load to the end, finding everything right; return what was done, in order."""
    done = []
    while loading.moment != "done":
        if loading.moment == "string":
            now = loading.next
            assert now is not None
            strand, held = loading.put_on()
            assert held == now.on
            done.append(f"{strand}:{now.count}{now.bead}")
        else:
            done.append("prove " + " ".join(str(s) for s in loading.prove(right=True)))
        assert len(done) < 2000
    return done


def test_a_drop_is_loaded_half_by_half_and_proved_by_thread() -> None:
    """Seven groups on each half of a thread, then both halves side by side; four threads."""
    done = load_all(loading_of(DROP))
    first = ["3a", "3b", "3c", "3d", "2c", "1b", "1a"]
    assert done[:7] == [f"1:{group}" for group in first]
    assert done[7:14] == [f"6:{group}" for group in first]
    assert done[14] == "prove 1 6"
    assert [step for step in done if step.startswith("prove")] == [
        "prove 1 6", "prove 2 5", "prove 3 8", "prove 4 7",
    ]  # fmt: skip


def test_a_rope_is_proved_strand_by_strand() -> None:
    """A single strand is measured as soon as it is full."""
    done = load_all(loading_of(ROPE))
    assert done[:4] == ["1:4g", "1:246h", "1:4g", "prove 1"]
    assert done.count("prove 8") == 1


def test_what_comes_next_and_where_the_end_goes() -> None:
    """The group in hand, the one after it, and both ends in words."""
    loading = loading_of(DROP)
    loading.put_on()
    now, then = loading.next, loading.then
    assert now is not None
    assert then is not None
    assert (now.bead, now.count, now.on) == ("b", 3, 6)
    assert (then.bead, then.count, then.on) == ("c", 3, 9)
    assert loading.goes_to(DROP.structure.places) == (
        "this end goes to top, left of the two; its other end to bottom, left of the two"
    )


def test_a_wrong_half_stays_to_be_proved() -> None:
    """Found wrong, the thread waits; a group taken off is strung again before it is proved."""
    loading = loading_of(DROP)
    for _ in range(14):
        loading.put_on()
    assert loading.prove(right=False) == (1, 6)
    assert {half.strand for half in loading.to_prove} == {1, 6}
    assert loading.take_off(1) == (1, 15)
    assert loading.to_prove == ()
    assert loading.put_on() == (1, 16)
    assert loading.prove(right=True) == (1, 6)
    assert loading.threads_done == 1


def test_nothing_goes_on_a_full_half_and_nothing_off_an_empty_one() -> None:
    """The last group off leaves nothing; a full half takes no more."""
    loading = loading_of(ROPE)
    assert loading.take_off() is None
    for _ in range(3):
        loading.put_on()
    with pytest.raises(ValueError, match="full"):
        loading.put_on()


@settings(max_examples=60, deadline=None)
@given(presses=st.lists(st.sampled_from(["on", "on", "on", "off", "right", "wrong"]), max_size=60))
def test_it_is_taken_up_where_it_was_left(presses: list[str]) -> None:
    """From the counts and proofs in the journal alone, the same group comes next."""
    loading = loading_of(DROP)
    counts: dict[int, int] = {}
    proved: set[int] = set()
    for press in presses:
        if press == "on" and loading.moment == "string":
            strand, held = loading.put_on()
            counts[strand] = held
        elif press == "off":
            off = loading.take_off()
            if off is not None:
                counts[off[0]] = off[1]
                proved.discard(off[0])
        elif press in {"right", "wrong"} and loading.moment == "prove":
            strands = loading.prove(right=press == "right")
            proved = proved | set(strands) if press == "right" else proved - set(strands)
    state = PieceState("p", loaded=tuple(sorted(counts.items())), proved=tuple(sorted(proved)))
    again = loading_of(DROP, state)
    assert (again.moment, again.next, again.then) == (loading.moment, loading.next, loading.then)
    assert again.beads_on == loading.beads_on
    assert again.threads_done == loading.threads_done


def checked(entries: list[Entry]) -> list[Entry]:
    """Entries that the journal would take."""
    for entry in entries:
        check_payload(entry.kind, entry.payload)
        whole_share(entry.pieces)
    return entries


def test_a_batch_loads_set_after_set() -> None:
    """The pieces share the stage; beads, proofs and tags are each one piece's own."""
    batch = Batch([(f"p{i}", loading_of(DROP)) for i in range(3)], "Eaves")
    begun = checked(batch.begin(7))
    assert begun[0].kind == "stage_started"
    assert [piece for piece, _ in whole_share(begun[0].pieces)] == ["p0", "p1", "p2"]
    tags = [entry.payload["tag"] for entry in begun[1:]]
    assert tags == ["set 7, 1 of 3", "set 8, 2 of 3", "set 9, 3 of 3"]
    seen = []
    while not batch.done:
        moment = batch.at[1].moment
        made = batch.put_on() if moment == "string" else batch.prove(right=True)
        seen += [(entry.pieces, entry.kind) for entry in checked(made)]
    assert [p for p, _ in seen] == sorted(p for p, _ in seen if isinstance(p, str))
    assert sum(kind == "loaded" for _, kind in seen) == 3 * 56
    assert sum(kind == "proved" for _, kind in seen) == 3 * 8
    assert checked(batch.end())[0].kind == "stage_ended"


@pytest.mark.parametrize("sets", [0, MOST_SETS + 1])
def test_a_batch_has_some_sets_and_not_too_many(sets: int) -> None:
    """No set and far too many are refused."""
    with pytest.raises(ValueError, match="batch"):
        Batch([(f"p{i}", loading_of(DROP)) for i in range(sets)])


def test_tags_are_never_given_twice() -> None:
    """Sets go on from the highest tag in use; foreign tags do not matter."""
    assert tags_of(4, 1) == ["set 4"]
    assert tags_of(4, 2) == ["set 4, 1 of 2", "set 5, 2 of 2"]
    assert next_set([]) == 1
    assert next_set([None, "my own", *tags_of(4, 2)]) == 6
    thread = loading_of(DROP).threads[1]
    assert end_tag("set 4", "Eaves", thread, thread.halves[1]) == "set 4: Eaves, thread 2, end 5"
