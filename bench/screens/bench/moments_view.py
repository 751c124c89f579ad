"""The bench's other moments: a mark, a pause, away, a trouble, the end, help."""

from __future__ import annotations

from bench.craft.marks import Mark
from bench.making.braid import Braid
from bench.screens.kit import words
from bench.screens.kit.action_keys import draw_main_key
from bench.screens.kit.canvas import Canvas, wrap
from bench.screens.kit.framed_page import draw_title, framed
from bench.screens.kit.view import View
from bench.slips.mend_steps import NEEDLE_CAUTION

_CAUTION = "CAUTION  "


def draw_mark(braid: Braid, mark: Mark, view: View) -> Canvas:
    """Draw a mark that is due: large words, numbered steps, the caution."""
    canvas = framed(view, "mark", double=False)
    steps = mark.steps or (mark.do,)
    lines = sum(len(wrap(step, canvas.width - 10)) for step in steps)
    lines += len(wrap(mark.caution, canvas.width - 6 - len(_CAUTION)))
    y = draw_title(canvas, 2, mark.do, "warn", below=lines + 3)
    where = (
        f"after cross {mark.after_cross} of {braid.plan.crosses}"
        if mark.after_cross
        else ("before the first cross")
    )
    canvas.text(3, y, where)
    y = _numbered(canvas, y + 2 if y > 3 else y + 1, steps)
    _caution(canvas, y + 1, mark.caution)
    actions = ("mark", "back", "pause", "help", "leave")
    key = draw_main_key(canvas, view, f"{view.keys.name('mark')}  it is done", actions)
    _said(canvas, view, key - 1)
    return canvas


def draw_pause(braid: Braid, view: View, *, coming_back: bool) -> Canvas:
    """Draw the pause and the way back from it; coming_back: the maker opens a paused piece."""
    canvas = framed(view, "rule", double=False)
    room, after = canvas.width - 6, ""
    steps: tuple[str, ...]
    if braid.state.stage not in {"set_up", "braid"}:
        titles, steps = ("PAUSE", ""), ("Nothing is counted until you go on.",)
    elif coming_back:
        titles = ("WEIGHT ON", "STICK OUT")
        steps = ("Hang the counterweight on.", "Only then draw the stick out.")
    else:
        titles = ("STICK IN", "WEIGHT OFF")
        steps = (
            "Push the stick through the strands at the point of braiding.",
            "Only then take the counterweight off; keep feet from under it.",
        )
        after = "Coming back: the weight on first, only then the stick out."
    said = wrap(view.said or place_line(braid), room)
    long = sum(len(wrap(step, room - 4)) for step in steps) + len(wrap(after, room)) + len(said)
    short = canvas.height < 23 or long + 14 > canvas.height - 4
    below = long + (2 if titles[1] else 0) if short else 0
    y = draw_title(canvas, 1 if short else 2, titles[0], "call", below)
    if short and titles[1]:
        canvas.text(3, y, f"THEN {titles[1]}", "call")
        y += 2
    elif titles[1]:
        y = draw_title(canvas, y, titles[1], "call")
    y = _numbered(canvas, y, steps)
    if after:
        for line in wrap(after, room):
            canvas.text(3, y, line, "call")
            y += 1
    for line in said:
        canvas.text(3, y + (0 if short else 1), line, "warn" if view.said else "")
        y += 1
    main = f"{view.keys.name('pause')}  go on"
    labels = {"pause": "go on"}
    draw_main_key(canvas, view, main, ("pause", "note", "help", "leave"), labels)
    return canvas


def draw_away(braid: Braid, view: View) -> Canvas:
    """Draw the place in words for a maker who was away."""
    canvas = framed(view, "rule", double=False)
    step = braid.next_step
    assert step is not None
    where, which = words.row_words(braid.plan, step.cross)
    if canvas.height < 23:
        y = draw_title(canvas, 1, where, "call") + 2
        canvas.text(3, y - 2, which.upper(), "call")
    else:
        y = draw_title(canvas, draw_title(canvas, 2, where, "call") + 1, which, "call") + 1
    canvas.text(3, y, f"{step.call} NOT yet made", "bold")
    last = braid.last_step
    if last is not None:
        canvas.text(3, y + 1, f"uppermost on the braid should lie: {last.call}", "bold")
    canvas.text(3, y + 3, "If it lies so, go on; if not, find your place first.")
    name = view.keys.name("next")
    draw_main_key(
        canvas,
        view,
        f"{name}  counts the cross as ever",
        ("next", "back", "place", "pause", "help", "leave"),
    )
    return canvas


