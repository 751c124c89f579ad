"""The braid in hand: a frozen plan, the count of its crosses, and the journal behind them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Literal

from bench.craft.mark import Mark
from bench.craft.pattern import canonical
from bench.craft.stages import STAGES, Stage
from bench.journal import payloads as p
from bench.journal import slip_payloads as slip
from bench.journal.errors import NotSaved
from bench.journal.events import Entry, fingerprint, new_id
from bench.journal.payload_base import Payload
from bench.journal.piece_state import PieceState
from bench.journal.store import Journal
from bench.making.braid_written import BraidWritten, NotNow
from bench.making.worked_pattern import WorkedPattern


class Braid(BraidWritten):
    """One piece in the making.

    Every change is an event in the journal before the method returns. Where it could not be
    saved, the change holds all the same: `unsaved` counts such events and `trouble` says why.
    """

    @classmethod
    def start(
        cls,
        journal: Journal,
        workup: WorkedPattern,
        *,
        stage: Stage = "braid",
        commission: str | None = None,
        lot: str | None = None,
        number: int | None = None,
        as_sample: bool = False,
        commission_id: str | None = None,
        lot_id: str | None = None,
    ) -> Braid:
        """Start a piece of a pattern that was worked up; its plan is frozen with it.

        `commission`, `lot`: what order and lot are called; the ids: what they are known by.
        `number`: its number in the lot. `as_sample`: it is to be the
        sample. Without beads there is nothing to load: such a piece begins with setting up.
        """
        if stage == "load" and not any(workup.plan.loads):
            stage = "set_up"
        pattern, structure = canonical(workup.pattern), canonical(workup.structure)
        started = p.PieceStarted(
            title=workup.pattern.title,
            pattern_name=workup.name,
            size=workup.size,
            colourway=workup.colourway,
            pattern=pattern,
            structure=structure,
            hash=fingerprint(pattern, structure),
            commission=commission,
            marks=workup.marks,
            number=number,
            as_sample=as_sample,
            commission_id=commission_id,
            lot_id=lot_id,
        )
        return cls._begin(journal, lot, started, p.StageStarted(stage))

    def start_another(self, tag: p.SetTagged, number: int | None) -> Braid:
        """Start another piece of the same frozen pattern and lot, at its loading.

        `tag`: of its set; `number`: its number in the lot.
        """
        started = replace(self.started, number=number, lot_size=None, as_sample=False)
        return self._begin(self.journal, self.state.lot, started, tag, p.StageStarted("load"))

    @classmethod
    def _begin(cls, journal: Journal, lot: str | None, *said: Payload) -> Braid:
        piece, trouble = new_id(), ""
        try:
            journal.append_many([Entry(payload, piece, lot) for payload in said])
        except NotSaved as error:
            trouble = str(error)
        braid = cls(journal, piece)
        braid.trouble = trouble
        return braid

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
        self._write(p.Crossed(state.made, made))
        return made

    def take_back(self, crosses: int = 1) -> int:
        """Count one cross as taken back, or so many; return the crosses made now.

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
        made = max(0, state.made - crosses)
        self._write(p.TakenBack(state.made, made))
        return made

    def set_place(self, made: int) -> None:
        """Set the count to so many crosses made; the braid is right, nothing is unbraided.

        Raises NotNow for a number that the piece does not have.
        """
        state = self.state
        self._must_be_open(state)
        if not 0 <= made <= self.plan.crosses:
            raise NotNow(f"The piece has {self.plan.crosses} crosses; {made} cannot be made.")
        if made != state.made or state.back or state.elsewhere:
            self._write(self._place(made))

    def _place(self, made: int) -> p.PlaceSet:
        """The count set to so many, for each branch of the piece that is known."""
        state = self.state
        return p.PlaceSet(state.made, made, tuple(last for last, _ in state.elsewhere))

    def mark_done(self) -> Mark:
        """Count the due mark as done. Raises NotNow if none is due."""
        due = self.mark_due
        if due is None:
            raise NotNow("No mark is due.")
        self._write(p.MarkDone(due.after_cross, due.id))
        return due

    def pause(self) -> None:
        """Pause: the stick goes in, then the weight off."""
        self._must_be_open(self.state)
        if not self.state.paused:
            self._write(p.Paused())

    def resume(self) -> None:
        """Go on after a pause."""
        if self.state.paused:
            self._write(p.Resumed())

    def note(self, text: str) -> None:
        """Keep a note of the maker's."""
        self._write(p.Note(text))

    def sewn_in(self, strand: int, cross: int) -> None:
        """Strike a bead that was to be sewn in off the list."""
        self._write(slip.SewInDone(strand, cross))

    def undo_mend(self) -> None:
        """Take back the choice of the last mend: count and loads are as before it.

        Raises NotNow once a cross was made or taken back since.
        """
        self._must_be_open(self.state)
        if self.state.mended is None:
            raise NotNow("No mend was chosen since the last cross.")
        self._write(slip.MendUndone())

    def report_slip(
        self, look: Literal["next", "braid"], strand: int, place: int, saw: str | None
    ) -> None:
        """Write down that something is not as the screen says, before the next cross.

        `look` "next": `saw` is the next bead there, None for nothing left; "braid": what the braid
        shows there.
        """
        self._write(slip.SlipReported(self.made + 1, strand, place, look, saw))

    def answer_look(
        self,
        look: slip.LookKind,
        strand: int,
        place: int,
        asked_s: float,
        *,
        bead: str | None = None,
        answer: str | int | None = None,
        seconds: float | None = None,
    ) -> None:
        """Write down the answer to a look; without `seconds` it was set aside."""
        self._write(
            slip.LookAnswered(self.made + 1, look, strand, place, asked_s, bead, answer, seconds)
        )

    def undo_answer(self, look: slip.LookKind) -> None:
        """Take the last answer back, which was to such a look."""
        self._write(slip.LookUndone(look))

    def choose_mend(
        self,
        chosen: slip.MendChosen,
        made: int | None,
        loads: Sequence[slip.LoadChanged],
        sew_ins: Sequence[slip.SewIn],
    ) -> None:
        """Write down a mend and what it does: all is kept, or nothing.

        `made`: crosses made, where the count is set. Raises NotNow if the piece is not open.
        """
        self._must_be_open(self.state)
        place = [] if made is None else [self._place(made)]
        self._write(*place, chosen, *loads, *sew_ins)

    def load_to(
        self,
        strand: int,
        beads: int,
        tube: str | None = None,
        beside: Sequence[Payload] = (),
        lost: int = 0,
    ) -> None:
        """Count so many beads as on a strand; those that were put on came from a tube.

        beside: what else is written down with it. lost: beads of the tube that were thrown out.
        """
        self._write(p.Loaded(strand, beads, tube, lost), *beside)

    def prove(self, strand: int, how: str, *, right: bool) -> None:
        """Count a strand's load as proved, in this way, or as found wrong."""
        self._write(p.Proved(strand, how, right))

    def tag_set(self, tag: p.SetTagged) -> None:
        """Give the loaded set its tag."""
        self._write(tag)

    def untag_set(self) -> None:
        """Take the loaded set's tag back.

        Raises NotNow without a tag, once it is set up, or if the batch's next set is begun.
        """
        state = self.state
        self._must_be_open(state)
        tag = state.batch
        if tag is None:
            raise NotNow("The set bears no tag.")
        if state.stage != "load" and state.stages_done != ("load",):
            raise NotNow(f"The {tag.label} is set up already: its tag stays.")
        following = p.SetTagged(tag.number + 1, tag.place + 1, max(tag.sets, tag.place + 1))
        if any(said == following for _, said in self.journal.each(p.SetTagged)):
            raise NotNow(f"The next set of its batch is begun: the tag of {tag.label} stays.")
        self._write(p.TagUndone())

    def set_up_to(self, steps: int, hung: p.WeightsHung | None = None) -> None:
        """Count so many steps of setting up as done, and keep what was `hung` with the last."""
        self._write(p.SetUpDone(steps), *([] if hung is None else [hung]))

    def see_point(self, at: p.PointAt) -> None:
        """Write down how the point of braiding lies."""
        self._write(p.PointSeen(at))

    def weigh_beads(
        self, letter: str, beads: int, grams: float, resolution_g: float
    ) -> p.BeadWeighed:
        """Write down what so many beads of a letter weighed, on a scale of so many grams a step."""
        bead = self.pattern.beads[letter]
        said = p.BeadWeighed(bead.size, bead.shape, bead.name, beads, grams, resolution_g)
        self._write(said)
        return said

    def undo_weighing(self, weighing: p.BeadWeighed) -> None:
        """Take a weighing back."""
        self._write(replace(weighing, undone=True))

    def measure(self, figures: Mapping[str, float], *, sample: bool) -> None:
        """Write down what the piece measures, by the fields of Measured.

        Raises NotNow if a second is to be the sample.
        """
        if sample and self.state.status != "good":
            raise NotNow("Only a good piece can be the sample.")
        self._write(p.Measured(sample=sample, **figures))

    def undo_sign_off(self) -> None:
        """Take the sign-off as the sample back; what was measured stays.

        Raises NotNow if it is no sample, or if a piece of its pattern, size and colourway was begun
        since: that one was planned by it.
        """
        if not self.state.sample:
            raise NotNow("This piece is not signed off as the sample.")
        later = self.begun_since_sign_off()
        if later is not None:
            raise NotNow(f"{later.name} was begun since and is planned by it.")
        self._write(p.SignOffUndone())

    # Stages and the end

    def lay_aside(self) -> None:
        """End the present stage without beginning the next one: the piece waits."""
        state = self.state
        self._must_be_open(state)
        if state.stage is not None:
            self._write(p.StageEnded(state.stage))

    def end_stage(self) -> Stage | None:
        """End the present stage and begin the next; return it, or None after the last."""
        state = self.state
        self._must_be_open(state)
        if state.stage is None:
            return None
        place = STAGES.index(state.stage)
        following = next((s for s in self.stages if STAGES.index(s) > place), None)
        begun = [] if following is None else [p.StageStarted(following)]
        self._write(p.StageEnded(state.stage), *begun)
        return following

    def go_to_stage(self, stage: Stage) -> None:
        """Begin a stage out of order, as when drying is cut short or braiding taken up again."""
        state = self.state
        self._must_be_open(state)
        if state.stage == stage:
            return
        ended = [] if state.stage is None else [p.StageEnded(state.stage)]
        self._write(*ended, p.StageStarted(stage))

    def go_back_a_stage(self) -> None:
        """Take the end of the stage before back: it goes on.

        Raises NotNow in the first one, and in braiding once a cross is made.
        """
        state = self.state
        self._must_be_open(state)
        if state.stage == "braid" and state.made:
            raise NotNow("Crosses are made: take them back first.")
        at = STAGES.index(state.stage) if state.stage is not None else len(STAGES)
        done = [s for s in self.stages if s in state.stages_done and STAGES.index(s) < at]
        if not done:
            raise NotNow("No stage was ended before this one.")
        self.go_to_stage(done[-1])

    def finish(self, quality: p.Quality, reason: str | None = None) -> None:
        """Finish the piece, good or as a second, for a reason."""
        self._must_be_open(self.state)
        self._write(p.Finished(quality, reason))

    def give_up(self, reason: str) -> None:
        """Give the piece up, with the reason."""
        self._must_be_open(self.state)
        self._write(p.GivenUp(reason))

    def reopen(self) -> None:
        """Take how a piece came out back: it is in hand again.

        Raises NotNow while it is signed off as the sample, or has left the finished stock.
        """
        state = self.state
        if state.sample:
            raise NotNow("It is signed off as the sample: take that back first.")
        if state.away is not None:
            raise NotNow("It has left the stock: say there that it is back, then take it in hand.")
        if not state.open:
            self._write(p.Reopened())


def unfinished(journal: Journal) -> list[PieceState]:
    """The pieces in the making, the one touched last first."""
    return sorted(journal.pieces(), key=lambda state: state.last_wall, reverse=True)
