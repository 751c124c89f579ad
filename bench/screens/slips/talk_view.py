"""The pages of a talk about what went wrong, drawn."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from bench.screens.kit import words
from bench.screens.kit.canvas import Canvas, fit
from bench.screens.kit.view import View
from bench.screens.slips.look_view import draw_look
from bench.screens.slips.mend_view import draw_mend
from bench.screens.slips.mends_view import draw_mends
from bench.screens.slips.report_view import (
    draw_read,
    draw_report,
    draw_sewn,
    draw_which_bead,
    draw_which_line,
)
from bench.screens.slips.talk import SlipTalk, TalkPage


def draw_slip(talk: SlipTalk, view: View) -> Canvas:
    """Draw the page that the talk is at."""
    canvas = Canvas(view.width, view.height)
    end = canvas.text(1, 0, "NOT WHAT I SEE", "call")
    crosses = talk.plan.crosses
    where = f"cross {talk.made + 1} of {crosses}"
    if talk.made >= crosses:
        where = f"all {crosses} crosses are made"
    if talk.made < talk.plan.crosses and talk.plan.row_at(talk.made + 1)[0] is not None:
        where = f"{words.row_words(talk.plan, talk.made + 1)[0]}, {where}"
    canvas.right(0, fit(where, view.width - end - 4), "bold", view.width - 1)
    canvas.rule(1)
    _PAGES[talk.page](canvas, talk, view)
    if talk.said or view.said:
        canvas.text(1, view.height - 4, talk.said or view.said, "warn", view.width - 2)
    return canvas


_PAGES: Mapping[TalkPage, Callable[[Canvas, SlipTalk, View], None]] = {
    "report": draw_report,
    "bead": draw_which_bead,
    "line": draw_which_line,
    "asking": draw_look,
    "mends": draw_mends,
    "mend": draw_mend,
    "read": draw_read,
    "sewn": draw_sewn,
}
