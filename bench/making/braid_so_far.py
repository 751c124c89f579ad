"""One piece as it stands: its plan with every change of a load, its marks, how far it has come."""

from __future__ import annotations

from bench.craft.mark import Mark
from bench.craft.marks import moved
from bench.craft.plan import Plan, PlannedCross
from bench.craft.stages import STAGES, Stage
from bench.craft.text import Fault
from bench.journal.errors import Damaged
from bench.journal.frozen import thaw
from bench.journal.payloads import PieceStarted
from bench.journal.piece_state import PieceState
from bench.journal.piece_times import braid_sum
from bench.journal.presses import Presses
from bench.journal.slip_payloads import LoadChanged
from bench.journal.store import Journal
from bench.pace.gaps import StageSum


class BraidSoFar:
    """A piece out of the journal, what is not saved yet included."""

    def __init__(self, journal: Journal, piece: str) -> None:
        """Take up a piece.

        Raises KeyError if the journal does not know how it began, Damaged if its plan cannot be
        read.
        """
        started = journal.started(piece)
        if started is None:
            raise KeyError(piece)
        self.journal = journal
        self.piece = piece
        self.started = started
        frozen = thaw(started)
        self.pattern, self.structure = frozen.pattern, frozen.structure
        self._first_plan, self._first_marks = frozen.plan, frozen.marks
        self._plan: tuple[tuple[LoadChanged, ...], Plan] = ((), frozen.plan)
        self._marks = frozen.marks
        try:
            self._change_loads()
            for restore in self.state.restores:
                frozen.plan.with_load(restore.strand, restore.cross, restore.remaining)
        except Fault as error:
            raise Damaged("The plan of this piece cannot be read from the journal.") from error

    @property
    def state(self) -> PieceState:
        """The piece's state, what is not saved yet included."""
        return self.journal.state(self.piece)

    @property
    def plan(self) -> Plan:
        """The plan as it is now: the frozen one with every change of a load since."""
        self._change_loads()
        return self._plan[1]

    def _change_loads(self) -> None:
        changes = self.state.load_changes
        if self._plan[0] != changes:
            plan = self._first_plan
            for change in changes:
                plan = plan.with_load(change.strand, change.cross, change.remaining)
            self._plan = (changes, plan)
            self._marks = moved(self._first_marks, self._first_plan, plan)

    @property
    def marks(self) -> tuple[Mark, ...]:
        """What is to be done on the way, in order, as the plan is now."""
        self._change_loads()
        return self._marks

    @property
    def made(self) -> int:
        """Crosses made."""
        return self.state.made

    @property
    def next_step(self) -> PlannedCross | None:
        """The cross to make now; None when all are made."""
        return self.plan.step(self.made + 1) if self.made < self.plan.crosses else None

    @property
    def last_step(self) -> PlannedCross | None:
        """The cross made last; None at the start."""
        return self.plan.step(self.made) if 0 < self.made <= self.plan.crosses else None

    @property
    def mark_due(self) -> Mark | None:
        """The mark to do before the next cross, if any."""
        return next(iter(self.marks_due), None)

    @property
    def marks_due(self) -> tuple[Mark, ...]:
        """The marks to do before the next cross, in order; none while crosses are taken back.

        Of halts that were passed by without counting, the last one does the work of all.
        """
        state = self.state
        if state.back:
            return ()
        done = {mark.mark for mark in state.marks_done}
        passed = [mark for mark in self.marks if mark.after_cross <= state.made]
        return tuple(
            mark
            for number, mark in enumerate(passed, 1)
            if mark.id not in done and not any(map(mark.is_within, passed[number:]))
        )

    @property
    def next_mark(self) -> Mark | None:
        """The first mark that is still to come after the crosses made."""
        return self.mark_after(self.made)

    def mark_after(self, made: int) -> Mark | None:
        """The first mark that is still to come once so many crosses are made."""
        return next((mark for mark in self.marks if mark.after_cross > made), None)

    @property
    def stages(self) -> tuple[Stage, ...]:
        """The stages of this piece in order; without drying if nothing dries."""
        dries = self.pattern.finish.dry_minutes > 0
        loads = any(self.plan.loads)
        return tuple(s for s in STAGES if (s != "dry" or dries) and (s != "load" or loads))

    @property
    def next_stage(self) -> Stage | None:
        """The stage after the present one, or after those that are done; None after the last."""
        state = self.state
        passed = [STAGES.index(s) for s in (*state.stages_done, state.stage) if s is not None]
        return next((s for s in self.stages if STAGES.index(s) > max(passed, default=-1)), None)

    def braid_times(self) -> StageSum:
        """The seconds of the braid stage so far: hands-on, rework and breaks apart."""
        return braid_sum(self.journal.timed(self.piece).presses or Presses())

    def begun_since_sign_off(self) -> PieceState | None:
        """The first piece of this variant that was begun after this one was signed off."""
        signed = self.state.signed_off
        variant = self.started.pattern_name, self.started.size, self.started.colourway
        for event, begun in self.journal.each(PieceStarted):
            same = (begun.pattern_name, begun.size, begun.colourway) == variant
            if same and signed is not None and event.instant.wall > signed.wall:
                return self.journal.state(event.piece)
        return None
