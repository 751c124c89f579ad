"""The widget that shows a canvas: it repaints only the lines that changed."""

from __future__ import annotations

from rich.segment import Segment
from rich.style import Style as RichStyle
from textual.geometry import Region
from textual.strip import Strip
from textual.widget import Widget

from .canvas import Canvas

STYLES = (
    "bold", "dim", "call", "rule", "warn", "mark", "back", "key", "picked", "carry", "good", "bead",
)  # fmt: skip
"""The named styles of a canvas; each is a component class of the board."""


class Board(Widget):
    """Shows one canvas over the whole screen."""

    COMPONENT_CLASSES = {f"board--{name}" for name in STYLES}  # noqa: RUF012
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
        self._strips: dict[int, Strip] = {}

    @property
    def canvas(self) -> Canvas:
        """What is shown."""
        return self._canvas

    def show(self, canvas: Canvas) -> None:
        """Show a canvas; only lines that differ from the one before are painted again."""
        before, self._canvas = self._canvas, canvas
        if (before.width, before.height) != (canvas.width, canvas.height):
            self._strips.clear()
            self.refresh()
            return
        changed = [y for y in range(canvas.height) if before.rows[y] != canvas.rows[y]]
        for y in changed:
            self._strips.pop(y, None)
        if changed:
            self.refresh(*(Region(0, y, canvas.width, 1) for y in changed))

    def notify_style_update(self) -> None:
        """Forget every painted line when a theme or style changes."""
        self._strips.clear()
        super().notify_style_update()

    def render_line(self, y: int) -> Strip:
        """Return line y of the canvas."""
        known = self._strips.get(y)
        if known is not None:
            return known
        base = self.rich_style
        if y >= self._canvas.height:
            return Strip.blank(self.size.width, base)
        segments: list[Segment] = []
        run, run_style = "", ""
        for ch, style in self._canvas.rows[y]:
            if style != run_style and run:
                segments.append(Segment(run, self._style(run_style, base)))
                run = ""
            run_style = style
            run += ch
        segments.append(Segment(run, self._style(run_style, base)))
        strip = Strip(segments).adjust_cell_length(self.size.width, base)
        self._strips[y] = strip
        return strip

    def _style(self, name: str, base: RichStyle) -> RichStyle:
        if not name:
            return base
        if name.startswith("#"):
            return base + RichStyle(color=name)
        return base + self.get_component_rich_style(f"board--{name}", partial=True)
