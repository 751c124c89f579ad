"""Pieces as CSV rows: out for a spreadsheet, in from a maker's own list of times.

Columns as in `COLUMNS`; only `pattern` and `hands_on_s` are needed. UTF-8 (with or without a byte
order mark), commas, decimal points.
"""

from __future__ import annotations

import csv
import io
import re
import uuid
from collections.abc import Callable, Iterable, Mapping
from dataclasses import asdict, dataclass, fields, replace
from datetime import UTC, date, datetime, time, tzinfo
from typing import BinaryIO, TextIO

from bench.craft.stages import HANDS_ON, STAGES, Stage
from bench.journal.errors import BadEvent
from bench.journal.events import Entry, canonical, check_id
from bench.journal.limits import AHEAD_S, LONGEST_S, LONGEST_WAIT_S, MOST_REWORK, wrong_time
from bench.journal.merge import Merged
from bench.journal.payloads import Recorded
from bench.journal.store import Journal
from bench.journal.transfer import ImportRefused, Problem
from bench.journal.typed_json import shown

LARGEST = 8 << 20
"""Bytes: some 80,000 rows."""

NAMESPACE = uuid.UUID("5b1c3a0e-6f0d-4a63-9d4e-2f6f0a7f6c11")
"""For the ids of rows that bring none (UUID version 5, RFC 9562 section 5.5)."""

MOST_CROSSES = 1_000_000
_RUN = re.compile(r"'*[=+\-@\t\r]")
"""What a spreadsheet takes for a formula, with apostrophes that already stand before it."""


@dataclass(frozen=True, slots=True)
class Row:
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


COLUMNS = tuple(field.name for field in fields(Row))


def export_csv(rows: Iterable[Row], stream: TextIO) -> int:
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


def _text(cell: str) -> str:
    """What a cell says, without the apostrophe of `_cell`."""
    cell = cell.strip()
    return cell[1:] if cell.startswith("'") and _RUN.match(cell) else cell


class _Wrong(Exception):  # noqa: N818
    """What is wrong with a row."""


def no_fault(_row: Row) -> str:
    """Find nothing wrong with a row."""
    return ""


def read_csv(
    stream: BinaryIO,
    *,
    now: float,
    zone: tzinfo | None = None,
    wrong: Callable[[Row], str] = no_fault,
) -> tuple[list[Row], list[Problem]]:
    """Read rows from a CSV file; return the good ones, and what is wrong with the others.

    `now`: UTC seconds; later dates are refused. `zone`: of times without an offset; None is the
    machine's. `wrong`: says what else is wrong with a row that was read, "" if nothing. If the
    file as a whole cannot be read, there are no rows and one problem.
    """
    try:
        lines = _lines(stream)
        body = csv.reader(lines, strict=True)
        header = _header(lines[0] if lines else "", next(body, []))
    except (_Wrong, csv.Error) as error:
        return [], [Problem(1, str(error))]
    rows: list[Row] = []
    problems: list[Problem] = []
    seen: dict[str, int] = {}
    named: dict[str, list[tuple[int, Row]]] = {}
    line = 1
    while True:
        start = line + 1
        try:
            cells = next(body, None)
            line = body.line_num
            if cells is None:
                return rows, problems
            if not any(cell.strip() for cell in cells):
                continue
            row = _row(header, cells, seen, now, zone)
            if said := wrong(row) or _clash(row, named.get(row.uuid, [])):
                raise _Wrong(said)
            named.setdefault(row.uuid, []).append((start, row))
            rows.append(row)
        except _Wrong as error:
            problems.append(Problem(start, str(error)))
        except csv.Error as error:
            line = max(body.line_num, start)
            problems.append(Problem(start, f"This is not CSV: {error}."))


def _lines(stream: BinaryIO) -> list[str]:
    data = stream.read(LARGEST + 1)
    if len(data) > LARGEST:
        raise _Wrong(f"The file is larger than {LARGEST >> 20} MB; split it.")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        at = data.count(b"\n", 0, error.start) + 1
        raise _Wrong(f"The file is not UTF-8 (see line {at}): save it as UTF-8.") from error
    if "\0" in text:
        raise _Wrong("The file is not text.")
    return list(io.StringIO(text, newline=""))


