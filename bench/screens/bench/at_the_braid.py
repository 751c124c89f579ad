"""What the keys do while the piece is braided, whichever page is up."""

from __future__ import annotations

from collections.abc import Sequence

from bench.craft.plan import Plan, PlannedCross
from bench.making.braid_written import NotNow
from bench.screens.bench.finding_place import FindingPlace
from bench.screens.bench.not_what_i_see import NotWhatISee
from bench.screens.bench.standing import LEAVE_WEIGHT, NOTE, PAUSE, POINT, Standing
from bench.screens.kit import words
from bench.screens.kit.deeds import Deed, do

BACK_HELP = "one less is counted; how a cross comes out"
SLIP_HELP = "something is not as the screen says: find out what and how to mend it"


class AtTheBraid(Standing):
    """A mode of the stage in which the piece is braided."""

    def weight_hangs(self) -> bool:
        """Whether a counterweight hangs: it does all the while."""
        return True

    def deeds(self) -> Sequence[Deed]:
        """The keys while the hands are moving."""
        by_row = self.bench.per == "row"
        laid, short = ("row laid down", "row") if by_row else ("", "")
        by, by_short = ("by cross", "crosses") if by_row else ("by rows", "rows")
        less, less_short = ("one cross back", "cross back") if by_row else ("", "")
        counts = "a press counts a row; again: a cross"
        what = "row that you laid down, to its end" if by_row else "cross that you laid down"
        return (
            Deed("next", f"counts the {what}", laid, self.cross, short),
            Deed("back", BACK_HELP, less, self.take_back, less_short),
            Deed("slip", SLIP_HELP, "", self.ask_about_slip),
            Deed("per", counts, by, self.count_the_other_way, by_short),
            Deed("place", "a few looks set the count; nothing is unbraided", "", self.find_place),
            Deed("mark", "the mark is done; after the last cross: go on", "", self.mark),
            POINT,
            PAUSE,
            NOTE,
            Deed("help", "these keys; each screen has its own help"),
            LEAVE_WEIGHT,
        )

    def act(self, action: str) -> None:
        """Do what a key is for here, or else what it is for while the hands are moving."""
        if not do(self.deeds(), action):
            do(AtTheBraid.deeds(self), action)

    def find_place(self) -> None:
        """Find the place by looks."""
        self.bench.counted_here = True
        self.bench.open(FindingPlace(self.bench))

    def ask_about_slip(self) -> None:
        """Ask what is not as the screen says."""
        self.bench.open(NotWhatISee(self.bench, self.take_back))

    def cross(self) -> None:
        """Count the cross that was made, or the rest of its row."""
        bench, braid = self.bench, self.braid
        bench.counted_here = True
        first = braid.made + 1
        made = braid.cross(per=bench.per)
        bench.done = counted(braid.plan, first, braid.plan.step(made), braid.unsaved)
        bench.crossed()
        self.between_rows()

    def between_rows(self) -> None:
        """Where a row is done and nothing is due: speak of light, or offer a rest."""
        braid, made, step = self.braid, self.braid.made, self.braid.next_step
        if step is None or braid.mark_due is not None or braid.plan.row_end(max(made, 1)) != made:
            return
        where, _ = words.row_words(braid.plan, step.cross)
        beads = words.beads_line(braid.plan, step) if step.row is not None else "plain"
        self.offer_rest(f"The row is done. Next, in {where}: {step.call}, {beads}")

    def count_the_other_way(self) -> None:
        """Have each press count a row from now on, or a cross again."""
        self.bench.per = "cross" if self.bench.per == "row" else "row"
        self.bench.done = f"from here on each press counts one {self.bench.per}"

    def take_back(self) -> None:
        """Count one cross as taken back; before the first one setting up goes on."""
        self.bench.counted_here = True
        if not self.braid.made and not self.braid.state.back:
            self._back_to_setting_up()
            return
        step = self.braid.last_step
        self.braid.take_back()
        if step is not None:
            self.bench.done = f"taken back: cross {step.cross}, {step.call}"

    def _back_to_setting_up(self) -> None:
        if "set_up" not in self.braid.state.stages_done:
            raise NotNow("No cross is made yet; there is nothing to take back.")
        self.braid.go_back_a_stage()
        self.bench.done = "setting up is not done yet: it goes on"

    def mark(self) -> None:
        """Say that nothing is to be marked as done."""
        raise NotNow("No mark is due.")


def counted(plan: Plan, first: int, last: PlannedCross, unsaved: int) -> str:
    """What was counted with a press, and whether it is saved."""
    said = f"not saved ({unsaved})" if unsaved else "counted"
    if first < last.cross:
        return f"{said}: crosses {first} to {last.cross}"
    beads = words.beads_line(plan, last) if last.row is not None else "plain"
    return f"{said}: {last.call}   {beads}"
