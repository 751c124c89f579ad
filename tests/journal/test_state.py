from __future__ import annotations

from collections.abc import Mapping

from hypothesis import given
from hypothesis import strategies as st

from bench.journal.clock import Instant
from bench.journal.events import Event, payload_of
from bench.journal.payload_base import JSON
from bench.journal.payloads import Loaded, MarkDone
from bench.journal.piece_state import PieceState
from bench.journal.slip_payloads import SewIn
from bench.journal.state import apply, blank_state, replay

Step = tuple[str, dict[str, JSON]]


def event(number: int, kind: str, payload: Mapping[str, JSON], version: int = 1) -> Event:
    """Return an event of piece p, one second after the one before."""
    moment = Instant(1000.0 + number, 0, "boot", float(number))
    return Event(
        uuid=f"e{number}",
        bench="b",
        number=number,
        after=(f"e{number - 1}" if number else None,),
        sitting="s",
        pieces=(("p", 1.0),),
        lot=None,
        instant=moment,
        kind=kind,
        version=version,
        payload=payload_of(kind, version, payload),
    )


def told(*steps: Step) -> PieceState:
    """Return the state of piece p after these steps."""
    return replay("p", [event(n, kind, payload) for n, (kind, payload) in enumerate(steps)])


def crossed(start: int, end: int) -> Step:
    """Return crosses made from one count to another."""
    return "crossed", {"from": start, "to": end}


def test_the_count_follows_the_hands() -> None:
    """Crosses, taking back and setting the place leave the count where they say."""
    assert told(crossed(0, 1), crossed(1, 5)).made == 5
    back = told(crossed(0, 5), ("taken_back", {"from": 5, "to": 3}))
    assert (back.made, back.back) == (3, True)
    forward = told(crossed(0, 5), ("taken_back", {"from": 5, "to": 3}), crossed(3, 4))
    assert (forward.made, forward.back) == (4, False)
    assert told(crossed(0, 5), ("place_set", {"from": 5, "to": 9})).made == 9


def test_a_mark_is_due_again_once_its_cross_is_taken_back() -> None:
    """Taking back below a mark's cross makes the mark due; setting the place does not."""
    done: list[Step] = [
        ("mark_done", {"cross": 0, "mark": "hook"}),
        crossed(0, 16),
        ("mark_done", {"cross": 16, "mark": "core"}),
        ("mark_done", {"cross": 16, "mark": "core"}),
    ]
    assert told(*done).marks_done == (MarkDone(0, "hook"), MarkDone(16, "core"))
    kept = told(*done, crossed(16, 18), ("taken_back", {"from": 18, "to": 16}))
    assert kept.marks_done == (MarkDone(0, "hook"), MarkDone(16, "core"))
    due = told(*done, ("taken_back", {"from": 16, "to": 15}))
    assert due.marks_done == (MarkDone(0, "hook"),)
    assert told(*done, ("place_set", {"from": 16, "to": 3})).marks_done == told(*done).marks_done


def test_stages_begin_end_and_begin_again() -> None:
    """A stage that is begun anew is no longer done."""
    load: list[Step] = [("stage_started", {"stage": "load"}), ("stage_ended", {"stage": "load"})]
    done = told(*load, ("stage_started", {"stage": "braid"}))
    assert (done.stage, done.stages_done) == ("braid", ("load",))
    again = told(*load, ("stage_started", {"stage": "load"}))
    assert (again.stage, again.stages_done) == ("load", ())


def test_sewing_in_is_open_until_it_is_done() -> None:
    """A bead to be sewn in stays on the list until that one is done."""
    opened: list[Step] = [
        ("sew_in", {"strand": 5, "cross": 23, "bead": "b"}),
        ("sew_in", {"strand": 2, "cross": 25, "bead": "a"}),
    ]
    done: Step = ("sew_in_done", {"strand": 5, "cross": 23})
    assert told(*opened).sew_ins == (SewIn(5, 23, "b"), SewIn(2, 25, "a"))
    assert told(*opened, done).sew_ins == (SewIn(2, 25, "a"),)


