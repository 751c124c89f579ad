"""What is typed in a talk about a slip: the report, a strand read off, a bead sewn in."""

from __future__ import annotations

from bench.craft.cautions import NEEDLE_IN_BRAID, REACH_UNDER
from bench.screens.kit import words
from bench.screens.kit.canvas import Canvas, wrap
from bench.screens.kit.page import caution, paragraph
from bench.screens.kit.view import View
from bench.screens.slips.parts import (
    TO_BRAID,
    bead_keys,
    bead_line,
    foot,
    pointer,
)
from bench.screens.slips.report_choices import Report, carried_places
from bench.screens.slips.talk import PLACE_KEYS, SlipTalk


def draw_report(canvas: Canvas, talk: SlipTalk, view: View) -> None:
    """Draw what can be reported."""
    y = 2
    if _of_beads(talk.choices[0]):
        canvas.text(1, y, "Is another bead hanging next on one of these strands?", "bold")
        y += 1
    lines = [_choice(talk, what) for what in talk.choices]
    last = talk.braid.last_step
    room = view.height - 2 - y - (last is not None) - (not all(map(_of_beads, talk.choices)))
    room -= len(wrap(REACH_UNDER, view.width - 11))
    short = sum(map(len, lines)) > room
    for number, what in enumerate(talk.choices):
        if not _of_beads(what) and (number == 0 or _of_beads(talk.choices[number - 1])):
            canvas.text(1, y, "Or is it something else?", "bold")
            y += 1
        shown = lines[number][:1] if short and not isinstance(what, int) else lines[number]
        key = PLACE_KEYS[number]
        pointer(canvas, 1, y, talk, key)
        canvas.text(2, y, key, "key")
        canvas.zone(1, y, view.width - 2, len(shown), key)
        for line in shown:
            canvas.text(5, y, line, "bold" if line is shown[0] else "", view.width - 6)
            y += 1
    if last is not None and y < view.height - 4:
        y += view.height - y > 6
        text = f"By the plan lies uppermost on the braid: {last.call}."
        canvas.text(1, y, text, "", view.width - 2)
        y += 1
    caution(canvas, y, REACH_UNDER, view.height - 1)
    canvas.text(1, view.height - 1, TO_BRAID, "", view.width - 2)
    canvas.zone(1, view.height - 1, len(TO_BRAID), 1, "escape")


def _of_beads(what: Report) -> bool:
    """Whether a choice of the report is about the next bead of a strand."""
    return isinstance(what, int) or what == "elsewhere"


def _choice(talk: SlipTalk, what: Report) -> list[str]:
    """What a choice of the report stands for, and where it leads."""
    if isinstance(what, int):
        beads = talk.scene.ahead[what]
        bead = bead_line(talk, beads[0]) if beads else "nothing left on it"
        return [talk.plan.structure.places[what - 1], f"the plan says: {bead}"]
    last = talk.braid.last_step
    return {
        "elsewhere": [
            "on another strand" if carried_places(talk.braid) else "on one of the strands",
            "it is asked which one",
        ],
        "gap": ["the braid has a gap", "a bead is missing on one strand's line"],
        "proud": ["a bead stands proud", "not tucked under, or two in one place"],
        "last": [
            f"the last cross went wrong: {last.call if last else ''}",
            "take it back as planned; if you carried others, take those back",
        ],
        "lost": [
            "other strands are to be carried than the screen says",
            "find my place: a few looks set the count",
        ],
        "sewn": ["a bead is sewn in now", "strike it off"],
        "undone": ["the last mend was not done", "count and loads are again as before it"],
    }[what]


def draw_which_bead(canvas: Canvas, talk: SlipTalk, view: View) -> None:
    """Draw which bead may hang there."""
    place = talk.plan.structure.places[talk.place - 1]
    canvas.text(1, 2, f"What hangs next at {place}?", "bold", view.width - 2)
    planned = talk.scene.ahead[talk.place][:1]
    canvas.text(
        1, 3, f"The plan says: {bead_line(talk, planned) if planned else 'nothing left on it'}."
    )
    bead_keys(canvas, talk, 5, view)
    gone_to = [("ENTER", "the one gone to")] if talk.at is not None else []
    foot(canvas, view, ("letter", "this bead"), *gone_to, ("BACKSPACE", "one step back"))


def draw_which_line(canvas: Canvas, talk: SlipTalk, view: View) -> None:
    """Draw which strand another bead hangs on, or on whose line something is seen."""
    of_bead = talk.saw_what == "elsewhere"
    what = "a gap" if talk.saw_what == "gap" else "a bead that stands proud"
    asked = "Which strand is it? The bead by the plan stands first." if of_bead else (
        f"On whose line is {what}?"
    )  # fmt: skip
    canvas.text(1, 2, asked, "bold", view.width - 2)
    if not of_bead:
        how = "Follow the line up to its strand; where does that lie?"
        canvas.text(1, 3, how, "", view.width - 2)
    places = talk.plan.structure.places
    columns = -(-len(places) // (view.height - 9))
    half, wide = -(-len(places) // columns), view.width // columns
    for number, name in enumerate(places):
        planned = talk.scene.ahead[number + 1][:1] or "–"
        place = f"{planned}  {name}" if of_bead else name
        x, y = 2 + (number // half) * wide, 5 + number % half
        pointer(canvas, x - 1, y, talk, PLACE_KEYS[number])
        canvas.text(x, y, PLACE_KEYS[number], "key")
        canvas.text(x + 3, y, place, "", wide - 5)
        canvas.zone(x, y, wide - 2, 1, PLACE_KEYS[number])
    if not of_bead:
        caution(canvas, 6 + half, REACH_UNDER, view.height - 1)
    foot(canvas, view, ("BACKSPACE", "one step back"))


def draw_read(canvas: Canvas, talk: SlipTalk, view: View) -> None:
    """Draw what was read off so far."""
    place = talk.plan.structure.places[talk.place - 1]
    y = 2
    text = f"Read off all beads left at {place}, the next one first, letter by letter."
    y = paragraph(canvas, y, text, "bold")
    strand = talk.scene.arrangement[talk.place - 1]
    left = len(talk.plan.remaining(strand, talk.made).replace("-", ""))
    canvas.text(1, y, f"By the plan {left} are left; {len(talk.typed)} are read off.")
    y += 2
    room = view.width - 4
    rows = [talk.typed[i : i + room] for i in range(0, len(talk.typed), room)] or [""]
    for row in rows[-4:]:
        canvas.text(2, y, row + ("▏" if row is rows[-1] else ""), "bead")
        y += 1
    bead_keys(canvas, talk, y + 1, view)
    foot(canvas, view, ("ENTER", "compare"), ("0", "no more hang"), ("BACKSPACE", "last letter"))


def draw_sewn(canvas: Canvas, talk: SlipTalk, view: View) -> None:
    """Draw the beads that are to be sewn in."""
    canvas.text(1, 2, "Which bead is sewn in now?", "bold")
    y = 4
    for number, sew_in in enumerate(talk.sew_ins[:9], 1):
        where = words.where_in_braid(talk.plan, sew_in.strand, sew_in.cross, talk.made)
        lines = wrap(f"one {sew_in.bead} in {where}", view.width - 6)
        pointer(canvas, 1, y, talk, str(number))
        canvas.text(2, y, str(number), "key")
        canvas.zone(1, y, view.width - 2, len(lines), str(number))
        for line in lines:
            canvas.text(5, y, line, "bold")
            y += 1
    caution(canvas, y + 1, NEEDLE_IN_BRAID, view.height - 3)
    foot(canvas, view, ("BACKSPACE", "one step back"))
