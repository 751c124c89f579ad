from __future__ import annotations

import dataclasses
import tempfile
from pathlib import Path

import pytest
from hypothesis import settings as hypothesis_settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule

from bench.craft.stand import Stand
from bench.documents.library import Library
from bench.documents.settings import Settings
from bench.journal.errors import Damaged
from bench.journal.store import Journal
from bench.making.braid import Braid, unfinished
from bench.making.braid_written import NotNow
from bench.making.worked_pattern import WorkedPattern
from tests.support.clock import ManualClock
from tests.support.events import record

_LIBRARY = Library(Path("/nonexistent"))


def made_up(name: str = "cistern") -> WorkedPattern:
    """Work a shipped pattern up."""
    return WorkedPattern.from_library(_LIBRARY, Settings(), name)


@pytest.fixture
def clock() -> ManualClock:
    """A clock that the test moves."""
    return ManualClock()


@pytest.fixture
def journal(tmp_path: Path, clock: ManualClock) -> Journal:
    """A journal on the test's clock."""
    return Journal.open(tmp_path / "journal.db", write=True, clock=clock)


def make_all(braid: Braid, clock: ManualClock, seconds: float = 20.0) -> None:
    """Make every cross and mark that is left."""
    while True:
        clock.advance(seconds)
        if braid.mark_due is not None:
            braid.mark_done()
        elif braid.next_step is not None:
            braid.cross()
        else:
            return


def test_a_piece_keeps_the_plan_that_it_was_started_with(journal: Journal) -> None:
    """Structure, loads and marks come from the journal, not from the files of today."""
    made = made_up()
    braid = Braid.start(journal, made)
    again = Braid(journal, braid.piece)
    assert again.plan.loads == made.plan.loads
    assert again.marks == made.marks
    assert [step.call for step in again.plan] == [step.call for step in made.plan]


def test_a_mark_stands_in_the_way_until_it_is_done(journal: Journal, clock: ManualClock) -> None:
    """With a mark due no cross is counted, and taking back past a done mark makes it due again."""
    braid = Braid.start(journal, made_up())
    braid.set_place(12)
    with pytest.raises(NotNow, match="Core down"):
        braid.cross()
    assert braid.mark_done().id == "core-down"
    braid.cross()
    braid.take_back()
    braid.take_back()
    assert braid.mark_due is None
    braid.cross()
    assert braid.mark_due is not None


def test_halts_that_were_passed_by_are_done_at_once(journal: Journal) -> None:
    """Who braided on without counting lets out and hangs anew once; a change of weight stays."""
    braid = Braid.start(journal, made_up("stair-rope"))
    braid.set_place(540)
    asked = []
    while braid.mark_due is not None:
        asked.append(braid.mark_done())
    assert [mark.do for mark in asked] == ["Let out, hang anew"] * 2
    assert any("Take out" in step for step in asked[0].steps)
    assert asked[1].after_cross == 512
    assert braid.cross() == 541


def test_all_crosses_then_no_more(journal: Journal, clock: ManualClock) -> None:
    """A piece ends with its last cross; a further press is refused."""
    braid = Braid.start(journal, made_up())
    make_all(braid, clock)
    assert braid.made == braid.plan.crosses
    with pytest.raises(NotNow, match="All crosses"):
        braid.cross()


def test_taking_back_is_rework_and_setting_the_place_is_not(
    journal: Journal, clock: ManualClock
) -> None:
    """Crosses taken back and made again are counted apart; a count that is set costs no rework."""
    braid = Braid.start(journal, made_up())
    for _ in range(6):
        clock.advance(20)
        braid.cross()
    before = braid.braid_times()
    assert (before.hands_on_s, before.rework_s) == (120, 0)
    clock.advance(20)
    braid.take_back()
    clock.advance(20)
    braid.cross()
    assert braid.braid_times().rework_s == 40
    clock.advance(20)
    braid.set_place(9)
    assert braid.braid_times().rework_s == 40


def test_a_break_and_a_sleep_are_no_work(journal: Journal, clock: ManualClock) -> None:
    """A long gap, a machine that slept and a clock set forward add no hands-on hours."""
    braid = Braid.start(journal, made_up())
    for gap in (20, 20, 20, 3000, 20, 20, 20, 20):
        clock.advance(gap)
        braid.cross()
    clock.sleep(8 * 3600)
    clock.advance(20)
    braid.cross()
    clock.set_wall(clock.now().wall + 365 * 86400)
    clock.advance(20)
    braid.cross()
    clock.set_wall(clock.now().wall - 2 * 86400)
    clock.advance(20)
    braid.cross()
    times = braid.braid_times()
    assert times.crosses == 11
    assert times.hands_on_s <= 11 * 25
    assert times.break_s > 2900


def test_the_wait_before_a_pause_is_no_work(journal: Journal, clock: ManualClock) -> None:
    """Four minutes away before the pause is pressed are a break; before a mark they are work."""
    braid = Braid.start(journal, made_up())
    for _ in range(8):
        clock.advance(20)
        braid.cross()
    before = braid.braid_times()
    clock.advance(240)
    braid.pause()
    after = braid.braid_times()
    assert after.hands_on_s == before.hands_on_s
    assert after.break_s - before.break_s == 240
    braid.resume()
    clock.advance(10)
    braid.pause()
    assert braid.braid_times().hands_on_s == after.hands_on_s + 10


