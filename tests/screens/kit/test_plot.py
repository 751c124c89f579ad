"""Plots: where a value stands, and which of many are shown."""

from __future__ import annotations

from bench.screens.kit.canvas import Canvas
from bench.screens.kit.plot import PlotPoint, bar, draw_points


def test_points_outside_the_band_stand_out() -> None:
    """A value above its band is drawn as a warning, one within as a plain spot."""
    canvas = Canvas(40, 12)
    spots = [PlotPoint(1, 60.0, 50.0, 58.0, 70.0), PlotPoint(2, 90.0, 50.0, 58.0, 70.0)]
    draw_points(canvas, 0, 0, 40, 12, spots)
    drawn = [style for row in canvas.rows for ch, style in row if ch == "●"]
    assert sorted(drawn) == ["call", "warn"]
    heights = [y for y, row in enumerate(canvas.rows) if any(ch == "●" for ch, _ in row)]
    assert heights[0] < heights[1]


def test_long_histories_show_the_newest() -> None:
    """More pieces than columns: the newest are shown, with the numbers that they have."""
    canvas = Canvas(60, 12)
    spots = [PlotPoint(n, 60.0 + n % 5, 50.0, 58.0, 70.0) for n in range(1, 301)]
    draw_points(canvas, 0, 0, 60, 12, spots)
    text = canvas.as_text()
    assert text.count("●") == 54
    assert "247" in text


def test_a_bar_is_as_long_as_its_share() -> None:
    """A bar fills its share of the room, to half a cell."""
    assert bar(0.5, 10) == "█████"
    assert bar(0.25, 10) == "██▌"
    assert bar(0.0, 10) == ""
