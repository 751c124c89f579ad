"""The stages after the braiding: what is to be done, its caution, and what comes next."""

from __future__ import annotations

from collections.abc import Sequence

from bench.craft.cautions import GLUE_IN_HAND, NEEDLES_IN_HAND, REST
from bench.craft.words import plural
from bench.making.braid import Braid
from bench.making.braid_written import NotNow
from bench.screens.bench.ending import end_stage
from bench.screens.bench.mode import Bench
from bench.screens.bench.sew_ins import SEW_IN, draw_sew_ins, strike_sew_in
from bench.screens.bench.standing import LEAVE, NOTE, Standing
from bench.screens.kit import words
from bench.screens.kit.action_keys import draw_keys
from bench.screens.kit.canvas import Canvas
from bench.screens.kit.deeds import Deed
from bench.screens.kit.drying import Drying, dry_until
from bench.screens.kit.header import headed
from bench.screens.kit.page import caution, is_short, numbered, paragraph, title
from bench.screens.kit.view import View

PAUSE_SAYS = "nothing is counted until the same key comes again"


class AfterBraiding(Standing):
    """A stage after the braiding, or the end of the last one."""

    def __init__(self, bench: Bench) -> None:
        super().__init__(bench)
        self.asked_about = False
        self.drying = Drying()
        self._look_at_glue()

    def deeds(self) -> Sequence[Deed]:
        """On to the next stage, or back to the one before."""
        done = "this stage is done: the next one, and after the last how it came out"
        ended = self.stage is None
        return (
            Deed("mark", done, "end the piece" if ended else "stage done", self._end),
            Deed("back", "the stage before", "stage before", self.braid.go_back_a_stage),
            SEW_IN,
            Deed("pause", PAUSE_SAYS, None if ended else ""),
            NOTE,
            Deed("next", "", None, self._not_this_key),
            Deed("slip", "", None, self._not_now),
            LEAVE,
        )

    def _not_this_key(self) -> None:
        raise NotNow(f"{self.bench.companion.keys.name('mark')} ends this stage.")

    def _not_now(self) -> None:
        raise NotNow("This key is for the time while you braid.")

    def _end(self) -> None:
        """End the stage; what is not seen to yet is asked about once."""
        key = self.bench.companion.keys.name("mark")
        asks = "" if self.asked_about else self._not_seen_to(key)
        self.asked_about = bool(asks)
        if asks:
            raise NotNow(asks)
        end_stage(self.bench)

    def _not_seen_to(self, key: str) -> str:
        left = self.braid.state.sew_ins
        if self.stage == "finish" and left:
            beads = plural(len(left), "bead")
            return f"To sew in: {beads}. The number strikes one off; {key} goes on without."
        self._look_at_glue()
        if self.drying.ends is not None and not self.drying.is_dry:
            wet = f"It is to dry {self.drying.words}."
            return f"{wet} Is it dry by the glue's label? {key} again goes on."
        return ""

    def _look_at_glue(self) -> None:
        if self.stage == "dry":
            braid, clock = self.braid, self.bench.companion.clock
            minutes = braid.pattern.finish.dry_minutes
            self.drying = dry_until(braid.state, minutes, clock)

    def pass_time(self, idle_s: float) -> bool:
        """Look again until when the piece dries."""
        self._look_at_glue()
        return self.stage == "dry"

    def other_key(self, key: str) -> None:
        """Strike a bead off that was sewn in."""
        strike_sew_in(self.bench, key)

    def draw(self, view: View) -> Canvas:
        """Draw the present stage: what to do, the caution, and for drying until when."""
        braid = self.braid
        canvas = headed(braid.state, view)
        stage, mark = braid.state.stage, view.keys.name("mark")
        if stage is None:
            canvas.text(1, 3, "All stages are done.", "bold")
            canvas.text(1, 5, f"{mark} ends the piece", "picked")
            draw_keys(canvas, view)
            return canvas
        number = braid.stages.index(stage) + 1 if stage in braid.stages else 1
        beside = [f"stage {number} of {len(braid.stages)}"]
        if stage == "dry":
            beside += ["", f"dry {self.drying.words}", "the stand is taken"]
        if is_short(view):
            beside = [text for text in beside if text]
        x, y = title(canvas, view, words.STAGE_WORDS[stage].upper(), "call", beside)
        for row, text in enumerate(beside, 2):
            canvas.text(x, row, text, "bold", view.width - x - 1)
        keys = draw_keys(canvas, view)
        foot = min(view.height - 4, keys - 2)
        steps, cautioned = stage_steps(braid)
        sewing = braid.next_step is None and bool(braid.state.sew_ins)
        if sewing:
            y = draw_sew_ins(canvas, y, braid) + 1
        y = numbered(canvas, y, steps)
        y = caution(canvas, y + 1, cautioned)
        if stage == "finish" and not sewing:
            paragraph(canvas, y if is_short(view) else y + 1, REST, "", foot)
        canvas.text(1, foot - 1, view.said, "warn", view.width - 2)
        canvas.text(1, foot, f" {mark}  this stage is done ", "picked")
        canvas.zone(1, foot, view.width - 2, 1, "mark")
        return canvas


def stage_steps(braid: Braid) -> tuple[tuple[str, ...], str]:
    """What a stage asks for, and its caution."""
    pattern, stage = braid.pattern, braid.state.stage
    if stage == "dry":
        return (
            "Lock the crosses: a tiny drop of glue on the plain crosses only.",
            "It stays on the stand, under its weight, until it is dry.",
            "Then: counterweight off, braid out, and only then the tama.",
        ), GLUE_IN_HAND
    if stage == "finish":
        finish = pattern.finish
        if finish.threads == 0:
            return ("Trim the ends and set them into their caps.",), GLUE_IN_HAND
        steps = []
        if finish.end_bead_hole_mm is not None:
            steps.append("End bead over the glued plain end.")
        steps += [
            f"Dress each end: {plural(finish.threads, 'thread')} through, in"
            f" {plural(finish.passes, 'pass')} of the needle.",
            "Before you trim, measure one thread from the braid's end: it is asked for at the end.",
            "Trim, and look it over: length, gaps, end bead seated.",
        ]
        return tuple(steps), NEEDLES_IN_HAND
    return (), ""
