"""The keys at the foot of a page of the bench."""

from __future__ import annotations

from bench.documents.settings import Settings
from bench.screens.bench.loading import DEEDS, THROWN_OUT, TUBE_IS_EMPTY
from bench.screens.kit.action_keys import draw_keys
from bench.screens.kit.canvas import Canvas
from bench.screens.kit.deeds import foot_of
from bench.screens.kit.keys import Keys
from bench.screens.kit.view import View


def test_a_key_that_is_no_action_stands_at_the_foot_by_its_name() -> None:
    """TAB and X of loading have no action in the settings: they are named and touched as keys."""
    for width, height in ((60, 20), (80, 24), (120, 40)):
        foot = foot_of((TUBE_IS_EMPTY, THROWN_OUT, *DEEDS["string"]))
        canvas = Canvas(width, height)
        draw_keys(canvas, View(width, height, Keys(Settings()), foot=foot))
        assert "TAB tube is empty" in canvas.as_text()
        assert {"tab", "x", "back", "leave"} <= {zone.action for zone in canvas.zones}