def _header(line: str, cells: list[str]) -> list[str]:
    """Return the column names in the first line."""
    if "," not in line:
        for sign, name in ((";", "semicolons"), ("\t", "tabs"), ("|", "bars")):
            if sign in line:
                raise _Wrong(f"The columns are set apart by {name}: save the file with commas.")
    header = [cell.strip() for cell in cells]
    for name in header:
        if name not in COLUMNS:
            raise _Wrong(
                f"The first line must name the columns; {shown(name)} is none of "
                f"{', '.join(COLUMNS)}."
            )
        if header.count(name) > 1:
            raise _Wrong(f"The column {name} stands twice.")
    for name in ("pattern", "hands_on_s"):
        if name not in header:
            raise _Wrong(f"The column {name} is missing from the first line.")
    return header


def _row(
    header: list[str], cells: list[str], seen: dict[str, int], now: float, zone: tzinfo | None
) -> Row:
    if len(cells) != len(header):
        hint = " (a decimal comma? use a point)" if len(cells) > len(header) else ""
        raise _Wrong(f"{len(cells)} cells under {len(header)} columns{hint}.")
    texts = {name: _text(cell) for name, cell in zip(header, cells, strict=True)}
    named = texts.get("stage") or None
    stage = next((stage for stage in STAGES if stage == named), None)
    if stage != named:
        raise _Wrong(f"The stage {shown(named or '')} is none of {', '.join(HANDS_ON)}.")
    if stage == "dry":
        raise _Wrong("Drying is waiting, no work: write it as waiting_s in another row.")
    written = _time(texts.get("finished_at", ""))
    hands_on = _seconds(texts, "hands_on_s", LONGEST_S)
    if hands_on is None:
        raise _Wrong("hands_on_s is missing.")
    crosses = _seconds(texts, "crosses", MOST_CROSSES)
    if crosses is not None and (crosses < 1 or crosses != int(crosses)):
        raise _Wrong("crosses is not a whole number from 1 on.")
    if wrong := wrong_time(stage, hands_on, crosses):
        raise _Wrong(wrong)
    rework = _seconds(texts, "rework_s", LONGEST_S)
    if rework is not None and rework > MOST_REWORK * hands_on:
        raise _Wrong(
            f"rework_s is {rework:g}: more than {MOST_REWORK:g} times hands_on_s cannot be."
        )
    pattern = _name(texts, "pattern")
    if pattern is None:
        raise _Wrong("pattern is missing.")
    row = Row(
        piece=_name(texts, "piece"),
        finished_at=None,
        pattern=pattern,
        size=_name(texts, "size"),
        colourway=_name(texts, "colourway"),
        stage=stage,
        hands_on_s=hands_on,
        waiting_s=_seconds(texts, "waiting_s", LONGEST_WAIT_S),
        crosses=None if crosses is None else int(crosses),
        rework_s=rework,
        uuid=_name(texts, "uuid") or "",
    )
    finished_at = _instant(written, now, zone)
    return replace(row, finished_at=finished_at, uuid=_uuid(row, written, seen))


def _clash(row: Row, others: Iterable[tuple[int, Row]]) -> str:
    """Say what of a row contradicts the rows before it that are of the same piece."""
    parts, whole = 0.0, None
    for line, other in [*others, (0, row)]:
        if line and other.stage == row.stage:
            return f"The uuid is that of line {line}."
        for name in ("pattern", "size", "colourway", "piece"):
            there, here = getattr(other, name), getattr(row, name)
            if here and there and here != there:
                return f"The uuid is that of line {line}, where {name} is {shown(there)}."
        if other.stage is None:
            whole = other.hands_on_s
        else:
            parts += other.hands_on_s
    if whole is not None and parts > whole:
        return f"The stages of this piece take {parts:g} s, more than the whole: {whole:g} s."
    return ""


def _name(texts: Mapping[str, str], column: str) -> str | None:
    text = texts.get(column, "")
    if not text.isprintable() or len(text) > 200:
        raise _Wrong(f"{column} is not a name: {shown(text)}.")
    return text or None


