"""A piece that waits between two stages, as a loaded set for the stand."""

from __future__ import annotations

from collections.abc import Sequence

from bench.making.loading import set_tag
from bench.screens.bench.standing import LEAVE, NOTE, Standing
from bench.screens.kit import words
from bench.screens.kit.canvas import Canvas
from bench.screens.kit.deeds import Deed
from bench.screens.kit.header import headed
from bench.screens.kit.page import foot, paragraph, title
from bench.screens.kit.view import View


class Waiting(Standing):
    """The stage before is done, and the next one has not begun."""

    def deeds(self) -> Sequence[Deed]:
        """Begin the next stage, or take the end of the one before back."""
        before = "the stage before was not done yet: it goes on"
        return (
            Deed("next", "take it up: the next stage begins", None, self._take_up),
            Deed("mark", "", None, self._take_up),
            Deed("back", before, None, self.braid.go_back_a_stage),
            NOTE,
            LEAVE,
        )

    def _take_up(self) -> None:
        if self.braid.next_stage is not None:
            self.braid.go_to_stage(self.braid.next_stage)

    def draw(self, view: View) -> Canvas:
        """Draw a piece between two stages, as a loaded set that waits for the stand."""
        braid = self.braid
        canvas = headed(braid.state, view)
        following = words.STAGE_WORDS[braid.next_stage or "finish"]
        loaded = braid.next_stage == "set_up"
        _, y = title(canvas, view, "LOADED" if loaded else "WAITS", "call", [])
        if braid.state.tag is not None:
            tag = set_tag(braid.state)
            y = paragraph(canvas, y, f"Take the set that is tagged “{tag}”.", "bold", y + 2) + 1
        canvas.text(1, y, f"Next: {following}.")
        canvas.text(1, y + 2, view.said, "warn")
        foot(canvas, view, following)
        return canvas
