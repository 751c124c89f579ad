"""One mend: what to do, its caution, and what the screen does then."""

from __future__ import annotations

from bench.craft.load import SKIP, write_load
from bench.craft.plan import Plan
from bench.screens.kit.canvas import Canvas, wrap
from bench.screens.kit.large_letters import HEIGHT, big, width_of
from bench.screens.kit.page import caution, paragraph
from bench.screens.kit.view import View
from bench.screens.slips.parts import (
    foot,
    takes,
)
from bench.screens.slips.talk import SlipTalk
from bench.slips.mend import Mend
from bench.slips.mend_steps import NewRemaining, SetCount, TakeBack
from bench.slips.words import place_words


def draw_mend(canvas: Canvas, talk: SlipTalk, view: View) -> None:
    """Draw the mend that was chosen."""
    mend = talk.mend
    assert mend is not None
    y = 2
    took = f"takes {'about ' if mend.seconds >= 1 else ''}{takes(mend.seconds)}"
    if view.height >= 23:
        big(canvas, 1, 3, "MEND", "call")
        canvas.text(width_of("MEND") + 5, 4, took, "bold")
        canvas.text(width_of("MEND") + 5, 6, "to be seen afterwards:", "")
        for number, line in enumerate(wrap(mend.shows, view.width - width_of("MEND") - 6)[:2]):
            canvas.text(width_of("MEND") + 5, 7 + number, line, "bold")
        y = 4 + HEIGHT
    else:
        y = paragraph(canvas, y, f"MEND  {took}; to be seen: {mend.shows}", "call")
    y = paragraph(canvas, y, mend.do, "bold", None, 2)
    y = _to_string(canvas, talk, y, view)
    if mend.caution:
        y = caution(canvas, y + 1, mend.caution, view.height - 3)
    text = _then(talk.plan, mend, talk.made)
    canvas.text(1, view.height - 3, f" ENTER  {text} ", "picked", view.width - 2)
    canvas.zone(1, view.height - 3, view.width - 2, 1, "enter")
    foot(canvas, view, ("BACKSPACE", "another mend"))


def _then(plan: Plan, mend: Mend, made: int) -> str:
    """When Enter is to be pressed at a mend, and what the screen does then."""
    if any(isinstance(effect, TakeBack) for effect in mend.effects):
        return "begin: the first reverse move is shown"
    if any(step.kind == "open_other" for step in mend.steps):
        return "back to the bench, to leave this piece"
    called = any(
        isinstance(effect, NewRemaining)
        and effect.letters.count(SKIP) > plan.remaining(effect.strand, made).count(SKIP)
        for effect in mend.effects
    )
    by_hand = mend.by_hand
    if called:
        return f"{'when that is done' if by_hand else 'go on'}: the screen calls the move"
    if mend.later and not by_hand:
        return "go on: the screen reminds you of it"
    if mend.effects or mend.later:
        return f"{'when it is done so' if by_hand else 'do it so'}: the screen's plan follows"
    return "when it is done: the plan holds as it is" if by_hand else "go on as planned"


def _to_string(canvas: Canvas, talk: SlipTalk, y: int, view: View) -> int:
    """Draw what each strand is strung with anew, as far as it finds room; return the line below."""
    mend, plan = talk.mend, talk.plan
    assert mend is not None
    made = next((e.made for e in mend.effects if isinstance(e, SetCount)), talk.made)
    made -= sum(e.crosses for e in mend.effects if isinstance(e, TakeBack))
    lines: list[str] = []
    for strand, beads in mend.string:
        stay = len(plan.remaining(strand, made).replace(SKIP, "")) - len(beads)
        kept = {0: "no bead stays", 1: "the next bead stays"}.get(stay, f"the next {stay} stay")
        text = f"{place_words(plan, made, strand)}: {kept}. Then string on, from there to the"
        lines += wrap(f"{text} free end: {write_load(beads) or 'no bead'}", view.width - 4)
    room = max(1, view.height - 5 - y - len(wrap(mend.caution, view.width - 12)))
    if len(lines) > room:
        lines = [*lines[: room - 1], "… and on: ROWS on the bench shows each load"]
    for line in lines:
        canvas.text(2, y, line, "bead")
        y += 1
    return y
