"""What to do where another program has changed the file of a pattern that is on the board."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from bench.craft.text import Fault
from bench.documents.errors import DocumentError
from bench.documents.pattern_writing import stamp_of
from bench.screens.drawing.colour_page import foot_of_list
from bench.screens.drawing.draft import opened
from bench.screens.drawing.host import BoardHost
from bench.screens.drawing.mode import BoardMode
from bench.screens.drawing.worked_out import load_in_words
from bench.screens.kit.canvas import Canvas, wrap


class ChangedFile(BoardMode):
    """Both are shown, the file's loads and the board's; nothing was written yet."""

    whole = True
    help = (
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
        self.theirs = self._loads_of_file()

    def press(self, key: str, character: str | None) -> None:
        """Take one of the three ways, or go back."""
        if key != "escape" and character not in {"1", "2", "3"}:
            return
        self.host.to_mode(None)
        draft = self.drawing.draft
        assert draft.path is not None
        try:
            if character == "1":
                self._keep_as()
            elif character == "2":
                draft.stamp = stamp_of(draft.path)
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
        canvas.text(1, 0, "THE FILE WAS CHANGED BY ANOTHER PROGRAM", "warn", width - 2)
        canvas.rule(1)
        half = width // 2
        ours = _told(self.drawing.draft.sheet.loads)
        for x, heading, lines in ((1, "on the board", ours), (half + 1, "the file", self.theirs)):
            canvas.text(x, 2, heading, "bold")
            at = 3
            for text in lines:
                for line in wrap(text, half - 2):
                    if at < height - 7:
                        canvas.text(x, at, line)
                    at += 1
        for number, (_, what) in enumerate(self.help[:3]):
            canvas.text(1, height - 6 + number, str(number + 1), "key")
            canvas.text(3, height - 6 + number, what, "", width - 4)
            canvas.zone(1, height - 6 + number, width - 2, 1, str(number + 1))
        foot_of_list(canvas, ())


def _told(loads: Sequence[str]) -> list[str]:
    """Each load with its strands, equal ones once."""
    strands: dict[str, list[str]] = {}
    for number, load in enumerate(loads, 1):
        strands.setdefault(load, []).append(str(number))
    return [f"{' '.join(which)}:  {load_in_words(load)}" for load, which in strands.items()]
