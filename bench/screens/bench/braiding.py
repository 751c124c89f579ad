"""Braiding: the cross to make now, and the next one drawn while the hands are busy."""

from __future__ import annotations

from dataclasses import replace

from bench.screens.bench.at_the_braid import AtTheBraid, counted
from bench.screens.bench.away import Away
from bench.screens.bench.braiding_page import draw_bench
from bench.screens.bench.mode import Bench
from bench.screens.bench.spoken_cross import spoken_cross
from bench.screens.kit.canvas import Canvas
from bench.screens.kit.view import View


class Braiding(AtTheBraid):
    """The hands are moving."""

    def __init__(self, bench: Bench) -> None:
        super().__init__(bench)
        self.ahead = Canvas(0, 0)
        """The page after the next cross."""
        self._ahead_shows: object = None

    def draw(self, view: View) -> Canvas:
        """Draw the cross to make now, or take what was drawn ahead of it."""
        if self._ahead_shows == self._shows(self.braid.made, view):
            return self.ahead
        return draw_bench(self.braid, view, None, self.bench.offers, self.bench.growth)

    def draw_ahead(self, view: View) -> Canvas:
        """Draw what one more cross will show, and keep it."""
        made, plan = self.braid.made + 1, self.braid.plan
        if made < plan.crosses and self.bench.per == "cross":
            done = counted(plan, made, plan.step(made), self.braid.unsaved)
            view = replace(view, done=done, said="", foot=self.foot())
            self.ahead = draw_bench(self.braid, view, made, self.bench.offers, self.bench.growth)
            self._ahead_shows = self._shows(made, view)
        return self.ahead

    def _shows(self, made: int, view: View) -> object:
        """All that the page for so many crosses is drawn from."""
        return made, self.braid.plan, self.braid.state.later, view

    def spoken(self) -> str:
        """The next cross with its beads; its row where that begins."""
        step = self.braid.next_step
        return "" if step is None else spoken_cross(self.braid, step)

    def pass_time(self, idle_s: float) -> bool:
        """Say the place in words once no key has come for long."""
        if idle_s <= self.bench.companion.settings.press.away_s:
            return False
        self.bench.open(Away(self.bench))
        return True
