"""Keeping the sketch as a pattern of the maker's, and braiding it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from bench.commission.starting import is_first
from bench.craft.text import Fault, plain
from bench.craft.words import length_said
from bench.design.length import SWATCH_ROWS
from bench.design.operations import Entitle, Lengthen
from bench.design.sheet import Sheet
from bench.documents.errors import DocumentError
from bench.documents.pattern_versions import note_kept
from bench.documents.pattern_writing import ChangedMeanwhileError
from bench.documents.sketch import sketch_names
from bench.journal.errors import JournalError
from bench.making.braid import Braid
from bench.making.worked_pattern import WorkedPattern
from bench.screens.drawing.changed_file import ChangedFile
from bench.screens.drawing.draft import name_of
from bench.screens.drawing.draft_log import file_of
from bench.screens.drawing.host import BoardHost
from bench.screens.drawing.question import Question
from bench.screens.drawing.thread_choice import thread_said

LONGEST_TITLE = 60
LONG_MM = 150.0
"""From such a length on it is asked once more before threads are loaded. A rule of thumb."""


class Keeper:
    """Writes the sketch of a board."""

    def __init__(self, host: BoardHost) -> None:
        self.host, self.companion, self.drawing = host, host.companion, host.drawing
        self._asked: tuple[Sheet, str | None, str | None] | None = None
        """What it was asked of last whether it is to be braided all the same."""

    def keep(self) -> None:
        """Write it; the first time its title is asked for."""
        draft, drawing = self.drawing.draft, self.drawing
        if draft.sheet.open_cells:
            drawing.said = f"{draft.sheet.open_cells:,} cells are still open; lay a bead there."
        elif draft.name:
            self._write(draft.keep)
        else:
            self.keep_as()

    def keep_as(self, then: Callable[[], None] | None = None) -> None:
        """Write it under a title that is asked for; go on with `then` once it is kept."""

        def keep(title: str) -> None:
            self._keep_as(title)
            if then is not None and self.drawing.draft.is_kept:
                then()

        title = self.drawing.draft.sheet.pattern.title
        self.host.ask(Question("What is it called?", self._look, keep, title))

    def braid(self) -> None:
        """Keep it and begin a piece of it at its loading, the first one as the sample."""
        draft, drawing, app = self.drawing.draft, self.drawing, self.companion
        if not draft.is_kept:
            if draft.name or draft.sheet.open_cells:
                self.keep()
            else:
                self.keep_as(self.braid)
                return
        if not draft.is_kept:
            return
        if app.journal is None or app.cannot_write:
            drawing.said = app.cannot_write
            return
        try:
            made = app.session.work_up(draft.name, draft.size, draft.colourway)
            doubt = self._doubt(made)
            asked = draft.sheet, draft.size, draft.colourway
            if doubt and self._asked != asked:
                self._asked = asked
                drawing.said = f"{drawing.key('braid')} again braids it all the same: {doubt}"
                return
            first = is_first(app.journal, made)
            app.to_bench(Braid.start(app.journal, made, stage="load", as_sample=first))
        except (JournalError, DocumentError, Fault) as error:
            drawing.said = str(error)

    def _doubt(self, made: WorkedPattern) -> str:
        """What is to be known before its threads are loaded; "" if nothing is."""
        if made.warnings:
            return f"{made.warnings[0]}."
        done = self.drawing.draft.history.done
        swatch = any(isinstance(one, Lengthen) and one.swatch_mm for one, _ in done)
        measured = swatch or made.calibration.corrections.length.pieces
        if made.growth.length_mm < LONG_MM or measured:
            return ""
        long, key = (
            length_said(made.growth.low_mm, made.growth.high_mm),
            self.drawing.key("figures"),
        )
        return (
            f"{long} is predicted, a swatch of {SWATCH_ROWS} rows tells it;"
            f" its thread is {thread_said(made.pattern.threads)} ({key} T: another)."
        )

    def _look(self, title: str) -> str:
        log = self.drawing.draft.log
        own = log.open_log.sketch.name if log is not None and log.open_log is not None else None
        return title_wrong(title, self.companion.session.home, own)

    def _keep_as(self, title: str) -> None:
        draft = self.drawing.draft
        if title != draft.sheet.pattern.title and not self.drawing.do(Entitle(title=title)):
            return
        self._write(lambda: draft.keep_as(name_of(title), self.companion.session.home))

    def _note_version(self, name: str, before: Sheet | None) -> str:
        """Note what was kept among the pattern's versions; return why that could not be, or "".

        `name` and `before`: what was kept until then, and under which name.
        """
        draft, session = self.drawing.draft, self.companion.session
        now = draft.sheet.to_pattern(), draft.sheet.structure
        was = None
        if before is not None and name == draft.name:
            was = before.to_pattern(), before.structure
        try:
            note_kept(session.home, draft.name, was, now, "", session.clock.now())
        except DocumentError as error:
            return f" {error.message[:1].upper()}{error.message[1:]}."
        return ""

    def _write(self, write: Callable[[], str]) -> None:
        drawing = self.drawing
        name, before = drawing.draft.name, drawing.draft.kept
        try:
            note = write()
        except Fault as fault:
            drawing.said = f"{fault}."
        except ChangedMeanwhileError as error:
            drawing.said, drawing.unsaved = str(error), error.message
            self.host.to_mode(ChangedFile(self.host, self.keep_as, self.keep))
        except DocumentError as error:
            drawing.said, drawing.unsaved, drawing.alarm = str(error), error.message, True
        else:
            drawing.unsaved = ""
            trouble = self._note_version(name, before)
            told = f" {note}" if note else ""
            drawing.said = f"Kept as {drawing.draft.name}; it is on the list.{trouble}{told}"


def title_wrong(title: str, home: Path, own_sketch: str | None) -> str:
    """What is wrong with a title for a new pattern of the maker's, "" if nothing is.

    `own_sketch`: the name of the sketch that is to be kept, which may go on under it.
    """
    try:
        name = name_of(plain(title))
    except Fault as fault:
        return str(fault)
    if len(title) > LONGEST_TITLE:
        return f"a title has at most {LONGEST_TITLE} letters"
    if file_of(home, name).exists():
        return f"there is a pattern '{name}' of yours already; choose another title"
    if name in sketch_names(home) and name != own_sketch:
        return f"there is a sketch '{name}' already; choose another title"
    return ""
