"""Pieces as CSV rows for a spreadsheet.

Columns as in `COLUMNS`. UTF-8, commas, decimal points.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Iterable
from dataclasses import asdict, dataclass, fields
from datetime import UTC, datetime
from typing import TextIO

from bench.craft.stages import Stage

_RUN = re.compile(r"'*[=+\-@\t\r]")
"""What a spreadsheet takes for a formula, with apostrophes that already stand before it."""


@dataclass(frozen=True, slots=True)
class PieceRow:
    """A finished piece, or one stage of it: times in seconds, `finished_at` UTC since 1970.

    `piece` is its title, if it has one; `uuid` the piece's id. `stage` None: the whole piece.
    """

    piece: str | None
    finished_at: float | None
    pattern: str
    size: str | None
    colourway: str | None
    stage: Stage | None
    hands_on_s: float
    waiting_s: float | None
    crosses: int | None
    rework_s: float | None
    uuid: str


COLUMNS = tuple(field.name for field in fields(PieceRow))


def export_csv(rows: Iterable[PieceRow], stream: TextIO) -> int:
    """Write rows under their header; return how many. Open the stream with newline=""."""
    writer = csv.writer(stream, lineterminator="\n")
    writer.writerow(COLUMNS)
    count = 0
    for row in rows:
        cells = asdict(row)
        if row.finished_at is not None:
            cells["finished_at"] = (
                datetime.fromtimestamp(row.finished_at, UTC).isoformat().replace("+00:00", "Z")
            )
        writer.writerow("" if cell is None else _cell(cell) for cell in cells.values())
        count += 1
    return count


def _cell(value: object) -> object:
    """A value as it is written; before a text that a spreadsheet would run stands an apostrophe."""
    if isinstance(value, str) and _RUN.match(value):
        return f"'{value}"
    return int(value) if isinstance(value, float) and value.is_integer() else value


def text_of(cell: str) -> str:
    """What a cell says, without the apostrophe that `export_csv` sets."""
    cell = cell.strip()
    return cell[1:] if cell.startswith("'") and _RUN.match(cell) else cell
