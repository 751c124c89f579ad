"""Whether text on a screen is written over other text, or cut at its edge."""

from __future__ import annotations

import pytest

from bench.screens.kit.board_screen import BoardScreen
from bench.screens.kit.canvas import Canvas, Style, fit

CUT = {
    "Downpipe, moss",
    "Silver Eaves, small, dusk",
    "second",
    "Each thread fixed at its middle, ends at their places",
    "one c on the line of top, right of the two, at cross 35",
}
"""Names in a line of a list, and steps of a list that are said in full where they are in hand."""


class Written:
    """Notes, of all text that is written on any canvas, what covers other text and what is cut."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.covered: list[str] = []
        self.cut: list[str] = []
        write = Canvas.text

        def text(
            canvas: Canvas, x: int, y: int, text: str, style: Style = "", width: int | None = None
        ) -> int:
            row = canvas.rows[y] if 0 <= y < canvas.height else []
            room = canvas.width - x if width is None else min(width, canvas.width - x)
            shown = fit(text, room)
            under = "".join(ch for ch, _ in row[max(0, x) : x + len(shown)])
            if shown.strip() and any(
                a.isalnum() and a != b for a, b in zip(under, shown, strict=False)
            ):
                self.covered.append(f"{shown!r} over {under!r}")
            if shown != fit(text, 10_000):
                self.cut.append(text)
            return write(canvas, x, y, text, style, width)

        monkeypatch.setattr(Canvas, "text", text)

    def wrong_on(self, screen: BoardScreen) -> list[str]:
        """Draw a screen anew; what is written over other text on it, or cut."""
        self.covered.clear()
        self.cut.clear()
        screen.look_again()
        return self.covered + [f"cut {found!r}" for found in self.cut if not _may_be_cut(found)]


def _may_be_cut(found: str) -> bool:
    """Whether a text may be cut: a name in a list, or a path, as long as the maker's folders."""
    path = found.startswith("/") or "/home." in found
    return found in CUT or path or "journal.db" in found or "file exists" in found
