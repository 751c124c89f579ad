"""Loading and setting up on the bench: whichever the piece in hand has come to."""

from __future__ import annotations

from typing import Literal

from bench.documents.settings import Settings
from bench.making.braid import Braid
from bench.screens.kit.canvas import Canvas
from bench.screens.kit.view import View
from bench.screens.preparing.loader import Loader
from bench.screens.preparing.loading_view import draw_loading
from bench.screens.preparing.set_up_steps import SetUp
from bench.screens.preparing.set_up_view import draw_setting_up

NOTHING_DONE = "nothing was counted"
"""Why a piece was given up that was only looked at."""
Outcome = Literal["next set", "on", "before", "weigh"]


class Preparing:
    """Holds what is worked out for the present stage; made anew when the stage changes."""

    def __init__(self, braid: Braid) -> None:
        self.braid = braid
        self.part: Loader | SetUp | None = None

    def in_hand(self, settings: Settings) -> bool:
        """Whether the piece is being loaded or set up."""
        stage = self.braid.state.stage
        if stage == "load" and any(self.braid.plan.loads):
            if not isinstance(self.part, Loader):
                self.part = Loader.of(self.braid, settings)
        elif stage == "set_up":
            if not isinstance(self.part, SetUp):
                self.part = SetUp.of(self.braid, settings)
        else:
            self.part = None
        return self.part is not None

    def read_again(self, settings: Settings) -> None:
        """Take in what another screen has kept: beads that were weighed."""
        if isinstance(self.part, Loader):
            self.part.read_again(settings)

    def press(self, action: str, key: str) -> Outcome | None:
        """Take an action's key, or another one; return where the maker goes on to, if elsewhere."""
        if isinstance(self.part, Loader):
            return self.part.press(action, key)
        return self.part.press(action) if self.part is not None else None

    def leave(self) -> str:
        """The maker leaves the bench; return what is to be said of it.

        A set that is loaded is laid aside, to wait for the stand. A piece at which nothing was done
        goes off the list again.
        """
        if isinstance(self.part, Loader) and self.part.page == "done":
            self.braid.lay_aside()
        if self.braid.state.blank and self.braid.state.open:
            self.braid.give_up(NOTHING_DONE)
            return f"{self.braid.state.title} is off the list: nothing was counted of it yet."
        return ""

    def draw(self, view: View) -> Canvas:
        """Draw what is in hand."""
        assert self.part is not None
        if isinstance(self.part, Loader):
            return draw_loading(self.part, view)
        return draw_setting_up(self.part, view)
