"""The braid in hand: a frozen plan, the count of its crosses, and the journal behind them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict
from typing import Any, Literal

from bench.craft.marks import Mark, moved
from bench.craft.pattern import Pattern, canonical
from bench.craft.plan import Plan, PlannedCross
from bench.craft.structure import Structure
from bench.journal.errors import Damaged, JournalError, NotSaved
from bench.journal.events import Entry, Event, fingerprint, new_id
from bench.journal.piece_clock import PieceClock
from bench.journal.state import PieceState
from bench.journal.store import Journal
from bench.making.worked_pattern import WorkedPattern
from bench.pace.gaps import StageSum

Changes = tuple[tuple[int, int, str], ...]
"""Loads that were changed: strand, crosses made then, what remained."""
Quality = Literal["good", "second"]
STAGES = ("load", "set_up", "braid", "dry", "finish")


class NotNow(Exception):  # noqa: N818
    """Something that cannot be done at this moment; the sentence says why."""


class Braid:
    """One piece in the making.

    Every change is an event in the journal before the method returns. Where it could not be
    saved, the change holds all the same: `unsaved` counts such events and `trouble` says why.
    The times come from the journal's clock.
    """

    def __init__(self, journal: Journal, piece: str) -> None:
        """Take up a piece.

        Raises KeyError if the journal does not know how it began, Damaged if its plan cannot be
        read.
        """
        first = journal.first(piece)
        if first is None:
            raise KeyError(piece)
        self.journal = journal
        self.piece = piece
        self.started = first
        try:
            self.pattern = Pattern.model_validate(first.payload["pattern"])
            self.structure = Structure.model_validate(first.payload["structure"])
            self._first_marks = _thaw_marks(first)
            self._first_plan = Plan(self.pattern, self.structure)
            self._plan: tuple[Changes, Plan] = ((), self._first_plan)
            self._marks = self._first_marks
            self._change_loads()
            for strand, cross, remaining, _ in self.state.restores:
                self._first_plan.with_load(strand, cross, remaining)
        except (KeyError, TypeError, ValueError) as error:
            raise Damaged("The plan of this piece cannot be read from the journal.") from error
        self.trouble = ""
        self._clock = PieceClock(piece)
        for event in journal.events(piece):
            self._clock_in(event)

    @classmethod
    def start(
        cls,
        journal: Journal,
        workup: WorkedPattern,
        *,
        title: str = "",
        stage: str = "braid",
        commission: str | None = None,
        lot: str | None = None,
    ) -> Braid:
        """Start a piece of a pattern that was worked up; its plan is frozen with it.

        Without beads there is nothing to load: such a piece begins with setting up.
        """
        if stage == "load" and not any(workup.plan.loads):
            stage = "set_up"
        piece = new_id()
        pattern, structure = canonical(workup.pattern), canonical(workup.structure)
        started = {
            "title": title or workup.pattern.title,
            "pattern_name": workup.name,
            "size": workup.size,
            "colourway": workup.colourway,
            "pattern": pattern,
            "structure": structure,
            "hash": fingerprint(pattern, structure),
            "commission": commission,
            "marks": [asdict(mark) for mark in workup.marks],
        }
        trouble = ""
        try:
            journal.append_many(
                [
                    Entry("piece_started", started, piece, lot),
                    Entry("stage_started", {"stage": stage}, piece, lot),
                ]
            )
        except NotSaved as error:
            trouble = str(error)
        braid = cls(journal, piece)
        braid.trouble = trouble
        return braid

    # How it stands

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
            for strand, cross, remaining in changes:
                plan = plan.with_load(strand, cross, remaining)
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
        """The mark to do before the next cross, if any; none while crosses are taken back."""
        state = self.state
        if state.back:
            return None
        done = {mark for _, mark in state.marks_done}
        for mark in self.marks:
            if mark.after_cross > state.made:
                return None
            if mark.id not in done:
                return mark
        return None

    @property
    def next_mark(self) -> Mark | None:
        """The first mark that is still to come after the crosses made."""
        return self.mark_after(self.made)

    def mark_after(self, made: int) -> Mark | None:
        """The first mark that is still to come once so many crosses are made."""
        return next((mark for mark in self.marks if mark.after_cross > made), None)

    @property
    def unsaved(self) -> int:
        """How many events could not be written yet."""
        return len(self.journal.pending)

    def journal_retry(self) -> None:
        """Try once more to write what could not be written."""
        try:
            self.journal.retry()
            self.trouble = ""
        except NotSaved as error:
            self.trouble = str(error)

    # What the maker does

    def cross(self, *, per: Literal["cross", "row"] = "cross") -> int:
        """Count the cross that was made, or with per='row' the rest of its row.

        Returns the crosses made now. Raises NotNow if a mark is due, the piece is paused or
        finished, or no cross is left.
        """
        state = self.state
        self._must_be_open(state)
        if state.paused:
            raise NotNow("The piece is paused; weight on, stick out first.")
        due = self.mark_due
        if due is not None:
            raise NotNow(f"First: {due.do}.")
        if state.made >= self.plan.crosses:
            raise NotNow("All crosses are made.")
        made = state.made + 1
        if per == "row":
            made = self.plan.row_end(made)
            halt = self.next_mark
            if halt is not None:
                made = min(made, halt.after_cross)
        self._write("crossed", {"from": state.made, "to": made})
        return made

    def take_back(self) -> int:
        """Count one cross as taken back.

        Raises NotNow if none is made, the count stands beyond the end, or the piece is not open.
        """
        state = self.state
        self._must_be_open(state)
        if state.paused:
            raise NotNow("The piece is paused; weight on, stick out first.")
        if state.made == 0:
            raise NotNow("No cross is made yet; there is nothing to take back.")
        if state.made > self.plan.crosses:
            raise NotNow(f"The piece has {self.plan.crosses} crosses: set the count first.")
        self._write("taken_back", {"from": state.made, "to": state.made - 1})
        return state.made - 1

    def set_place(self, made: int) -> None:
        """Set the count to so many crosses made; the braid is right, nothing is unbraided.

        Raises NotNow for a number that the piece does not have.
        """
        state = self.state
        self._must_be_open(state)
        if not 0 <= made <= self.plan.crosses:
            raise NotNow(f"The piece has {self.plan.crosses} crosses; {made} cannot be made.")
        if made != state.made or state.back:
            self._write("place_set", {"from": state.made, "to": made})

    def mark_done(self) -> Mark:
        """Count the due mark as done. Raises NotNow if none is due."""
        due = self.mark_due
        if due is None:
            raise NotNow("No mark is due.")
        self._write("mark_done", {"cross": due.after_cross, "mark": due.id})
        return due

    def pause(self) -> None:
        """Pause: the stick goes in, then the weight off."""
        self._must_be_open(self.state)
        if not self.state.paused:
            self._write("paused")

    def resume(self) -> None:
        """Go on after a pause."""
        if self.state.paused:
            self._write("resumed")

    def note(self, text: str) -> None:
        """Keep a note of the maker's."""
        self._write("note", {"text": text})

    def sewn_in(self, strand: int, cross: int) -> None:
        """Strike a bead that was to be sewn in off the list."""
        self._write("sew_in_done", {"strand": strand, "cross": cross})

    def undo_mend(self) -> None:
        """Take back the choice of the last mend: count and loads are as before it.

        Raises NotNow once a cross was made or taken back since.
        """
        self._must_be_open(self.state)
        if self.state.mended is None:
            raise NotNow("No mend was chosen since the last cross.")
        self._write("mend_undone")

    def record(self, kind: str, payload: Mapping[str, object] | None = None) -> None:
        """Write an event of any kind that the journal knows."""
        self._write(kind, payload)

    def record_all(self, events: Sequence[tuple[str, Mapping[str, object]]]) -> None:
        """Write several events, kinds and payloads: all are kept, or none.

        Raises NotNow if the piece is not open.
        """
        self._must_be_open(self.state)
        self._write_many([Entry(kind, said, self.piece, self.started.lot) for kind, said in events])

    # Stages and the end

    @property
    def stages(self) -> tuple[str, ...]:
        """The stages of this piece in order; without drying if nothing dries."""
        dries = self.pattern.finish.dry_minutes > 0
        loads = any(self.plan.loads)
        return tuple(s for s in STAGES if (s != "dry" or dries) and (s != "load" or loads))

    @property
    def next_stage(self) -> str | None:
        """The stage after the present one, or after those that are done; None after the last."""
        state = self.state
        passed = [STAGES.index(s) for s in (*state.stages_done, state.stage) if s is not None]
        return next((s for s in self.stages if STAGES.index(s) > max(passed, default=-1)), None)

    def lay_aside(self) -> None:
        """End the present stage without beginning the next one: the piece waits."""
        state = self.state
        self._must_be_open(state)
        if state.stage is not None:
            self._write("stage_ended", {"stage": state.stage})

    def end_stage(self) -> str | None:
        """End the present stage and begin the next; return it, or None after the last."""
        state = self.state
        self._must_be_open(state)
        if state.stage is None:
            return None
        place = STAGES.index(state.stage)
        following = next((s for s in self.stages if STAGES.index(s) > place), None)
        entries = [Entry("stage_ended", {"stage": state.stage}, self.piece)]
        if following is not None:
            entries.append(Entry("stage_started", {"stage": following}, self.piece))
        self._write_many(entries)
        return following

    def go_to_stage(self, stage: str) -> None:
        """Begin a stage out of order, as when drying is cut short or braiding taken up again."""
        state = self.state
        self._must_be_open(state)
        if state.stage == stage:
            return
        entries = []
        if state.stage is not None:
            entries.append(Entry("stage_ended", {"stage": state.stage}, self.piece))
        entries.append(Entry("stage_started", {"stage": stage}, self.piece))
        self._write_many(entries)

    def finish(self, quality: Quality) -> None:
        """Finish the piece, good or as a second."""
        self._must_be_open(self.state)
        self._write("finished", {"quality": quality})

    def give_up(self, reason: str) -> None:
        """Give the piece up, with the reason."""
        self._must_be_open(self.state)
        self._write("given_up", {"reason": reason})

    def reopen(self) -> None:
        """Take a finished or given-up piece in hand again."""
        if not self.state.open:
            self._write("reopened")

    # Times

    def braid_times(self) -> StageSum:
        """The seconds of the braid stage so far: hands-on, rework and breaks apart."""
        return self._clock.braiding()

    def _clock_in(self, event: Event) -> None:
        self._clock.take(event, dict(event.pieces).get(self.piece, 1.0))

    # Writing

    def _write(self, kind: str, payload: Mapping[str, object] | None = None) -> None:
        self._write_many([Entry(kind, payload or {}, self.piece, self.started.lot)])

    def _write_many(self, entries: list[Entry]) -> None:
        try:
            events = self.journal.append_many(entries)
            self.trouble = ""
        except NotSaved as error:
            events = list(error.events)
            self.trouble = str(error)
        for event in events:
            self._clock_in(event)

    def _must_be_open(self, state: PieceState) -> None:
        if not state.open:
            raise NotNow("The piece is finished; reopen it to change it.")


def _thaw_marks(started: Event) -> tuple[Mark, ...]:
    payload: dict[str, Any] = dict(started.payload)
    marks = payload.get("marks") or []
    return tuple(
        Mark(m["after_cross"], m["id"], m["do"], tuple(m["steps"]), m["caution"]) for m in marks
    )


def unfinished(journal: Journal) -> list[PieceState]:
    """The pieces in the making, the one touched last first."""
    return sorted(journal.pieces(), key=lambda state: state.last_wall, reverse=True)


__all__ = ["STAGES", "Braid", "JournalError", "NotNow", "unfinished"]
