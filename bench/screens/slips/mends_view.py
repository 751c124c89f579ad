"""What can be done about a slip, best first."""

from __future__ import annotations

from bench.craft.words import ordinal
from bench.screens.kit.canvas import Canvas, wrap
from bench.screens.kit.page import paragraph
from bench.screens.kit.view import View
from bench.screens.slips.parts import (
    foot,
    keys_to,
    pointer,
    takes,
)
from bench.screens.slips.suspects_view import draw_suspects, reading_tells
from bench.screens.slips.talk import SlipTalk
from bench.slips.edits import Edit
from bench.slips.words import bead_name


def draw_mends(canvas: Canvas, talk: SlipTalk, view: View) -> None:
    """Draw the suspects, or what was read off, and the mends."""
    y = 2
    if talk.edits is not None:
        y = _read_result(canvas, talk, y, view)
    elif talk.case.nothing_fits:
        text = (
            "Nothing that is known here fits what you told, one slip or two. Go back over the"
            " answers, or read off all beads left on that strand: R."
        )
        y = paragraph(canvas, y, text, "warn")
    else:
        y = draw_suspects(canvas, talk, y, view, max(8, view.height // 2), pick=True)
        if reading_tells(talk):
            canvas.text(1, y, "No look tells these apart; that strand read off does: R.", "warn")
            y += 1
    canvas.rule(y)
    y += 1
    _ways(canvas, talk, y, view)
    more = talk.edits is None and not talk.case.nothing_fits and len(talk.case.suspects) > 1
    foot(
        canvas, view, *([(f"ENTER {keys_to(talk.options)}", "mend")] if talk.options else []),
        *([("LEFT RIGHT", "other suspect")] if more else []),
        *([("TAB", "the look")] if talk.case.look is not None else []),
        *([("R", "read off")] if talk.place else []),
        ("BACKSPACE", "last answer" if talk.edits is None else "the suspects"),
    )  # fmt: skip


def _ways(canvas: Canvas, talk: SlipTalk, y: int, view: View) -> None:
    """Draw the mends, as many as find room, the one that Enter takes among them."""
    if not talk.ways:
        return
    canvas.text(1, y, "WHAT CAN BE DONE, BEST FIRST", "call")
    room = view.height - 3 - y
    does = [
        (wrap(m.do, view.width - 16), wrap(f"to be seen: {m.shows}", view.width - 6))
        for m in talk.ways
    ]
    first = last = talk.at or 0
    high = [len(do) + len(seen) for do, seen in does]
    while first and sum(high[first - 1 : last + 1]) <= room:
        first -= 1
    while last + 1 < len(does) and sum(high[first : last + 2]) <= room:
        last += 1
    if last + 1 - first < len(does):
        canvas.right(y, f"{first + 1} to {last + 1} of {len(does)}", "", view.width - 1)
    y += 1
    for number in range(first, last + 1):
        do, seen = does[number]
        pointer(canvas, 1, y, talk, str(number + 1))
        canvas.text(2, y, str(number + 1), "key")
        canvas.zone(1, y, view.width - 2, high[number], str(number + 1))
        canvas.text(view.width - 10, y, takes(talk.ways[number].seconds), "bold")
        for line, style in [(part, "bold") for part in do] + [(part, "") for part in seen]:
            if y < view.height - 2:
                canvas.text(5, y, line, style)
            y += 1


def _read_result(canvas: Canvas, talk: SlipTalk, y: int, view: View) -> int:
    assert talk.edits is not None
    place = talk.plan.structure.places[talk.place - 1]
    canvas.text(1, y, f"READ OFF at {place}", "call", view.width - 2)
    y += 1
    left = len(talk.scene.loads[talk.scene.arrangement[talk.place - 1] - 1])
    left -= talk.scene.counts[talk.scene.arrangement[talk.place - 1] - 1]
    found = [_edit(edit, left) for edit in talk.edits] or ["the strand is as planned"]
    lines, most = wrap("; ".join(found) + ".", view.width - 4), view.height - 12
    if len(lines) > most:
        lines = [*lines[: most - 1], f"… {len(found)} differences in all"]
    for line in lines:
        canvas.text(3, y, line)
        y += 1
    return y


def _edit(edit: Edit, left: int) -> str:
    at = ordinal(edit.at + 1)
    where = f"before the {at} bead planned from here" if edit.at < left else "behind all planned"
    actual = bead_name(edit.actual)
    return {
        "missing": f"the {at} bead planned from here, {edit.bead}, is missing",
        "extra": f"one {actual} too many hangs {where}",
        "wrong": f"one {actual} hangs as the {at} bead from here, in place of one {edit.bead}",
    }[edit.kind]
