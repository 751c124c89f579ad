"""One look that is asked for, and the keys that answer it."""

from __future__ import annotations

from bench.craft.cautions import REACH_UNDER
from bench.screens.kit.canvas import Canvas, wrap
from bench.screens.kit.page import caution, paragraph
from bench.screens.kit.rim import draw_spot
from bench.screens.kit.view import View
from bench.screens.slips.answers import most_of
from bench.screens.slips.parts import (
    RIM,
    bead_keys,
    foot,
    keys_to,
    pointer,
    short_bead,
)
from bench.screens.slips.suspects_view import draw_suspects
from bench.screens.slips.talk import SlipTalk
from bench.slips.looks import Look
from bench.slips.words import question

MOST_BEAD_LINES = 3
"""Lines that the beads of a piece take where it is asked which one lies there."""


def draw_look(canvas: Canvas, talk: SlipTalk, view: View) -> None:
    """Draw the look, what was reported, and what it may be so far."""
    look = talk.case.look
    assert look is not None
    tight = view.height < 23
    y = _said(canvas, talk, 2, view)
    if not tight:
        y += 1
    sure = talk.case.inquiry is not None and talk.case.inquiry.confirming
    before = "before anything is mended, " if sure else ""
    canvas.text(1, y, f"ONE LOOK, {before}about {_seconds(look.seconds)}", "call")
    y += 1
    rim = view.width >= 76 and look.kind != "piece"
    room = view.width - (RIM + 5 if rim else 3)
    top = y
    for line in wrap(_question(talk, look), room):
        canvas.text(2, y, line, "bold")
        y += 1
    y = _answer_keys(canvas, talk, look, y if tight else y + 1, view)
    if rim:
        others = look.kind == "glance"
        draw_spot(canvas, view.width - RIM - 1, top, RIM, 7, talk.plan, look.place, others=others)
        y = max(y, top + 7)
    if look.kind == "braid":
        y = min(caution(canvas, y, REACH_UNDER, y + 2), y + 2)
    if talk.case.any_answer:
        canvas.rule(y)
        if talk.case.nothing_fits:
            text = "So far nothing that is known here fits what you told, one slip or two."
            for number, line in enumerate(wrap(text, view.width - 2), 1):
                if y + number < view.height - 2:
                    canvas.text(1, y + number, line, "warn")
        else:
            draw_suspects(canvas, talk, y + 1, view, view.height - 3, pick=False)
    taken = "answers so" if talk.at is not None or talk.typed else "cannot tell"
    foot(
        canvas, view, (_signs(talk, look), "answer"), ("ENTER", taken), ("TAB", "what can be done"),
        ("BACKSPACE", "last answer"),
    )  # fmt: skip


def _signs(talk: SlipTalk, look: Look) -> str:
    """The keys that answer a look, as the foot names them."""
    if look.kind in ("braid", "piece"):
        return keys_to(talk.options)
    if look.kind == "glance":
        return f"0-{most_of(look, talk.plan.strands)}"
    if look.kind == "left":
        return "0-9 T M"
    return "letter" if look.kind == "next" else "letters"


def _seconds(seconds: float) -> str:
    whole = max(1, round(seconds))
    return f"{whole} second" if whole == 1 else f"{whole} seconds"


def _question(talk: SlipTalk, look: Look) -> str:
    again = talk.case.inquiry is not None and talk.case.inquiry.seen_before(look)
    text = question(look, talk.plan, again=again, piece=talk.braid.state.name)
    if look.bead is not None and look.bead in talk.plan.pattern.beads:
        bead = talk.plan.pattern.beads[look.bead]
        text += f" ({look.bead} is {bead.name} {bead.size})"
    return text


def _said(canvas: Canvas, talk: SlipTalk, y: int, view: View) -> int:
    """What was reported, beside what the plan says; return the line below."""
    told = talk.case.statements[0]
    place = talk.plan.structure.places[told.look.place - 1]
    if told.look.kind == "braid":
        what = "a gap" if told.answer == "gap" else "a bead that stands proud"
        text = f"You see {what} on the line of {place}."
    else:
        planned = talk.scene.ahead[told.look.place][:1]
        saw = told.answer if isinstance(told.answer, str) else ""
        text = f"You see at {place}: {short_bead(talk, saw)}."
        text += f" The plan says: {short_bead(talk, planned)}."
    return paragraph(canvas, y, text, "")


def _beads_of_the_piece(canvas: Canvas, talk: SlipTalk, y: int) -> int:
    """Draw what tells a piece that bears no tag, its beads; return the line below."""
    beads = [f"{x} {bead.name} {bead.size}" for x, bead in talk.plan.pattern.beads.items()]
    lines = wrap(f"Its beads: {', '.join(beads)}.", canvas.width - 6)
    if len(lines) > MOST_BEAD_LINES:
        lines = [*lines[: MOST_BEAD_LINES - 1], f"{lines[MOST_BEAD_LINES - 1]} …"]
    for number, line in enumerate(lines):
        canvas.text(2, y + number, line)
    return y + len(lines)


def _answer_keys(canvas: Canvas, talk: SlipTalk, look: Look, y: int, view: View) -> int:
    most = most_of(look, talk.plan.strands)
    if look.kind == "next":
        return bead_keys(canvas, talk, y, view)
    if look.kind == "next3":
        canvas.text(2, y, f"{talk.typed:_<3}", "bead")
        canvas.text(8, y, "letter by letter; 0 when no more hang", "", view.width - 9)
        return bead_keys(canvas, talk, y + 1, view)
    if look.kind == "read":
        room = view.width - RIM - 8 if view.width >= 76 else view.width - 4
        canvas.text(2, y, f"{talk.typed[-room:]}▏", "bead")
        canvas.text(2, y + 1, "letter by letter; 0 when no more hang", "", room)
        return bead_keys(canvas, talk, y + 2, view)
    rows: list[tuple[str, str]]
    if look.kind == "braid":
        rows = [("1", "a gap"), ("2", "a bead stands proud"), ("3", "nothing")]
    elif look.kind == "piece":
        y = _beads_of_the_piece(canvas, talk, y)
        rows = [("1", "this one"), ("2", "another one")]
    elif look.kind == "glance" and most > 9:
        rows = [
            (
                talk.typed or "0",
                f"type the number, 0 to {most}, then ENTER",
            )
        ]
    elif look.kind == "glance":
        planned = sum(
            beads[:1] == look.bead
            for place, beads in talk.scene.ahead.items()
            if place != look.place
        )
        rows = [
            (
                f"0 … {most}",
                f"so many; by the plan it would be {planned}",
            )
        ]
    else:
        rows = [("0 … 9", "so many"), ("T", "ten"), ("M", "more than ten")]
    for key, what in rows:
        pointer(canvas, 1, y, talk, key)
        end = canvas.text(2, y, key, "key")
        canvas.text(end + 2, y, what, "", view.width - end - 3)
        if len(key) == 1:
            canvas.zone(2, y, view.width // 2, 1, key.lower())
        y += 1
    return y
