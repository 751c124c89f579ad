"""A pattern on the drawing board: what was done to it, where it is kept, and how it is shown."""

from __future__ import annotations

import contextlib
import math
import re
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from bench.craft.pattern import Bead, Pattern, Threads
from bench.craft.structure import Structure
from bench.craft.text import Fault
from bench.design.history import History
from bench.design.operation import Desk, Operation
from bench.design.operations import Redo, Undo
from bench.design.sheet import Sheet
from bench.documents.errors import DocumentError
from bench.documents.pattern_writing import (
    edited_pattern,
    stamp_of,
    write_document,
    written_pattern,
)
from bench.documents.sketch import Sketch, read_log, sketch_names, sketch_path
from bench.documents.sketch_log import SketchLog
from bench.screens.drawing.draft_log import LONGEST_NAME, DraftLog, file_of, free_name

if TYPE_CHECKING:
    from bench.documents.library import Library

ROWS_OF_A_NEW_ONE = 16
FIRST_BEADS = {
    "a": Bead(size="15/0", colour="#9fb8c8", name="rain grey"),
    "b": Bead(size="11/0", colour="#86a3b8", name="wet slate"),
    "c": Bead(size="8/0", colour="#c3d3dc", name="pale cloud"),
    "d": Bead(size="6/0", colour="#e4edf2", name="clear drop"),
}
"""The palette that a new pattern begins with: the usual ladder of sizes."""
FIRST_THREAD = ("gel-spun 0.13 mm", 0.13)
WRITTEN_ANEW = (
    "The file had to be written anew: comments of the one that it came from are not in it."
)


@dataclass
class Draft:
    """What lies on the board.

    `name`: what its file is called, empty until it is kept. `text`: the file that it comes from, so
    that comments stay; `stamp`: what that file held when it was read or written last. `kept`: the
    sheet as its file has it. `size`, `colourway`: those that are shown, None for the pattern's own.
    `log`: where each operation is written at once. `told`: what of an earlier log was passed over.
    """

    history: History
    desk: Desk
    name: str = ""
    path: Path | None = None
    text: str = ""
    stamp: str | None = None
    kept: Sheet | None = None
    size: str | None = None
    colourway: str | None = None
    log: DraftLog | None = None
    told: tuple[str, ...] = ()

    @property
    def trouble(self) -> str:
        """Why what was done last is not saved; "" if it is."""
        return self.log.trouble if self.log is not None else ""

    @property
    def sheet(self) -> Sheet:
        """The sheet as it is now."""
        return self.history.sheet

    @property
    def is_kept(self) -> bool:
        """Whether its file has it as it is now."""
        return self.kept is not None and (self.kept is self.sheet or self.kept == self.sheet)

    def do(self, operation: Operation) -> None:
        """Do an operation. Raises Fault where it cannot be done; nothing is changed then."""
        self._take(self.history.do(operation, self.desk), operation)

    def undo(self) -> None:
        """Take the last operation back."""
        self._take(self.history.undo(), Undo())

    def redo(self) -> None:
        """Do what was taken back last again."""
        self._take(self.history.redo(), Redo())

    def _take(self, history: History, operation: Operation) -> None:
        """Go on with a history; a size or colourway that is no more is not shown either."""
        self.history = history
        pattern = history.sheet.pattern
        if self.size not in pattern.sizes:
            self.size = None
        if self.colourway not in pattern.colourways:
            self.colourway = None
        if self.log is not None:
            self.log.did(operation, self._as_sketch)

    def _as_sketch(self) -> Sketch:
        """What a log begins with: under its pattern's name, or one that is free."""
        assert self.log is not None
        name = self.name or free_name(self.log.home, _log_name_of(self.sheet.pattern.title))
        return Sketch(name, self.log.source, self.stamp, self.history, self.kept)

    def rest(self) -> None:
        """Let it go as it is: what no pattern's file has stays as a sketch."""
        if self.log is not None:
            self.log.rest(self.history, is_kept=self.is_kept)

    def shown(self, sheet: Sheet | None = None) -> Pattern:
        """The pattern, or another sheet's, in the size and colourway that are shown."""
        pattern = (sheet or self.sheet).pattern
        size = self.size if self.size in pattern.sizes else None
        colourway = self.colourway if self.colourway in pattern.colourways else None
        return pattern.resolve(size, colourway)

    def keep(self) -> str:
        """Write it into its file; return what the maker should know of that, or "".

        Raises Fault while it is no pattern yet, DocumentError where the file cannot be written or
        was changed by another program.
        """
        assert self.path is not None
        pattern = self.sheet.to_pattern()
        edited = edited_pattern(pattern, self.text)
        text = written_pattern(pattern) if edited is None else edited
        self.stamp = write_document(self.path, text, self.stamp)
        self.text, self.kept = text, self.sheet
        if self.log is not None:
            self.log.kept(self.name, self.history, self.stamp)
        return WRITTEN_ANEW if edited is None else ""

    def keep_as(self, name: str, home: Path) -> str:
        """Write it into a new file of the maker's, as `keep`. Where that raises it has no file."""
        before = self.name, self.path, self.stamp
        self.name, self.path, self.stamp = name, file_of(home, name), None
        try:
            return self.keep()
        except (Fault, DocumentError):
            self.name, self.path, self.stamp = before
            raise


