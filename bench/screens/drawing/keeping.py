"""Keeping the sketch as a pattern of the maker's, and braiding it."""

from __future__ import annotations

from collections.abc import Callable

from bench.commission.starting import begun_last_with
from bench.craft.text import Fault
from bench.design.operations import Entitle
from bench.documents.errors import DocumentError
from bench.journal.errors import JournalError
from bench.making.braid import Braid
from bench.screens.drawing.companion import DrawingCompanion
from bench.screens.drawing.drawing import Drawing
from bench.screens.drawing.question import Ask, Question
from bench.screens.drawing.sketch import file_of, name_of

LONGEST_TITLE = 60


class Keeper:
    """Writes the sketch of a board."""

    def __init__(self, companion: DrawingCompanion, drawing: Drawing, ask: Ask) -> None:
        self.companion, self.drawing, self._ask = companion, drawing, ask

    def keep(self) -> None:
        """Write it; the first time its title is asked for."""
        sketch, drawing = self.drawing.sketch, self.drawing
        if sketch.sheet.open_cells:
            drawing.said = f"{sketch.sheet.open_cells:,} cells are still open; lay a bead there."
        elif sketch.name:
            self._write(sketch.keep)
        else:
            title = sketch.sheet.pattern.title
            question = Question("What is it called?", self._look, self._keep_as, title)
            self._ask(question)

    def braid(self) -> None:
        """Begin a piece of it, the sample, and go to the bench."""
        sketch, drawing, app = self.drawing.sketch, self.drawing, self.companion
        if not sketch.is_kept:
            drawing.said = "Keep it first (K): a piece is braided from a pattern that is kept."
            return
        if app.journal is None or app.looking_on:
            drawing.said = app.looking_on or "There is no journal to write to."
            return
        try:
            made = app.session.work_up(sketch.name, sketch.size, sketch.colourway)
            stage = begun_last_with(app.journal)
            app.to_bench(Braid.start(app.journal, made, stage=stage))
        except (JournalError, DocumentError, Fault) as error:
            drawing.said = str(error)

    def _look(self, title: str) -> str:
        try:
            name = name_of(title)
        except Fault as fault:
            return str(fault)
        if len(title) > LONGEST_TITLE:
            return f"a title has at most {LONGEST_TITLE} letters"
        if file_of(self.companion.session.home, name).exists():
            return f"there is a pattern '{name}' of yours already; choose another title"
        return ""

    def _keep_as(self, title: str) -> None:
        sketch = self.drawing.sketch
        if title != sketch.sheet.pattern.title and not self.drawing.do(Entitle(title=title)):
            return
        self._write(lambda: sketch.keep_as(name_of(title), self.companion.session.home))

    def _write(self, write: Callable[[], None]) -> None:
        drawing = self.drawing
        try:
            write()
        except Fault as fault:
            drawing.said = f"{fault}."
        except DocumentError as error:
            drawing.said = str(error)
            drawing.unsaved = error.message
        else:
            drawing.unsaved = ""
            drawing.said = f"Kept as {drawing.sketch.name}; it is on the list."
