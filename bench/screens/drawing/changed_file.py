"""What to do where another program has changed the file of a pattern that is on the board."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import suppress

from bench.craft.text import Fault
from bench.documents.errors import DocumentError
from bench.documents.pattern_writing import stamp_of
from bench.screens.drawing.draft import opened
from bench.screens.drawing.host import BoardHost
from bench.screens.drawing.mode import BoardMode
from bench.screens.drawing.worked_out import load_in_words
from bench.screens.kit.canvas import Canvas, wrap
from bench.screens.kit.help_page import Lines

UNREADABLE = ""
"""No file's stamp: what could not be read is not written over either."""


class ChangedFile(BoardMode):
    """Both are shown, the file's loads and the board's; nothing was written yet.

    Of a file that has gone there is nothing to take.
    """

    whole = True
    help: Lines = (
        ("1", "keep what is on the board under another title"),
        ("2", "write what is on the board over the file as it is now"),
        ("3", "take the file: what is on the board is let go"),
        ("ESC", "back to the board; nothing is written"),
    )

    def __init__(
        self, host: BoardHost, keep_as: Callable[[], None], keep: Callable[[], None]
    ) -> None:
        """`keep_as` keeps it under another title, `keep` over the file that it knows."""
        super().__init__(host.drawing)
        self.host, self._keep_as, self._keep = host, keep_as, keep
        path = self.drawing.draft.path
        self.gone = path is not None and not path.exists()
        self._stamp: str | None = None
        """Of the file that is shown: one that changes meanwhile is not written over."""
        if path is not None and not self.gone:
            self._stamp = UNREADABLE
            with suppress(DocumentError):
                self._stamp = stamp_of(path)
        self.theirs = () if self.gone else self._loads_of_file()
        if self.gone:
            self.help = (
                self.help[0],
                ("2", "write what is on the board into a new file of that name"),
                self.help[-1],
            )

    def press(self, key: str, character: str | None) -> None:
        """Take one of the ways, or go back."""
        if key != "escape" and character not in {way for way, _ in self.help[:-1]}:
            return
        self.host.to_mode(None)
        draft = self.drawing.draft
        assert draft.path is not None
        try:
            if character == "1":
                self._keep_as()
            elif character == "2":
                draft.stamp = self._stamp
                self._keep()
            elif character == "3":
                self._take_file()
        except (DocumentError, Fault) as error:
            self.drawing.said = str(error)

    def _take_file(self) -> None:
        """Put the file on the board; the sketch is let go only once the file could be read."""
        draft, library = self.drawing.draft, self.host.companion.library
        theirs = opened(library, draft.name, copy=False, resume=False)
        if theirs.path != draft.path:
            assert draft.path is not None
            raise DocumentError(draft.path, "the file has gone; the board is as it was")
        if draft.log is not None:
            draft.log.discard()
        self.drawing.draft, self.drawing.unsaved = theirs, ""

    def _loads_of_file(self) -> Sequence[str]:
        path = self.drawing.draft.path
        assert path is not None
        try:
            return _told(self.host.companion.library.plan(path).loads)
        except (DocumentError, Fault) as error:
            return [str(error)]

    def draw(self, canvas: Canvas, y: int) -> None:
        """Draw both side by side, and the three ways."""
        width, height = canvas.width, canvas.height
        what = "HAS GONE" if self.gone else "WAS CHANGED BY ANOTHER PROGRAM"
        canvas.text(1, 0, f"THE FILE {what}; nothing was written", "warn", width - 2)
        canvas.rule(1)
        half = width // 2
        ours = _told(self.drawing.draft.sheet.loads)
        there = "no file is there" if self.gone else "the file"
        for x, heading, lines in ((1, "on the board", ours), (half + 1, there, self.theirs)):
            canvas.text(x, 2, heading, "bold")
            at = 3
            for text in lines:
                for line in wrap(text, half - 2):
                    if at < height - 7:
                        canvas.text(x, at, line)
                    at += 1
        for number, (key, what) in enumerate(self.help[:-1], height - 6):
            canvas.text(1, number, key, "key")
            canvas.text(3, number, what, "", width - 4)
            canvas.zone(1, number, width - 2, 1, key)
        self.draw_foot(canvas, ())


def _told(loads: Sequence[str]) -> list[str]:
    """Each load with its strands, equal ones once."""
    strands: dict[str, list[str]] = {}
    for number, load in enumerate(loads, 1):
        strands.setdefault(load, []).append(str(number))
    return [f"{' '.join(which)}:  {load_in_words(load)}" for load, which in strands.items()]
