"""A piece that waits between two stages, as a loaded set for the stand."""

from __future__ import annotations

from bench.making.loading import set_tag
from bench.screens.bench.standing import LEAVE_HELP, NOTE_HELP, Standing
from bench.screens.kit import words
from bench.screens.kit.canvas import Canvas
from bench.screens.kit.header import headed
from bench.screens.kit.help_page import Lines
from bench.screens.kit.page import foot, paragraph, title
from bench.screens.kit.view import View

HELP: Lines = (
    ("next", "take it up: the next stage begins"),
    ("back", "the stage before was not done yet: it goes on"),
    NOTE_HELP,
    LEAVE_HELP,
)


class Waiting(Standing):
    """The stage before is done, and the next one has not begun."""

    help = HELP

    def act(self, action: str) -> None:
        """Begin the next stage, or take the end of the one before back."""
        following = self.braid.next_stage
        if action in {"next", "mark"} and following is not None:
            self.braid.go_to_stage(following)
        elif action == "back":
            self.braid.go_back_a_stage()

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
        foot(canvas, view, following, ("note", "help", "leave"))
        return canvas