def draw_unsaved(braid: Braid, view: View) -> Canvas:
    """Draw that the journal cannot be written, large."""
    canvas = framed(view, "back", double=True)
    room = canvas.width - 6
    parts = [
        wrap(f"({braid.unsaved})  {braid.trouble}", room)[:2],
        wrap(
            "You can go on braiding. What you count is kept here and written as soon as writing"
            " works; each key tries again.",
            room,
        ),
        wrap(
            "Do not switch the machine off before this has gone. Free some room on the disk, or"
            " give the folder back its write permission.",
            room,
        ),
        [str(braid.journal.path)],
    ]
    y = draw_title(canvas, 2, "NOT SAVED", "back", below=sum(len(part) + 1 for part in parts))
    for number, part in enumerate(parts):
        for line in part:
            canvas.text(3, y, line, "bold" if number == 0 else "", room)
            y += 1
        y += 1
    draw_main_key(canvas, view, f"{view.keys.name('next')}  go on", ("next", "leave"))
    return canvas


def draw_braided(braid: Braid, view: View) -> Canvas:
    """Draw that all crosses are made; the mark key ends the stage."""
    canvas = framed(view, "rule", double=False)
    y = draw_title(canvas, 2, "BRAIDED", "good")
    canvas.text(3, y, f"all {braid.plan.crosses} crosses are made", "bold")
    y += 2
    dries = braid.pattern.finish.dry_minutes
    steps = ["Each plain cross of the end pulled tight by hand?"]
    if dries:
        steps.append("Next: a tiny drop of glue on the plain crosses, then it dries under weight.")
    y = _numbered(canvas, y, tuple(steps))
    y = sew_in_lines(canvas, 3, y + 1, braid)
    canvas.text(3, y + 1, view.done, "", canvas.width - 6)
    following = words.STAGE_WORDS["dry" if dries else "finish"]
    main = f"{view.keys.name('mark')}  go on to: {following}"
    actions, labels = ("mark", "back", "note", "help", "leave"), {"mark": f"go on to: {following}"}
    _said(canvas, view, draw_main_key(canvas, view, main, actions, labels) - 1)
    return canvas


def place_line(braid: Braid) -> str:
    """Where the braid stands, in one line."""
    step = braid.next_step
    if step is None:
        return f"all {braid.plan.crosses} crosses are made"
    where, which = words.row_words(braid.plan, step.cross)
    last = braid.last_step
    upper = f"; uppermost: {last.call}" if last is not None else ""
    return f"{where}, {which}: {step.call} not yet made{upper}"


def _numbered(canvas: Canvas, y: int, steps: tuple[str, ...]) -> int:
    for number, step in enumerate(steps, 1):
        for index, line in enumerate(wrap(step, canvas.width - 10)):
            if index == 0:
                canvas.text(3, y, f"{number}", "bold")
            canvas.text(6, y, line, "bold")
            y += 1
    return y


def _caution(canvas: Canvas, y: int, caution: str) -> None:
    for index, line in enumerate(wrap(caution, canvas.width - 6 - len(_CAUTION))):
        if index == 0:
            canvas.text(3, y, _CAUTION.strip(), "mark")
        canvas.text(3 + len(_CAUTION), y, line)
        y += 1


def sew_in_lines(canvas: Canvas, x: int, y: int, braid: Braid) -> int:
    """Draw the beads still to be sewn in, with the numbers that strike them off."""
    state, plan = braid.state, braid.plan
    for number, (strand, cross, bead) in enumerate(state.sew_ins[:9], 1):
        text = f"one {bead} in {words.where_in_braid(plan, strand, cross, state.made)}"
        lines = wrap(f"SEW IN  {text}; key {number} once it is done", canvas.width - x - 2)
        canvas.zone(x, y, canvas.width - x, len(lines), str(number))
        for line in lines:
            canvas.text(x, y, line, "warn")
            y += 1
    if state.sew_ins:
        for line in wrap(f"CAUTION  {NEEDLE_CAUTION}", canvas.width - x - 2):
            canvas.text(x, y, line)
            y += 1
    return y


def _said(canvas: Canvas, view: View, y: int) -> None:
    if view.said:
        canvas.text(3, y, view.said, "warn", canvas.width - 6)
