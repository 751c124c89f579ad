"""Setting up: the keys of the bench lead through the steps at the stand."""

from __future__ import annotations

from collections.abc import Sequence

from bench.making.set_up_steps import SetUp
from bench.screens.bench.mode import Bench
from bench.screens.bench.standing import LEAVE, LEAVE_WEIGHT, NOTE, PAUSE, POINT, Standing
from bench.screens.kit.canvas import Canvas
from bench.screens.kit.deeds import Deed
from bench.screens.kit.view import View
from bench.screens.preparing.set_up_view import draw_setting_up


class SettingUp(Standing):
    """Strands, tama and weights are hung up, step by step."""

    def __init__(self, bench: Bench) -> None:
        super().__init__(bench)
        self.set_up = SetUp.of(bench.braid, bench.companion.settings)

    def weight_hangs(self) -> bool:
        """Whether the counterweight is on: the clips, which come last, are in hand."""
        return self.set_up.weight_hangs

    def deeds(self) -> Sequence[Deed]:
        """One step on or back."""
        on = "this step is done; after the last one comes the first cross"
        back = "one step back; before the first one, back to loading"
        return (
            Deed("next", on, None, self._on),
            Deed("back", back, "step back", self._back),
            Deed("mark", "the same: one step, never two", "step done", self._on),
            POINT,
            PAUSE,
            NOTE,
            LEAVE_WEIGHT if self.weight_hangs() else LEAVE,
        )

    def _on(self) -> None:
        if not self.set_up.step_on():
            self.braid.end_stage()

    def _back(self) -> None:
        if not self.set_up.step_back():
            self.braid.go_back_a_stage()

    def draw(self, view: View) -> Canvas:
        """Draw the step in hand among all steps."""
        return draw_setting_up(self.set_up, view)
