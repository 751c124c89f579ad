"""The log by which a draft is kept while it is drawn: begun with its first change, let go at rest.

A draft that was only looked at leaves nothing behind.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from bench.craft.text import Fault, cleaned
from bench.design.history import History
from bench.design.operation import Operation
from bench.documents.errors import DocumentError
from bench.documents.sketch import Sketch, sketch_names
from bench.documents.sketch_log import SketchLog

LONGEST_NAME = 40


@dataclass
class DraftLog:
    """Writes what is done to a draft; `trouble` says why that could not be, else it is "".

    `home`: the maker's data folder. `source`: the pattern that the draft began as.
    """

    home: Path
    source: str = ""
    open_log: SketchLog | None = None
    trouble: str = ""

    def did(self, operation: Operation, as_now: Callable[[], Sketch]) -> None:
        """Write an operation; `as_now` gives what a new log begins with, the operation in it."""
        if self.open_log is None:
            self._begin(as_now())
            return
        self.open_log.append(operation)
        self._note_trouble()

    def kept(self, name: str, history: History, stamp: str) -> None:
        """Note that the draft was kept as a pattern of a name; its log has that name from now."""
        log = self.open_log
        if log is None:
            return
        if log.sketch.name == name:
            log.keep(history.sheet, stamp)
            self._note_trouble()
            return
        self.discard()
        self._begin(Sketch(name, self.source, stamp, history, history.sheet))

    def rest(self, history: History, *, is_kept: bool) -> None:
        """Let the log go; what the pattern's file has needs none."""
        log, self.open_log = self.open_log, None
        if log is None:
            return
        try:
            if is_kept:
                log.remove()
            else:
                log.compact(history)
                log.close()
        except DocumentError:
            log.close()

    def discard(self) -> None:
        """Throw the log away."""
        log, self.open_log = self.open_log, None
        if log is not None:
            try:
                log.remove()
            except DocumentError:
                log.close()

    def _begin(self, sketch: Sketch) -> None:
        try:
            self.open_log = SketchLog.begin(self.home, sketch)
            self.trouble = ""
        except DocumentError as error:
            self.trouble = f"{error.message}, in {cleaned(str(error.file))}"
        except Fault as fault:
            self.trouble = str(fault)

    def _note_trouble(self) -> None:
        assert self.open_log is not None
        waiting = self.open_log.waiting
        said = self.open_log.trouble
        self.trouble = f"{said} ({waiting:,} waiting)" if said and waiting else said


def free_name(home: Path, wanted: str) -> str:
    """A name for a new log: the wanted one, or with a number behind it.

    The names of the maker's patterns are theirs: a log of such a name is of that pattern.
    """
    taken = set(sketch_names(home))
    name, number = wanted, 2
    while name in taken or file_of(home, name).exists():
        end = f"-{number}"
        name, number = f"{wanted[: LONGEST_NAME - len(end)]}{end}", number + 1
    return name


def file_of(home: Path, name: str) -> Path:
    """The file of the maker's pattern of a name."""
    return home / "patterns" / f"{name}.toml"
