"""A canvas of character cells with named styles: screens are drawn on it and tested as text."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import lru_cache
from itertools import repeat

from rich.cells import cell_len

from bench.craft.text import is_plain

Style = str
"""A style's name ('call', 'bold', 'warn', …), or a colour '#rrggbb' for a bead.

'#rrggbb/#rrggbb' is a colour on a ground.
"""


Cell = tuple[str, Style]
"""A character and its style; the right half of a wide character is empty."""


@dataclass(frozen=True, slots=True)
class Zone:
    """A part of the canvas that acts like a key when it is touched."""

    x: int
    y: int
    width: int
    height: int
    action: str

    def holds(self, x: int, y: int) -> bool:
        """Whether the cell lies inside."""
        return self.x <= x < self.x + self.width and self.y <= y < self.y + self.height


@dataclass
class Canvas:
    """Rows of cells, each a character and a style. What lies outside is cut off."""

    width: int
    height: int
    zones: list[Zone] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.rows: list[list[Cell]] = [[(" ", "")] * self.width for _ in range(self.height)]

    def text(self, x: int, y: int, text: str, style: Style = "", width: int | None = None) -> int:
        """Write one line, cut to the width with '…'; return the column behind it.

        Whatever is not a plain character is shown as '?', so no text can steer the terminal.
        """
        if not 0 <= y < self.height:
            return x
        room = self.width - x if width is None else min(width, self.width - x)
        cells = _cells(text, room)
        end = x + len(cells)
        if x < 0:
            cells, x = cells[-x:], 0
        self.rows[y][x : x + len(cells)] = zip(cells, repeat(style))
        return end

    def right(self, y: int, text: str, style: Style = "", end: int | None = None) -> int:
        """Write one line that ends before column `end`; return where it begins."""
        edge = self.width if end is None else end
        x = max(0, edge - cell_len(text))
        self.text(x, y, text, style, edge - x)
        return x

    def centre(self, y: int, text: str, style: Style = "", x: int = 0, width: int = 0) -> None:
        """Write one line in the middle of a stretch; the whole width by default."""
        room = width or self.width
        shown = fit(text, room)
        self.text(x + max(0, (room - cell_len(shown)) // 2), y, shown, style)

    def rule(self, y: int) -> None:
        """Draw a line across."""
        self.text(0, y, "─" * self.width, "rule")

    def fill(self, x: int, y: int, width: int, height: int, style: Style) -> None:
        """Fill a rectangle with blanks of a style."""
        for row in range(y, y + height):
            self.text(x, row, " " * width, style)

    def frame(self, x: int, y: int, width: int, height: int, style: Style, double: bool) -> None:
        """Draw a frame, single or double."""
        corner = "╔╗╚╝═║" if double else "┌┐└┘─│"
        self.text(x, y, corner[0] + corner[4] * (width - 2) + corner[1], style)
        self.text(x, y + height - 1, corner[2] + corner[4] * (width - 2) + corner[3], style)
        for row in range(y + 1, y + height - 1):
            self.text(x, row, corner[5], style)
            self.text(x + width - 1, row, corner[5], style)

    def zone(self, x: int, y: int, width: int, height: int, action: str) -> None:
        """Make a part of the canvas act when touched; the last one drawn lies on top."""
        self.zones.append(Zone(x, y, width, height, action))

    def action_at(self, x: int, y: int) -> str | None:
        """The action of the zone at a cell, if there is one."""
        return next((z.action for z in reversed(self.zones) if z.holds(x, y)), None)

    def as_text(self) -> str:
        """The canvas as plain text, without trailing blanks."""
        return "\n".join("".join(ch for ch, _ in row).rstrip() for row in self.rows)


@lru_cache(maxsize=4096)
def _cells(text: str, width: int) -> tuple[str, ...]:
    """What each cell of a line holds; the second cell of a wide character holds nothing."""
    shown = fit(text, width)
    if len(shown) == cell_len(shown):
        return tuple(shown)
    cells: list[str] = []
    for ch in shown:
        wide = cell_len(ch)
        if wide:
            cells += [ch, *[""] * (wide - 1)]
        elif cells:
            cells[-1] += ch
    return tuple(cells)


def fit(text: str, width: int) -> str:
    """Return the text as plain characters, cut to so many cells with '…'."""
    if len(text) <= width and text.isascii() and text.isprintable():
        return text
    shown = "".join(ch if is_plain(ch) else "?" for ch in text)
    if cell_len(shown) <= width:
        return shown
    kept = ""
    for ch in shown:
        if cell_len(kept) + cell_len(ch) > width - 1:
            break
        kept += ch
    return kept + "…" if width > 0 else ""


def clauses(text: str, width: int) -> str:
    """A text as it is where it finds room, else as many whole clauses of it as do."""
    kept = text
    while cell_len(kept) > width and (ends := max(kept.rfind(", "), kept.rfind("; "))) > 0:
        kept = kept[:ends]
    return kept


def wrap(text: str, width: int) -> list[str]:
    """Break a text into lines of at most so many cells, at blanks."""
    lines: list[str] = []
    line = ""
    for word in text.split():
        longer = f"{line} {word}" if line else word
        if cell_len(longer) <= width or not line:
            line = longer
        else:
            lines.append(line)
            line = word
    return [*lines, line] if line else lines