def test_a_changed_load_changes_only_this_piece(journal: Journal) -> None:
    """A strand's remaining load can be changed mid-braid; other pieces keep theirs."""
    braid = Braid.start(journal, made_up())
    other = Braid.start(journal, made_up())
    braid.set_place(12)
    braid.mark_done()
    rest = braid.plan.remaining(3, 12)
    record(braid, "load_changed", {"strand": 3, "cross": 12, "remaining": "-" + rest})
    assert braid.plan.remaining(3, 12) == "-" + rest
    assert Braid(journal, braid.piece).plan.loads == braid.plan.loads
    assert other.plan.remaining(3, 12) == rest
    record(braid, "load_changed", {"strand": 3, "cross": 12, "remaining": "z"})
    with pytest.raises(Damaged, match="The plan of this piece cannot be read"):
        Braid(journal, braid.piece)


def test_the_stages_follow_each_other_to_the_end(journal: Journal, clock: ManualClock) -> None:
    """From loading to finishing each stage ends into the next; a finished piece is left alone."""
    braid = Braid.start(journal, made_up(), stage="load")
    seen = []
    while braid.state.stage is not None:
        seen.append(braid.state.stage)
        if braid.state.stage == "braid":
            make_all(braid, clock)
        braid.end_stage()
    assert tuple(seen) == braid.stages == ("load", "set_up", "braid", "dry", "finish")
    braid.finish("second")
    assert unfinished(journal) == []
    with pytest.raises(NotNow, match="finished"):
        braid.take_back()
    braid.reopen()
    assert [state.uuid for state in unfinished(journal)] == [braid.piece]


def test_a_row_at_a_press_stops_at_a_mark(journal: Journal) -> None:
    """Counting by rows never runs past a mark inside the row."""
    made = made_up()
    mark = dataclasses.replace(made.marks[0], after_cross=6, id="typed-1")
    braid = Braid.start(journal, dataclasses.replace(made, marks=(mark, *made.marks)))
    assert [braid.cross(per="row"), braid.cross(per="row")] == [4, 6]


class BraidAgainstList(RuleBasedStateMachine):
    """The braid against a plain number and a stand that is walked cross by cross."""

    @initialize(
        name=st.sampled_from(["cistern", "gutter-pearl", "stair-rope"]),
    )
    def start(self, name: str) -> None:
        self.folder = tempfile.TemporaryDirectory()
        self.clock = ManualClock()
        self.path = Path(self.folder.name) / "journal.db"
        self.journal = Journal.open(self.path, write=True, clock=self.clock)
        self.braid = Braid.start(self.journal, made_up(name))
        self.made = 0
        self.paused = False

    def teardown(self) -> None:
        if hasattr(self, "journal"):
            self.journal.close()
            self.folder.cleanup()

    @rule(seconds=st.floats(0.6, 400))
    def cross(self, seconds: float) -> None:
        self.clock.advance(seconds)
        if self.paused or self.braid.mark_due is not None or self.made == self.braid.plan.crosses:
            with pytest.raises(NotNow):
                self.braid.cross()
        else:
            self.made = self.braid.cross()

    @rule()
    def take_back(self) -> None:
        self.clock.advance(10)
        if self.paused or self.made == 0:
            with pytest.raises(NotNow):
                self.braid.take_back()
        else:
            self.made -= 1
            assert self.braid.take_back() == self.made

    @rule(part=st.floats(0, 1))
    def set_place(self, part: float) -> None:
        self.made = round(part * self.braid.plan.crosses)
        self.braid.set_place(self.made)

    @rule()
    def mark_done(self) -> None:
        if self.braid.mark_due is None:
            with pytest.raises(NotNow):
                self.braid.mark_done()
        else:
            self.braid.mark_done()

    @rule()
    def pause_or_go_on(self) -> None:
        if self.paused:
            self.braid.resume()
        else:
            self.braid.pause()
        self.paused = not self.paused

    @rule()
    def close_and_reopen(self) -> None:
        self.journal.close()
        self.journal = Journal.open(self.path, write=True, clock=self.clock)
        self.braid = Braid(self.journal, self.braid.piece)

    @precondition(lambda self: hasattr(self, "braid"))
    @invariant()
    def agrees(self) -> None:
        assert self.braid.made == self.made
        assert self.braid.state.paused == self.paused
        assert self.braid.unsaved == 0
        stand = Stand(self.braid.structure)
        for _ in range(self.made % self.braid.plan.period):
            stand.push()
        assert stand.at == self.braid.plan.arrangement(self.made)


BraidAgainstList.TestCase.settings = hypothesis_settings(max_examples=25, stateful_step_count=30)
TestBraidAgainstList = BraidAgainstList.TestCase


@pytest.mark.parametrize("more", [-4, 8])
def test_the_wire_comes_out_after_the_last_bead_also_where_that_moved(
    more: int, journal: Journal, clock: ManualClock
) -> None:
    """With loads that became shorter or longer, the last marks come due with the last bead.

    A mark that was done before stays done.
    """
    braid = Braid.start(journal, made_up())
    was = braid.plan.last_bead_cross
    assert [m.id for m in braid.marks if m.after_cross == was] == ["upper-clip-off", "wire-out"]
    for strand in range(1, 9):
        left = braid.plan.remaining(strand, 0)
        letters = left + "e" * (more // 4) if more > 0 else left[: more // 4]
        record(braid, "load_changed", {"strand": strand, "cross": 0, "remaining": letters})
    last = braid.plan.last_bead_cross
    assert last == was + more
    due = {}
    while braid.next_step is not None or braid.mark_due is not None:
        clock.advance(20)
        if braid.mark_due is not None:
            due[braid.mark_done().id] = braid.made
        else:
            braid.cross()
    assert due["wire-out"] == last
    assert due["upper-clip-off"] <= last
    assert due["core-down"] == next(m.after_cross for m in braid.marks if m.id == "core-down")
    record(braid, "load_changed", {"strand": 1, "cross": braid.made, "remaining": "ee"})
    assert braid.mark_due is None