def _seconds(texts: Mapping[str, str], column: str, most: float) -> float | None:
    """Return a number from 0 to `most`, or None for an empty cell."""
    text = texts.get(column, "")
    if not text:
        return None
    if not re.fullmatch(r"[0-9]{1,20}(\.[0-9]{1,20})?", text, re.ASCII):
        hint = ": use a decimal point" if re.fullmatch(r"[0-9]+,[0-9]+", text) else ""
        raise _Wrong(f"{column} is {shown(text)}, not a number from 0 on{hint}.")
    value = float(text)
    if value > most:
        raise _Wrong(f"{column} is {value:g}: more than {most:g} cannot be.")
    return value


_TIME = re.compile(
    r"[0-9]{4}-[0-9]{2}-[0-9]{2}"
    r"([T ][0-9]{2}:[0-9]{2}(:[0-9]{2}(\.[0-9]{1,6})?)?(Z|[+-][0-9]{2}:[0-9]{2})?)?",
    re.ASCII,
)


def _time(text: str) -> datetime | date | None:
    """Return a time as it is written: with an offset, without one, or a date alone."""
    if not text:
        return None
    if _TIME.fullmatch(text):
        try:
            return datetime.fromisoformat(text) if len(text) > 10 else date.fromisoformat(text)
        except ValueError:
            pass
    raise _Wrong(f"finished_at is {shown(text)}: write 2026-03-01, or 2026-03-01T14:30.")


def _instant(written: datetime | date | None, now: float, zone: tzinfo | None) -> float | None:
    """Return UTC seconds; a date alone is noon. Raises for the future and before 1970."""
    if written is None:
        return None
    whole_day = not isinstance(written, datetime)
    moment = written if isinstance(written, datetime) else datetime.combine(written, time(12))
    try:
        if moment.tzinfo is None:
            moment = moment.astimezone() if zone is None else moment.replace(tzinfo=zone)
        seconds = moment.timestamp()
        today = datetime.fromtimestamp(now, moment.tzinfo).date()
    except (OverflowError, OSError, ValueError):
        seconds, today = -1.0, date.min
    if seconds < 0:
        raise _Wrong(f"finished_at is {written.isoformat()}: too long ago.")
    if moment.date() > today if whole_day else seconds > now + AHEAD_S:
        raise _Wrong(f"finished_at is {written.isoformat()}: that is yet to come.")
    return seconds


def _uuid(row: Row, written: datetime | date | None, seen: dict[str, int]) -> str:
    """Return the row's id: its own, or one from what it says and how often it was said.

    The stages of a piece that bears a title are rows of one piece, so what they took says nothing
    of their id: the n-th loading of a title goes with its n-th braiding.
    """
    if row.uuid:
        try:
            return check_id("uuid", row.uuid)
        except BadEvent as error:
            raise _Wrong(str(error)) from error
    if row.piece and row.stage:
        titled = ("piece", "pattern", "size", "colourway")
        said = canonical({name: getattr(row, name) for name in titled})
        counted = f"{row.stage} {said}"
    else:
        said = canonical({**asdict(row), "finished_at": written and written.isoformat()})
        counted = said
    seen[counted] = seen.get(counted, 0) + 1
    return str(uuid.uuid5(NAMESPACE, f"{said}#{seen[counted]}"))


def import_csv(
    journal: Journal,
    stream: BinaryIO,
    *,
    now: float,
    zone: tzinfo | None = None,
    keep_good: bool = False,
    wrong: Callable[[Row], str] = no_fault,
) -> Merged:
    """Record the rows of a CSV file: all or none, or with `keep_good` those that are right.

    `now`, `zone` and `wrong` are explained at `read_csv`. A row of a piece that is there as another
    pattern, size or colourway is wrong, too.

    Pieces that are there already are left as they are. Raises ImportRefused with every line that
    is wrong, unless `keep_good` (they are then among the warnings); NotSaved.
    """

    def why(row: Row) -> str:
        return wrong(row) or _other_piece(journal, row)

    rows, problems = read_csv(stream, now=now, zone=zone, wrong=why)
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


def _other_piece(journal: Journal, row: Row) -> str:
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


def _made_here(journal: Journal, row: Row) -> bool:
    """Whether a row's piece was made with the program, and has its own times."""
    try:
        return bool(journal.state(row.uuid).hash)
    except KeyError:
        return False


def _said(row: Row) -> Recorded:
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
