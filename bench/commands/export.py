"""`export`: pieces as CSV, or every event as JSON lines."""

from __future__ import annotations

import argparse
import io
import json
import sys
from collections.abc import Iterable
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING

from bench.session import Session

if TYPE_CHECKING:
    from rich.console import RenderableType

    from bench.answers.records import ExportAnswer


def arguments(parser: argparse.ArgumentParser) -> None:
    """Take the format and the file."""
    parser.add_argument(
        "--format",
        choices=["csv", "jsonl"],
        default="csv",
        help="csv: finished pieces (the usual one); jsonl: every event, without loss",
    )
    parser.add_argument(
        "--customers", action="store_true", help="jsonl: for whom commissions are, too"
    )
    parser.add_argument(
        "--to", metavar="FILE", type=Path, help="write into a file, not to standard output"
    )


def answer(args: argparse.Namespace, session: Session) -> ExportAnswer | None:
    """Write the pieces or events, or with --json answer what there are."""
    from bench.answers.records import ExportAnswer
    from bench.documents.writing import write_file

    stream = sys.stdout if args.to is None and not args.json else io.StringIO()
    with session.reading() as journal:
        if args.format == "jsonl":
            from bench.journal.transfer import export_jsonl

            count = export_jsonl(journal, stream, customers=args.customers)
        else:
            from bench.journal.csv_rows import export_csv
            from bench.timing.piece_records import rows_of

            made = session.times(journal).pieces.values()
            rows = [row for times in made for row in rows_of(times)]
            count = export_csv(rows, stream)
    if isinstance(stream, io.StringIO) and args.to is not None:
        session.warn(write_file(args.to, stream.getvalue(), f".{args.format}"))
        return ExportAnswer(kind=args.format, count=count, file=str(args.to))
    if not isinstance(stream, io.StringIO):
        return None
    if args.format == "jsonl":
        events = tuple(json.loads(line) for line in stream.getvalue().splitlines())
        return ExportAnswer(kind="jsonl", count=count, file=None, events=events)
    return ExportAnswer(kind="csv", count=count, file=None, pieces=tuple(asdict(r) for r in rows))


def sheet(answer: ExportAnswer) -> Iterable[RenderableType]:
    """How much was written, and where."""
    from bench.craft.words import plural
    from bench.sheets.printing import line

    what = plural(answer.count, "row" if answer.kind == "csv" else "event")
    yield line(f"{what} written into {answer.file}")
