"""Which of the bench's moments is up, drawn."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bench.screens.bench.back_view import draw_back
from bench.screens.bench.braiding_view import draw_bench
from bench.screens.bench.moments_view import (
    draw_away,
    draw_braided,
    draw_mark,
    draw_pause,
    draw_unsaved,
)
from bench.screens.bench.place_view import draw_place
from bench.screens.bench.point import draw_point
from bench.screens.bench.stage_view import draw_ending, draw_stage
from bench.screens.kit.canvas import Canvas
from bench.screens.kit.view import View
from bench.screens.preparing.loading_view import draw_waiting
from bench.screens.slips.talk_view import draw_slip

if TYPE_CHECKING:
    from bench.screens.bench.screen import BenchScreen


def draw_moment(bench: BenchScreen, view: View) -> Canvas:
    """Draw what lies uppermost: what is being typed or asked, else the stage, else the braid."""
    braid, state = bench.braid, bench.braid.state
    if braid.unsaved and not bench.told_trouble:
        return draw_unsaved(braid, view)
    if bench.talk is not None:
        return draw_slip(bench.talk, view)
    if bench.finder is not None:
        return draw_place(bench.finder, view)
    if bench.ending is not None:
        return draw_ending(bench.ending, view)
    if bench.point is not None:
        return draw_point(bench.point, view)
    stick_in = state.paused and state.stage == "set_up"
    if bench.preparing.in_hand(bench.companion.settings) and not stick_in:
        return bench.preparing.draw(view)
    if bench.coming_back or state.paused:
        return draw_pause(braid, view, coming_back=bench.coming_back)
    if state.stage is None and braid.next_stage is not None:
        return draw_waiting(braid, view)
    if state.stage != "braid":
        return draw_stage(braid, view, bench.companion.clock)
    return _braiding(bench, view)


def _braiding(bench: BenchScreen, view: View) -> Canvas:
    braid = bench.braid
    if braid.state.back and braid.made < braid.plan.crosses:
        step = braid.plan.step(braid.made + 1)
        return draw_back(braid, step, view, is_out=bench.back_again)
    due = braid.mark_due
    if due is not None:
        bench.ring((due.after_cross, due.id))
        return draw_mark(braid, due, view)
    if braid.next_step is None:
        return draw_braided(braid, view)
    return draw_away(braid, view) if bench.away else draw_bench(braid, view, None, bench.offers)