def test_loading_and_proof() -> None:
    """The last count of a strand holds; a proof that went wrong takes an earlier one away."""
    state = told(
        ("loaded", {"strand": 2, "beads": 7}),
        ("loaded", {"strand": 1, "beads": 16}),
        ("loaded", {"strand": 2, "beads": 16}),
        ("proved", {"strand": 1, "how": "count", "right": True}),
        ("proved", {"strand": 2, "how": "weight", "right": True}),
        ("proved", {"strand": 1, "how": "count", "right": False}),
        ("set_tagged", {"number": 3, "place": 2, "sets": 4}),
    )
    assert state.loaded == (Loaded(1, 16), Loaded(2, 16))
    assert state.proved == (2,)
    assert state.tag == "set 3, 2 of 4"


def test_a_piece_ends_and_can_be_taken_up_again() -> None:
    """Finished, second, given up and reopened are the states that a piece can be in."""
    assert told(("finished", {"quality": "good"})).status == "good"
    assert told(("finished", {"quality": "second", "reason": "gap"})).status == "second"
    given_up = told(("given_up", {"reason": "thread broke"}))
    assert (given_up.status, given_up.open) == ("given up", False)
    assert told(("given_up", {"reason": "x"}), ("reopened", {})).open
    handed = told(
        ("finished", {"quality": "good"}),
        ("packed", {"tray": "A"}),
        ("delivered", {"day": "2027-03-01"}),
        ("reopened", {}),
    )
    assert (handed.open, handed.tray, handed.delivered) == (True, "", None)


def test_what_a_newer_program_wrote_is_counted_and_changes_nothing() -> None:
    """Unknown kinds, and later versions of known ones, leave the piece as it stood."""
    before = told(crossed(0, 4))
    for odd in (event(1, "sung", {"song": 1}), event(1, "crossed", {"by": 2}, version=2)):
        after = apply(before, odd)
        assert after.made == 4
        assert after.events == 2
        assert after.last_event == "e1"


def test_times_of_the_first_and_last_event() -> None:
    """A state tells when the piece was begun, and what came last and when."""
    state = told(crossed(0, 1), crossed(1, 2), ("paused", {}))
    assert (state.started_wall, state.last_wall) == (1000.0, 1002.0)
    assert state.paused
    assert state.events == 3


COUNTS = st.integers(0, 99)
STEPS = st.one_of(
    st.builds(lambda a, b: ("crossed", {"from": a, "to": a + 1 + b}), COUNTS, COUNTS),
    st.builds(lambda a, b: ("taken_back", {"from": a + 1 + b, "to": a}), COUNTS, COUNTS),
    st.builds(lambda a, m: ("mark_done", {"cross": a, "mark": m}), COUNTS, st.text(max_size=3)),
    st.builds(
        lambda s, c, r: ("load_changed", {"strand": s, "cross": c, "remaining": r}),
        st.integers(1, 8),
        COUNTS,
        st.text("ab-", max_size=4),
    ),
    st.builds(lambda s, b: ("loaded", {"strand": s, "beads": b}), st.integers(1, 8), COUNTS),
    st.builds(lambda n: ("set_tagged", {"number": n + 1, "sets": n + 1}), COUNTS),
    st.just(("stage_started", {"stage": "braid"})),
    st.just(("given_up", {"reason": ""})),
)


@given(st.lists(STEPS, max_size=20))
def test_a_state_survives_its_json(steps: list[Step]) -> None:
    """A state written as JSON and read back is the same state."""
    state = told(*steps)
    assert PieceState.from_json(state.to_json()) == state


def test_a_state_does_not_grow_with_its_crosses() -> None:
    """Ten thousand crosses make a checkpoint no longer than a few crosses do, but for digits."""
    few = told(*(crossed(n, n + 1) for n in range(10)))
    many = told(*(crossed(n, n + 1) for n in range(10_000)))
    assert len(many.to_json()) <= len(few.to_json()) + 20


def test_a_piece_without_its_beginning_has_a_name() -> None:
    """What stands on a list of it is no blank."""
    assert blank_state("p").name == "Unnamed piece"
