"""Rows of a maker's own list of times, recorded in the journal."""

from __future__ import annotations

from collections.abc import Callable
from typing import BinaryIO

from bench.journal.csv_reading import no_fault, read_csv
from bench.journal.csv_rows import PieceRow
from bench.journal.events import Entry
from bench.journal.merge import Merged
from bench.journal.payloads import Recorded
from bench.journal.store import Journal
from bench.journal.transfer import ImportRefused
from bench.journal.typed_json import shown


def import_csv(
    journal: Journal,
    stream: BinaryIO,
    *,
    now: float,
    keep_good: bool = False,
    wrong: Callable[[PieceRow], str] = no_fault,
) -> Merged:
    """Record the rows of a CSV file: all or none, or with `keep_good` those that are right.

    `now` and `wrong` are explained at `read_csv`. A row of a piece that is there as another
    pattern, size or colourway is wrong, too.

    Pieces that are there already are left as they are. Raises ImportRefused with every line that
    is wrong, unless `keep_good` (they are then among the warnings); NotSaved.
    """

    def why(row: PieceRow) -> str:
        return wrong(row) or _other_piece(journal, row)

    rows, problems = read_csv(stream, now=now, wrong=why)
    if problems and (not keep_good or not rows):
        raise ImportRefused(problems)
    warnings = [f"Left out: {problem}" for problem in problems]
    entries = []
    for row in rows:
        if _made_here(journal, row):
            continue
        said = _said(row)
        recorded = (there for _, there in journal.each(Recorded, row.uuid))
        there = next((there for there in recorded if there.stage == said.stage), None)
        if there is None:
            entries.append(Entry(said, row.uuid))
        elif there != said:
            warnings.append(
                f"The piece {row.piece or row.uuid} is recorded with other figures: kept as it is."
            )
    if entries:
        journal.append_many(entries)
    return Merged(len(entries), len(rows) - len(entries), tuple(warnings))


def _other_piece(journal: Journal, row: PieceRow) -> str:
    """Say so if the journal has another kind of piece under a row's id."""
    try:
        state = journal.state(row.uuid)
    except KeyError:
        return ""
    for name, there in (
        ("pattern", state.pattern_name),
        ("size", state.size),
        ("colourway", state.colourway),
    ):
        if there and getattr(row, name) and there != getattr(row, name):
            return f"The uuid is that of a piece in the journal, where {name} is {shown(there)}."
    return ""


def _made_here(journal: Journal, row: PieceRow) -> bool:
    """Whether a row's piece was made with the program, and has its own times."""
    try:
        return bool(journal.state(row.uuid).hash)
    except KeyError:
        return False


def _said(row: PieceRow) -> Recorded:
    return Recorded(
        pattern=row.pattern,
        size=row.size,
        colourway=row.colourway,
        stage=row.stage,
        hands_on_s=row.hands_on_s,
        waiting_s=row.waiting_s,
        crosses=row.crosses,
        rework_s=row.rework_s,
        finished_at=row.finished_at,
        quality="good",
        title=row.piece,
    )
