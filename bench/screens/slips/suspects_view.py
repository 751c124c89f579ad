"""What it may be: the suspects of a slip with their chances."""

from __future__ import annotations

from bench.screens.kit.canvas import Canvas, wrap
from bench.screens.kit.foot import WIDE
from bench.screens.kit.view import View
from bench.screens.slips.talk import SlipTalk
from bench.slips.inquiry import WORTH_TELLING, Inquiry
from bench.slips.supposed_stand import SupposedStand
from bench.slips.words import chance_words, slips_words

BAR = 10


LEAST_REST = 0.05
"""What is left beside the suspects listed is told from this chance on."""


def draw_suspects(
    canvas: Canvas, talk: SlipTalk, y: int, view: View, most: int, *, pick: bool
) -> int:
    """Draw the suspects with their chances, up to a line; return the line below."""
    assert talk.case.inquiry is not None
    if y + 1 >= most:
        return y
    edge = view.width - 1 - 13 - (BAR + 1 if view.width >= WIDE else 0)
    told = [
        wrap(slips_words(suspect.slips, talk.plan, talk.made), edge - 6)
        for suspect in talk.case.suspects
    ]
    first = 0
    while pick and first < talk.picked and sum(map(len, told[first : talk.picked + 1])) >= most - y:
        first += 1
    if y + 1 + len(told[first]) > most:
        return y
    canvas.text(1, y, _heading(talk.case.inquiry), "call")
    canvas.text(edge, y, "chance", "bold")
    y += 1
    for number in range(first, len(told)):
        lines, chance = told[number], talk.case.suspects[number].chance
        if y + len(lines) > most:
            return y
        picked = pick and number == talk.picked
        canvas.text(1, y, "▶" if picked else " ", "bold")
        _draw_chance(canvas, edge, y, view, chance)
        for line in lines:
            canvas.text(3, y, line, "bold" if picked else "")
            y += 1
    rest = 1 - sum(suspect.chance for suspect in talk.case.suspects)
    if rest >= LEAST_REST and y < most:
        canvas.text(3, y, "something else")
        _draw_chance(canvas, edge, y, view, rest)
        y += 1
    return y


def _draw_chance(canvas: Canvas, x: int, y: int, view: View, chance: float) -> None:
    if view.width >= WIDE:
        filled = round(chance * BAR)
        canvas.text(x, y, "█" * filled + "·" * (BAR - filled), "call")
    canvas.text(view.width - 14, y, chance_words(chance), "bold")


def _heading(inquiry: Inquiry) -> str:
    if inquiry.settled:
        return "WHAT IT IS"
    if inquiry.clear:
        return "ONE OF THESE: NO LOOK TELLS WHICH"
    if inquiry.classes[0].slip == "other":
        return "WHAT IT MAY BE, OF WHAT IS KNOWN HERE"
    return "NOT TOLD APART, NO LOOK IS LEFT" if inquiry.asked_out else "WHAT IT MAY BE"


def reading_tells(talk: SlipTalk) -> bool:
    """Whether suspects that are alike to looks differ in what is left on the strand reported."""
    if talk.case.inquiry is None or not talk.case.inquiry.clear:
        return False
    strand = talk.scene.arrangement[talk.place - 1]
    alike = [b for b in talk.case.inquiry.classes[0].members if b.chance >= WORTH_TELLING]
    return len({SupposedStand(talk.scene, b.slips).remaining().get(strand) for b in alike}) > 1
