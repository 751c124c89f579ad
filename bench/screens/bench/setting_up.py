"""Setting up: the keys of the bench lead through the steps at the stand."""

from __future__ import annotations

from bench.screens.bench.mode import Bench
from bench.screens.bench.standing import LEAVE_HELP, NOTE_HELP, PAUSE_HELP, POINT_HELP, Standing
from bench.screens.kit.canvas import Canvas
from bench.screens.kit.help_page import Lines
from bench.screens.kit.view import View
from bench.screens.preparing.set_up_steps import SetUp
from bench.screens.preparing.set_up_view import draw_setting_up

HELP: Lines = (
    ("next", "this step is done; after the last one comes the first cross"),
    ("back", "one step back; before the first one, back to loading"),
    ("mark", "the same: one step, never two"),
    POINT_HELP,
    PAUSE_HELP,
    NOTE_HELP,
    LEAVE_HELP,
)


class SettingUp(Standing):
    """Strands, tama and weights are hung up, step by step."""

    help = HELP

    def __init__(self, bench: Bench) -> None:
        super().__init__(bench)
        self.set_up = SetUp.of(bench.braid, bench.companion.settings)

    def weight_hangs(self) -> bool:
        """Whether the counterweight is on: the clips, which come last, are in hand."""
        return self.set_up.at == len(self.set_up.steps) - 1

    def act(self, action: str) -> None:
        """One step on or back; on after the last one, back before the first."""
        outcome = self.set_up.press(action)
        if outcome == "on":
            self.braid.end_stage()
        elif outcome == "before":
            self.braid.go_back_a_stage()

    def draw(self, view: View) -> Canvas:
        """Draw the step in hand among all steps."""
        return draw_setting_up(self.set_up, view)
