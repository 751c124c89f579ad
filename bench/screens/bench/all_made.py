"""All crosses are made: what is still to be seen to before the piece leaves the braid stage."""

from __future__ import annotations

from collections.abc import Sequence

from bench.making.braid_written import NotNow
from bench.screens.bench.at_the_braid import SLIP_HELP, AtTheBraid
from bench.screens.bench.ending import end_stage
from bench.screens.bench.sew_ins import SEW_IN, draw_sew_ins, strike_sew_in
from bench.screens.bench.standing import LEAVE_WEIGHT, NOTE
from bench.screens.kit import words
from bench.screens.kit.action_keys import draw_main_key
from bench.screens.kit.canvas import Canvas
from bench.screens.kit.deeds import Deed
from bench.screens.kit.framed_page import MARGIN, draw_title, framed
from bench.screens.kit.page import numbered
from bench.screens.kit.view import View

GLUE_NEXT = "Next: a tiny drop of glue on the plain crosses, then it dries under weight."


class AllMade(AtTheBraid):
    """No cross is left."""

    def deeds(self) -> Sequence[Deed]:
        """On to the next stage, or one back."""
        on = "go on: the glue and its drying, or the finish"
        return (
            Deed("mark", on, self._goes_on, self.mark),
            Deed("back", "the last cross comes out again", "", self.take_back),
            SEW_IN,
            Deed("slip", SLIP_HELP),
            NOTE,
            LEAVE_WEIGHT,
        )

    @property
    def _goes_on(self) -> str:
        dries = self.braid.pattern.finish.dry_minutes
        return f"go on to: {words.STAGE_WORDS['dry' if dries else 'finish']}"

    def cross(self) -> None:
        """Say which key goes on."""
        raise NotNow(f"All crosses are made; {self.bench.companion.keys.name('mark')} goes on.")

    def mark(self) -> None:
        """End the braid stage."""
        end_stage(self.bench)

    def other_key(self, key: str) -> None:
        """Strike a bead off that was sewn in."""
        strike_sew_in(self.bench, key)

    def spoken(self) -> str:
        """That no cross is left."""
        return "all crosses are made"

    def draw(self, view: View) -> Canvas:
        """Draw that all crosses are made; the mark key ends the stage."""
        braid = self.braid
        canvas = framed(view, "rule", double=False)
        y = draw_title(canvas, 2, "BRAIDED", "good")
        canvas.text(MARGIN, y, f"all {braid.plan.crosses} crosses are made", "bold")
        steps = ["Each plain cross of the end pulled tight by hand?"]
        if braid.pattern.finish.dry_minutes:
            steps.append(GLUE_NEXT)
        y = numbered(canvas, y + 2, steps, None, MARGIN, "bold")
        y = draw_sew_ins(canvas, y + 1, braid, MARGIN)
        canvas.text(MARGIN, y + 1, view.done, "", canvas.width - 2 * MARGIN)
        key = draw_main_key(canvas, view, f"{view.keys.name('mark')}  {self._goes_on}")
        canvas.text(MARGIN, key - 1, view.said, "warn", canvas.width - 2 * MARGIN)
        return canvas
