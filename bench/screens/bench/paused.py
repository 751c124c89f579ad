"""The pause and the way back from it: stick and weight in their order."""

from __future__ import annotations

from collections.abc import Sequence

from bench.craft.growth import Growth
from bench.making.braid import Braid
from bench.screens.bench.length_made import length_words
from bench.screens.bench.standing import GO_ON, LEAVE, NOTE, Standing
from bench.screens.kit import words
from bench.screens.kit.action_keys import draw_main_key
from bench.screens.kit.canvas import Canvas, wrap
from bench.screens.kit.deeds import Deed
from bench.screens.kit.framed_page import MARGIN, draw_title, framed
from bench.screens.kit.page import numbered, paragraph
from bench.screens.kit.view import View

NO_STAND = ("Nothing is counted until you go on.",)
WEIGHT_ON = ("Hang the counterweight on.", "Only then draw the stick out.")
STICK_IN = (
    "Push the stick through the strands at the point of braiding.",
    "Only then take the counterweight off; keep feet from under it.",
)


class Paused(Standing):
    """Nothing is counted until the maker goes on."""

    def deeds(self) -> Sequence[Deed]:
        """Go on, or leave: first what the maker is about to do."""
        return (LEAVE, GO_ON, NOTE) if self.bench.leaving else (GO_ON, NOTE, LEAVE)

    def spoken(self) -> str:
        """What to do with stick and weight."""
        at_the_braid = self.braid.state.stage == "braid"
        return "paused: stick in, weight off" if at_the_braid else super().spoken()

    def draw(self, view: View) -> Canvas:
        """Draw the pause; for who has just opened a paused piece, the way back from it."""
        braid = self.braid
        canvas = framed(view, "rule", double=False)
        room, after = canvas.width - 2 * MARGIN, ""
        title, then = "STICK IN", "WEIGHT OFF"
        steps: tuple[str, ...] = STICK_IN
        if braid.state.stage not in {"set_up", "braid"}:
            title, then, steps = "PAUSE", "", NO_STAND
        elif not self.bench.paused_here:
            title, then, steps = "WEIGHT ON", "STICK OUT", WEIGHT_ON
        else:
            after = "Coming back: the weight on first, only then the stick out."
        place = place_line(braid, self.bench.growth)
        long = sum(len(wrap(step, room - 4)) for step in steps)
        long += len(wrap(after, room)) + len(wrap(place, room)) + len(wrap(view.said, room))
        short = canvas.height < 23 or long + 14 > canvas.height - 4
        below = long + (2 if then else 0) if short else 0
        y = draw_title(canvas, 1 if short else 2, title, "call", below)
        if short and then:
            canvas.text(MARGIN, y, f"THEN {then}", "call")
            y += 2
        elif then:
            y = draw_title(canvas, y, then, "call")
        y = numbered(canvas, y, steps, None, MARGIN, "bold")
        y = paragraph(canvas, y, after, "call", None, MARGIN)
        y = paragraph(canvas, y + (0 if short or view.said else 1), place, "", None, MARGIN)
        paragraph(canvas, y, view.said, "warn", canvas.height - 4, MARGIN)
        main = f"{view.keys.name('pause')}  go on"
        if self.bench.leaving:
            main = f"{view.keys.name('leave')}  both are done: to the list"
        draw_main_key(canvas, view, main)
        return canvas


def place_line(braid: Braid, growth: Growth | None) -> str:
    """Where the braid stands, in one line; of a rope with its length."""
    step = braid.next_step
    if step is None:
        return f"all {braid.plan.crosses} crosses are made"
    where, which = words.row_words(braid.plan, step.cross)
    last = braid.last_step
    upper = f"; uppermost: {last.call}" if last is not None else ""
    length = length_words(braid, growth, braid.made)
    return f"{where}, {which}: {step.call} not yet made{upper}{length and f'; {length}'}"
