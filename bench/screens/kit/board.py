"""The widget that shows a canvas: it repaints only the lines that changed."""

from __future__ import annotations

from itertools import groupby
from operator import itemgetter

from rich.segment import Segment
from rich.style import Style as RichStyle
from textual.geometry import Region
from textual.strip import Strip
from textual.widget import Widget

from bench.screens.kit.canvas import Canvas, Cell

STYLES = (
    "bold", "dim", "call", "rule", "warn", "mark", "back", "key", "picked", "carry", "good", "bead",
)  # fmt: skip
"""The named styles of a canvas; each is a component class of the board."""
LINES_KEPT = 2000
"""Painted lines that a board remembers; about 2 MB."""


class Board(Widget):
    """Shows one canvas over the whole screen."""

    COMPONENT_CLASSES = {f"board--{name}" for name in STYLES}
    DEFAULT_CSS = """
    Board {
        width: 1fr; height: 1fr;
        background: $background; color: $foreground;
        & > .board--bold { text-style: bold; }
        & > .board--dim { color: $secondary; }
        & > .board--rule { color: $secondary; }
        & > .board--call { color: $primary; text-style: bold; }
        & > .board--carry { color: $primary; text-style: bold reverse; }
        & > .board--bead { color: $accent; text-style: bold; }
        & > .board--warn { color: $warning; text-style: bold; }
        & > .board--mark { color: $background; background: $warning; text-style: bold; }
        & > .board--back { color: $error; text-style: bold; }
        & > .board--key { color: $foreground; text-style: bold underline; }
        & > .board--picked { color: $background; background: $primary; text-style: bold; }
        & > .board--good { color: $success; text-style: bold; }
    }
    """

    def __init__(self) -> None:
        super().__init__()
        self._canvas = Canvas(0, 0)
        self._styles: dict[str, RichStyle] = {}
        self._lines: dict[tuple[Cell, ...], Strip] = {}

    @property
    def canvas(self) -> Canvas:
        """What is shown."""
        return self._canvas

    def show(self, canvas: Canvas) -> None:
        """Show a canvas; only lines that differ from the one before are painted again."""
        before, self._canvas = self._canvas, canvas
        if (before.width, before.height) != (canvas.width, canvas.height):
            self.refresh()
            return
        stretches: list[Region] = []
        for y, (old, new) in enumerate(zip(before.rows, canvas.rows, strict=True)):
            if old != new:
                if stretches and stretches[-1].bottom == y:
                    stretches[-1] = stretches[-1].grow((0, 0, 1, 0))
                else:
                    stretches.append(Region(0, y, canvas.width, 1))
        if stretches:
            self.refresh(*stretches)

    def prepare(self, canvas: Canvas) -> None:
        """Paint the lines of a canvas that will be shown soon, as the terminal gets them.

        A strip keeps what a filter made of it and what it was rendered to.
        """
        for strip in self._filtered([self._painted(tuple(row)) for row in canvas.rows]):
            strip.render(self.app.console)

    def notify_style_update(self) -> None:
        """Forget every painted line and style when a theme changes."""
        self._styles.clear()
        self._lines.clear()
        super().notify_style_update()

    def render_lines(self, crop: Region) -> list[Strip]:
        """Return the lines inside the crop.

        A line that was painted lately is taken as it was: most lines of a bench come again and
        again, and making one afresh costs ten times as much as finding it.
        """
        strips = self._filtered([self.render_line(y) for y in crop.line_range])
        if crop.column_span != (0, self.size.width):
            strips = [strip.crop(*crop.column_span) for strip in strips]
        return strips

    def _filtered(self, strips: list[Strip]) -> list[Strip]:
        """Strips as the filters of the app show them, such as one for shades of grey."""
        for line_filter in self.get_line_filters():
            background = self.background_colors[1]
            strips = [strip.apply_filter(line_filter, background) for strip in strips]
        return strips

    def render_line(self, y: int) -> Strip:
        """Return line y of the canvas."""
        return self._painted(tuple(self._canvas.rows[y]) if y < self._canvas.height else ())

    def _painted(self, row: tuple[Cell, ...]) -> Strip:
        known = self._lines.get(row)
        if known is None or known.cell_length != self.size.width:
            segments = [
                Segment("".join([ch for ch, _ in cells]), self.style_of(style))
                for style, cells in groupby(row, key=itemgetter(1))
            ]
            known = Strip(segments).adjust_cell_length(self.size.width, self.style_of(""))
            if len(self._lines) >= LINES_KEPT:
                self._lines.clear()
            self._lines[row] = known
        return known

    def style_of(self, name: str) -> RichStyle:
        """How the terminal shows a style, under the present theme."""
        known = self._styles.get(name)
        if known is None:
            known = self.rich_style
            if name.startswith("#"):
                colour, _, ground = name.partition("/")
                known += RichStyle(color=colour, bgcolor=ground or None)
            elif name:
                known += self.get_component_rich_style(f"board--{name}", partial=True)
            self._styles[name] = known
        return known
