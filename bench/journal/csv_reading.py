"""Rows of a maker's own list of times, read from CSV and checked line by line.

Of the columns in `COLUMNS` only `pattern` and `hands_on_s` are needed. UTF-8 (with or without a
byte order mark), commas, decimal points.
"""

from __future__ import annotations

import csv
import io
import re
import uuid
from collections.abc import Callable, Iterable, Mapping
from dataclasses import asdict, replace
from datetime import date, datetime, time
from typing import BinaryIO

from bench.craft.stages import HANDS_ON, STAGES
from bench.journal.csv_rows import COLUMNS, PieceRow, text_of
from bench.journal.errors import BadEvent
from bench.journal.events import canonical, check_id
from bench.journal.limits import AHEAD_S, LONGEST_S, LONGEST_WAIT_S, MOST_REWORK, wrong_time
from bench.journal.transfer import Problem
from bench.journal.typed_json import shown

LARGEST = 8 << 20
"""Bytes: some 80,000 rows."""

NAMESPACE = uuid.UUID("5b1c3a0e-6f0d-4a63-9d4e-2f6f0a7f6c11")
"""For the ids of rows that bring none (UUID version 5, RFC 9562 section 5.5)."""

MOST_CROSSES = 1_000_000


class _Wrong(Exception):
    """What is wrong with a row."""


def no_fault(_row: PieceRow) -> str:
    """Find nothing wrong with a row."""
    return ""


def read_csv(
    stream: BinaryIO,
    *,
    now: float,
    wrong: Callable[[PieceRow], str] = no_fault,
) -> tuple[list[PieceRow], list[Problem]]:
    """Read rows from a CSV file; return the good ones, and what is wrong with the others.

    `now`: UTC seconds; later dates are refused. Times without an offset are the machine's. `wrong`:
    says what else is wrong with a row that was read, "" if nothing. If the file as a whole cannot
    be read, there are no rows and one problem.
    """
    try:
        lines = _lines(stream)
        body = csv.reader(lines, strict=True)
        header = _header(lines[0] if lines else "", next(body, []))
    except (_Wrong, csv.Error) as error:
        return [], [Problem(1, str(error))]
    rows: list[PieceRow] = []
    problems: list[Problem] = []
    seen: dict[str, int] = {}
    named: dict[str, list[tuple[int, PieceRow]]] = {}
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
            row = _row(header, cells, seen, now)
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


def _row(header: list[str], cells: list[str], seen: dict[str, int], now: float) -> PieceRow:
    if len(cells) != len(header):
        hint = " (a decimal comma? use a point)" if len(cells) > len(header) else ""
        raise _Wrong(f"{len(cells)} cells under {len(header)} columns{hint}.")
    texts = {name: text_of(cell) for name, cell in zip(header, cells, strict=True)}
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
    row = PieceRow(
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
    finished_at = _instant(written, now)
    return replace(row, finished_at=finished_at, uuid=_uuid(row, written, seen))


def _clash(row: PieceRow, others: Iterable[tuple[int, PieceRow]]) -> str:
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


def _instant(written: datetime | date | None, now: float) -> float | None:
    """Return UTC seconds; a date alone is noon. Raises for the future and before 1970."""
    if written is None:
        return None
    whole_day = not isinstance(written, datetime)
    moment = written if isinstance(written, datetime) else datetime.combine(written, time(12))
    try:
        if moment.tzinfo is None:
            moment = moment.astimezone()
        seconds = moment.timestamp()
        today = datetime.fromtimestamp(now, moment.tzinfo).date()
    except (OverflowError, OSError, ValueError):
        seconds, today = -1.0, date.min
    if seconds < 0:
        raise _Wrong(f"finished_at is {written.isoformat()}: too long ago.")
    if moment.date() > today if whole_day else seconds > now + AHEAD_S:
        raise _Wrong(f"finished_at is {written.isoformat()}: that is yet to come.")
    return seconds


def _uuid(row: PieceRow, written: datetime | date | None, seen: dict[str, int]) -> str:
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
