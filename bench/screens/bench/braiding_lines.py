"""The lines of the bench for leaning in: rows, what comes soon, marks, what was counted."""

from __future__ import annotations

from collections.abc import Mapping

from rich.cells import cell_len

from bench.craft.coming_up import (
    in_crosses,
    last_beads,
    rows_line,
    soon,
    soon_words,
    whose_rows,
)
from bench.craft.growth import Growth
from bench.craft.plan import Plan, PlannedCross
from bench.craft.words import in_words
from bench.making.braid import Braid
from bench.screens.bench.length_made import length_words
from bench.screens.kit.canvas import Canvas, fit, wrap
from bench.screens.kit.view import View
from bench.slips.looks import Look
from bench.slips.words import offer_words, place_words

Offers = Mapping[int, Look]
"""The looks that are offered over a piece, by crosses made."""
LINES = 4
"""How many lines are always there; where there is room, one more tells what is asked for."""
OF_TWO = " of the two"
"""What is left out of a place where there is little room: 'top, left' says it too."""
TEXT = 8
"""The column of a line's text, behind its name."""


def draw_lines(
    canvas: Canvas,
    y: int,
    braid: Braid,
    view: View,
    step: PlannedCross,
    offers: Offers,
    growth: Growth | None = None,
) -> None:
    """Draw rows, what comes soon, the next mark, and what was counted."""
    _draw_rows(canvas, y, braid.plan, step)
    _draw_soon(canvas, y + 1, braid.plan, step)
    _draw_mark(canvas, y + 2, braid, step.cross - 1, growth)
    room, short = view.width - TEXT, view.height < 23
    asked = _asked(braid, view, step.cross - 1, offers)
    if short and asked is not None and not view.said:
        _draw_asked(canvas, y + 3, *asked)
        return
    canvas.text(1, y + 3, "DONE", "dim")
    done = view.done if short else _broken(view.done, room)[0]
    canvas.text(TEXT, y + 3, view.said or done, "warn" if view.said else "", room)


def draw_below(
    canvas: Canvas, y: int, braid: Braid, view: View, step: PlannedCross, offers: Offers
) -> bool:
    """Draw below the lines what is asked for, or the rest of what was counted, if anything."""
    made = step.cross - 1
    asked = _asked(braid, view, made, offers)
    rest = _broken(view.done, view.width - TEXT)[1:2]
    if rest and made not in offers and not view.said:
        canvas.text(TEXT, y, rest[0], "", view.width - TEXT)
    elif asked is not None:
        _draw_asked(canvas, y, *asked)
    return asked is not None or bool(rest and not view.said)


def _draw_rows(canvas: Canvas, y: int, plan: Plan, step: PlannedCross) -> None:
    """Draw the load of the strand that comes next, the present row framed, and the cross."""
    made = step.cross - 1
    count = f"cross {step.cross} of {plan.crosses}"
    edge = canvas.right(y, count, end=canvas.width - 1)
    whose = whose_rows(plan, made)
    x = canvas.text(TEXT, y, f"{whose} " if whose else "")
    rows = rows_line(plan, made, edge - 2 - x)
    canvas.text(1, y, "ROWS" if rows else "", "dim")
    for text, here in rows:
        shown = f"[{text}]" if here else f" {text}" if len(text) == 1 else f" {text} "
        if x + len(shown) >= edge - 1:
            break
        x = canvas.text(x, y, shown, "picked" if here else "")


def _draw_soon(canvas: Canvas, y: int, plan: Plan, step: PlannedCross) -> None:
    """Draw which beads end or change next."""
    if not plan.last_bead_cross:
        return
    canvas.text(1, y, "SOON", "dim")
    text, style = "", ""
    if ending := last_beads(plan, step):
        text = f"last bead of {in_words(ending)}: they hang empty from now on"
        style = "warn"
    elif (change := soon(plan, step.cross - 1)) is not None:
        text, style = soon_words(change), "warn" if change.close else ""
        if cell_len(text) > canvas.width - TEXT:
            text = text.split(":")[0]
    elif step.cross > plan.last_bead_cross:
        text = "all beads are in; plain crosses close the braid"
    canvas.text(TEXT, y, text, style, canvas.width - TEXT)


def _draw_mark(canvas: Canvas, y: int, braid: Braid, made: int, growth: Growth | None) -> None:
    """Draw the next mark and how far off it is; of a rope its length, where there is room."""
    canvas.text(1, y, "MARK", "dim")
    mark = braid.mark_after(made)
    text, style = "no more marks", ""
    if mark is not None:
        ahead = mark.after_cross - made
        text = f"{in_crosses(ahead)}: {mark.do.upper()}"
        style = "warn" if ahead <= braid.plan.row_length else ""
    canvas.text(TEXT, y, text, style, canvas.width - TEXT)
    length = length_words(braid, growth, made)
    if length and TEXT + cell_len(text) + 2 + cell_len(length) < canvas.width:
        canvas.right(y, length, end=canvas.width - 1)


def _asked(braid: Braid, view: View, made: int, offers: Offers) -> tuple[str, str] | None:
    """What is asked for at this cross: a look that is offered, else what a mend still wants."""
    plan = braid.plan
    if made in offers:
        asks, yes, no = (
            offer_words(offers[made], plan, made),
            view.keys.name("next"),
            view.keys.name("slip"),
        )
        text = f"{asks}  {yes} yes, and on   {no} no"
        if cell_len(text) > view.width - 9:
            text = f"{asks.replace(OF_TWO, '')} {yes} yes {no} no"
        return "LOOK", text
    if made == 0 and (core := _core_asked(braid)):
        return "CORE", next(
            text for text in core if cell_len(text) <= view.width - 9 or text == core[-1]
        )
    asked = [
        step for step in braid.state.later if step.strand <= plan.strands and step.cross > made
    ]
    if not asked:
        return None
    first = min(asked, key=lambda step: step.cross)
    where = place_words(plan, made, first.strand)
    text = f"before cross {first.cross}, {where}: {first.what}"
    return "MEND", fit(text, view.width - 9)


def _core_asked(braid: Braid) -> tuple[str, ...]:
    """What a core on a wire asks for before the first cross, where no setting up has said it.

    Once at length, once for a narrow screen; nothing where there is no such core.
    """
    down = next((mark for mark in braid.marks if mark.kind == "core-down"), None)
    if down is None or "set_up" in braid.state.stages_done:
        return ()
    return (
        f"bare wire down the centre first. No wire? Braid on; cross {down.after_cross} tells more",
        f"wire down the centre first; none? cross {down.after_cross} tells",
    )


def _draw_asked(canvas: Canvas, y: int, name: str, text: str) -> None:
    canvas.text(1, y, name, "bold")
    canvas.text(TEXT, y, text, "", canvas.width - TEXT)


def _broken(text: str, room: int) -> list[str]:
    """A text as it is where it finds room, else broken at blanks."""
    return wrap(text, room) if cell_len(text) > room else [text]