def opened(library: Library, name: str, *, copy: bool, resume: bool = True) -> Draft:
    """Put a pattern of the library on the board: its own file to change, or a copy.

    A shipped pattern is always copied. A sketch of its own file is gone on with if `resume`, else
    left as it lies. Raises DocumentError or Fault where it cannot be read.
    """
    path = library.pattern_path(name)
    plan = library.plan(path)
    sheet = Sheet.of(plan.pattern, plan.structure)
    text = path.read_bytes().decode("utf-8")
    log = DraftLog(library.home, path.stem)
    draft = Draft(History(sheet), Desk(library.structure), text=text, log=log)
    if not copy and path.is_relative_to(library.home):
        if resume and _has_sketch(library, path.stem):
            return resumed(library, path.stem)
        draft.name, draft.path, draft.kept = path.stem, path, sheet
        draft.stamp = stamp_of(path)
    return draft


def _has_sketch(library: Library, name: str) -> bool:
    """Whether a sketch of a name is of the maker's pattern of that name, not of a copy."""
    if name not in sketch_names(library.home):
        return False
    sketch, _, _ = read_log(sketch_path(library.home, name), Desk(library.structure))
    return sketch.kept is not None


def begun(library: Library, structure_name: str) -> Draft:
    """Begin a pattern of open cells on a structure. Raises as the library does."""
    structure = library.structure(structure_name)
    name, mm = FIRST_THREAD
    threads = Threads(double_lengths=doubles_of(structure), name=name, diameter_mm=mm)
    pattern = Pattern(
        format=1,
        title="New pattern",
        structure=structure_name,
        crosses=1,
        threads=threads,
        beads=FIRST_BEADS,
    )
    sheet = Sheet.blank(pattern, structure, ROWS_OF_A_NEW_ONE)
    return Draft(History(sheet), Desk(library.structure), log=DraftLog(library.home))


def resumed(library: Library, name: str) -> Draft:
    """Go on with a sketch that was let go, or whose program was killed.

    Raises DocumentError where another program works on it, or it cannot be read.
    """
    desk = Desk(library.structure)
    opened_log = SketchLog.open(library.home, name, desk)
    sketch = opened_log.sketch
    log = DraftLog(library.home, sketch.source, opened_log)
    draft = Draft(sketch.history, desk, log=log, told=sketch.told)
    file = file_of(library.home, name)
    if sketch.kept is not None:
        draft.name, draft.path = name, file
        draft.kept, draft.stamp = sketch.kept, sketch.stamp
    with contextlib.suppress(OSError, DocumentError, Fault, UnicodeDecodeError):
        source = file if draft.name else library.pattern_path(sketch.source)
        draft.text = source.read_bytes().decode("utf-8")
    return draft


def thrown_away(library: Library, name: str) -> None:
    """Throw a sketch away. Raises DocumentError as `resumed`, or where it cannot be removed."""
    SketchLog.open(library.home, name, Desk(library.structure)).remove()


def doubles_of(structure: Structure) -> tuple[tuple[int, int], ...]:
    """Double lengths that lie straight across the stand: usual for eight strands, no source."""
    if structure.strands != 8:
        return ()
    angles = structure.place_angles
    across = {}
    for one, angle in enumerate(angles, 1):
        upright = abs(math.cos(math.radians(angle))) > math.sqrt(0.5)
        wanted = (540 if upright else 360) - angle
        off = [abs((other - wanted + 180) % 360 - 180) for other in angles]
        across[one] = off.index(min(off)) + 1
    return tuple((a, b) for a, b in across.items() if a < b and across[b] == a)


def name_of(title: str) -> str:
    """A file's name from a title: 'Silver Eaves' gives 'silver-eaves'.

    Raises Fault where nothing of it can be in a name.
    """
    name = re.sub(r"[^a-z0-9]+", "-", title.lower()).strip("-")[:LONGEST_NAME].strip("-")
    if not name:
        raise Fault("a title needs a Latin letter or a digit, for its file's name")
    return name


def _log_name_of(title: str) -> str:
    """A sketch's name from its title; any title gives one."""
    try:
        return name_of(title)
    except Fault:
        return "pattern"
