"""The log of a sketch, open to be worked on: a line for each operation, written at once.

A line is with the operating system before `append` returns, so that
a killed program loses nothing, and on the disk within SYNC_S seconds. At rest the log is written
anew without what no step back can reach. One program writes a sketch at a time.
"""

from __future__ import annotations

import contextlib
import json
import os
import threading
from collections.abc import Iterator
from pathlib import Path

from bench.craft.text import cleaned
from bench.design.history import History
from bench.design.operation import Desk, Operation
from bench.design.sheet import Sheet
from bench.design.sheet_record import sheet_values
from bench.documents.errors import DocumentError
from bench.documents.sketch import SUFFIX, Sketch, read_log, sketch_path
from bench.documents.writing import write_file
from bench.journal.errors import Locked, Unwritable
from bench.journal.lock import FileLock

SYNC_S = 1.0
"""A power cut costs at most the operations of so many seconds."""
MOST_BACK = 1_000
"""So many operations can be taken back once a log was written anew."""


class SketchLog:
    """A sketch that is open to be worked on, and its log, until `close`.

    `sketch` is as it was opened. `trouble` says, in one sentence, why the last operations are not
    saved, else it is ""; `waiting` how many. They are tried again with every operation. `kept` is
    the sheet as the pattern's file has it, `stamp` that file's.
    """

    def __init__(self, path: Path, sketch: Sketch, lock: FileLock) -> None:
        self.path, self.sketch = path, sketch
        self.trouble = ""
        self.kept, self.stamp = sketch.kept, sketch.stamp
        self._lock = lock
        self._waiting: list[bytes] = []
        self._handle = -1
        self._size = 0
        self._torn = False
        self._guard = threading.Lock()
        self._timer: threading.Timer | None = None

    @classmethod
    def begin(cls, home: Path, sketch: Sketch) -> SketchLog:
        """Begin the log of a new sketch.

        Raises DocumentError if there is a sketch of that name, or if it cannot be written.
        """
        path = sketch_path(home, sketch.name)
        lock = _locked(path)
        try:
            if os.path.lexists(path):
                raise DocumentError(path, "there is a sketch of that name already")
            log = cls(path, sketch, lock)
            log.compact(sketch.history)
        except BaseException:
            lock.release()
            raise
        return log

    @classmethod
    def open(cls, home: Path, name: str, desk: Desk) -> SketchLog:
        """Open a sketch to go on with it.

        What cannot be read is told in the sketch; the whole file as it was is kept beside then.
        Raises DocumentError if another program works on it, or if it cannot be read or written.
        """
        path = sketch_path(home, name)
        if not path.exists():
            raise DocumentError(path, "there is no such sketch")
        lock = _locked(path)
        try:
            sketch, whole, raw = read_log(path, desk)
            log = cls(path, sketch, lock)
            log._open(whole, raw)
        except BaseException:
            lock.release()
            raise
        return log

    @property
    def waiting(self) -> int:
        """How many lines are not saved."""
        return len(self._waiting)

    def append(self, operation: Operation) -> bool:
        """Write an operation; return whether it, and all before it, is saved."""
        return self._write(operation.model_dump_json(exclude_none=True).encode() + b"\n")

    def keep(self, sheet: Sheet, stamp: str) -> bool:
        """Note that the sheet as it is now was kept as a pattern, whose file has that stamp."""
        self.kept, self.stamp = sheet, stamp
        return self._write(json.dumps({"kind": "kept", "stamp": stamp}).encode() + b"\n")

    def compact(self, history: History) -> None:
        """Write the log anew: the sheet, and what can be taken back from it or done again.

        Raises DocumentError if that cannot be; the log is as before then.
        """
        old = self._handle >= 0
        if old and not self._in_place():
            raise DocumentError(self.path, self.trouble)
        start, operations = history.retold(MOST_BACK)
        lines = list(_lines(self.sketch, start, operations, self.kept, self.stamp))
        raw = b"".join(lines)
        self._let_go()
        try:
            write_file(self.path, raw.decode(), SUFFIX, synced=True)
        except DocumentError:
            if old:
                self._open(self._size, b"")
            raise
        self._waiting.clear()
        self.trouble = ""
        self._open(len(raw), raw)

    def remove(self) -> None:
        """Throw the sketch away and close it. Raises DocumentError if that cannot be."""
        try:
            os.unlink(self.path)
        except OSError as error:
            raise DocumentError(self.path, f"it cannot be removed ({error.strerror})") from None
        self._waiting.clear()
        self.close()

    def close(self) -> None:
        """Try once more what is not saved, bring all to the disk and let other programs have it."""
        if self._waiting:
            self._write(b"")
        self._let_go()
        self._lock.release()

    def _open(self, whole: int, raw: bytes) -> None:
        """Open the file to append; what stands behind its whole lines is cut off."""
        if b"\n" in raw[whole:]:
            beside = self.path.with_name(f".{self.path.stem}.before{SUFFIX}")
            write_file(beside, raw.decode("utf-8", "replace"), SUFFIX)
        try:
            self._handle = os.open(self.path, os.O_WRONLY | os.O_APPEND)
            os.ftruncate(self._handle, whole)
        except OSError as error:
            self._let_go()
            raise DocumentError(self.path, f"it cannot be written ({error.strerror})") from None
        self._size = whole

    def _write(self, line: bytes) -> bool:
        """Append lines, those that wait first."""
        if line:
            self._waiting.append(line)
        if not self._in_place():
            return False
        with self._guard:
            try:
                while self._waiting:
                    _whole_line(self._handle, self._waiting[0])
                    self._size += len(self._waiting.pop(0))
            except OSError as error:
                self._torn = True
                self.trouble = f"not saved ({error.strerror}), in {cleaned(str(self.path))}"
                return False
        self.trouble = ""
        self._sync_soon()
        return True

    def _in_place(self) -> bool:
        """Whether the file at the path is still the one that is written, and as it was left.

        A line that was half written, and could not be taken out, is taken out now.
        """
        try:
            there, here = os.stat(self.path), os.fstat(self._handle)
            same = (there.st_dev, there.st_ino) == (here.st_dev, here.st_ino)
            if same and self._torn:
                os.ftruncate(self._handle, self._size)
                self._torn = False
            elif not same or here.st_size != self._size:
                self.trouble = f"another program wrote into the sketch {cleaned(str(self.path))}"
                return False
        except OSError as error:
            self.trouble = f"not saved ({error.strerror}), in {cleaned(str(self.path))}"
            return False
        return True

    def _sync_soon(self) -> None:
        if self._timer is None:
            self._timer = threading.Timer(SYNC_S, self._sync)
            self._timer.daemon = True
            self._timer.start()

    def _sync(self) -> None:
        with self._guard:
            self._timer = None
            if self._handle >= 0:
                with contextlib.suppress(OSError):
                    os.fsync(self._handle)

    def _let_go(self) -> None:
        """Bring all to the disk and close the file."""
        with self._guard:
            if self._timer is not None:
                self._timer.cancel()
                self._timer = None
            if self._handle >= 0:
                with contextlib.suppress(OSError):
                    os.fsync(self._handle)
                os.close(self._handle)
                self._handle = -1


