"""A sketch on the drawing board as it is kept: where it lies, and what its log tells.

The first line of a log is the sheet that the sketch begins with; each further one an operation, or
that the sketch was kept as a pattern.
"""

from __future__ import annotations

import contextlib
import io
import json
import os
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from bench.craft.text import Fault, check_name, cleaned, is_name
from bench.design.history import History
from bench.design.operation import Desk
from bench.design.operations import read_operation
from bench.design.sheet import Sheet
from bench.design.sheet_record import sheet_of_values
from bench.documents.errors import DocumentError
from bench.journal.regular_file import read_regular

SUFFIX = ".jsonl"
MOST_BYTES = 200_000_000


@dataclass(frozen=True)
class Sketch:
    """A sketch as its log tells it.

    Attributes:
        name: what it is kept as.
        source: the pattern that it began as; "" for none.
        stamp: of the pattern's file when the sketch was last kept or begun; None: no such file.
        history: the sheet and the way to it.
        kept: the sheet as that file has it; None if it never was in one.
        told: what was passed over, one sentence each.

    """

    name: str
    source: str
    stamp: str | None
    history: History
    kept: Sheet | None = None
    told: tuple[str, ...] = ()


def sketch_path(home: Path, name: str) -> Path:
    """Where a sketch of a name lies. Raises Fault for what is no name of a pattern."""
    check_name(name, "a pattern's")
    return home / "sketches" / f"{name}{SUFFIX}"


def sketch_names(home: Path) -> list[str]:
    """The names of the sketches in a data folder."""
    with contextlib.suppress(OSError):
        found = (name.removesuffix(SUFFIX) for name in os.listdir(home / "sketches"))
        return sorted(name for name in found if is_name(name))
    return []


def read_log(path: Path, desk: Desk) -> tuple[Sketch, int, bytes]:
    """Read a log: the sketch, how many bytes of whole lines it rests on, and all bytes.

    A line that was cut off, or cannot be done, ends it: what stands before is taken, and told.
    Raises DocumentError where not even the first line can be read.
    """
    try:
        raw = read_regular(path, MOST_BYTES)
    except OSError as error:
        reason = error.strerror or str(error)
        raise DocumentError(path, f"the sketch cannot be read ({reason})") from None
    head, newline, _ = raw.partition(b"\n")
    try:
        values = _json(head) if newline else None
        if not isinstance(values, dict) or values.get("format") != 1:
            raise Fault("this is no sketch that can be read here")
        kept = values.get("kept")
        sketch = Sketch(
            str(values["sketch"]),
            str(values["source"]),
            values["stamp"],
            History(sheet_of_values(values["sheet"])),
            None if kept is None else sheet_of_values(kept),
        )
    except (Fault, KeyError) as error:
        raise DocumentError(path, f"this is no sketch ({cleaned(str(error), 200)})", line=1) from (
            None
        )
    history = sketch.history
    told: tuple[str, ...] = ()
    stamp, kept_sheet, whole = sketch.stamp, sketch.kept, len(head) + 1
    for number, line in enumerate(io.BytesIO(raw[whole:]), 2):
        try:
            if not line.endswith(b"\n"):
                raise Fault("it was cut off while it was written")
            values = _json(line)
            if isinstance(values, dict) and values.get("kind") == "kept":
                stamp, kept_sheet = str(values.get("stamp")), history.sheet
            else:
                history = history.do(read_operation(line), desk)
        except (Fault, DocumentError) as error:
            told = (_passed_over(path, number, raw[whole:], line, error),)
            break
        whole += len(line)
    found = Sketch(sketch.name, sketch.source, stamp, history, kept_sheet, told)
    return found, whole, raw


def _json(line: bytes) -> Any:
    try:
        return json.loads(line)
    except (ValueError, RecursionError):
        raise Fault("it cannot be read") from None


def _passed_over(path: Path, number: int, rest: bytes, line: bytes, why: Exception) -> str:
    more = rest[len(line) :].count(b"\n")
    behind = f", and {more} behind it," if more else ""
    return (
        f"{cleaned(str(path))}, line {number}: the operation{behind} is passed over:"
        f" {cleaned(str(why), 200)}"
    )