def _locked(path: Path) -> FileLock:
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        return FileLock(path.with_name(f".{path.stem}.lock"))
    except Locked as locked:
        holder = str(locked).partition("(")[2].partition(")")[0]
        message = f"another braid-bench works on this sketch ({holder}); close it there"
        raise DocumentError(path, message) from None
    except Unwritable as error:
        cause = error.__cause__
        reason = cause.strerror if isinstance(cause, OSError) else str(error)
        raise DocumentError(path, f"it cannot be written ({reason})") from None
    except OSError as error:
        raise DocumentError(path, f"it cannot be written ({error.strerror})") from None


def _lines(
    sketch: Sketch,
    start: Sheet,
    operations: tuple[Operation, ...],
    kept: Sheet | None,
    stamp: str | None,
) -> Iterator[bytes]:
    head = {
        "format": 1,
        "sketch": sketch.name,
        "source": sketch.source,
        "stamp": stamp,
        "kept": None if kept is None else sheet_values(kept),
        "sheet": sheet_values(start),
    }
    yield json.dumps(head, separators=(",", ":")).encode() + b"\n"
    for operation in operations:
        yield operation.model_dump_json(exclude_none=True).encode() + b"\n"


def _whole_line(handle: int, line: bytes) -> None:
    while line:
        line = line[os.write(handle, line) :]
