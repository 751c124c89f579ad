"""`import`: take in times as CSV, or another bench's events as JSON lines."""

from __future__ import annotations

import argparse
import sys
import time
from collections.abc import Iterable
from io import TextIOWrapper
from pathlib import Path
from typing import TYPE_CHECKING, TextIO

from bench.session import Session

if TYPE_CHECKING:
    from rich.console import RenderableType

    from bench.answers.records import ImportAnswer
    from bench.journal.merge import Merged
    from bench.journal.store import Journal

TELL_S = 3.0
"""How often it is told how far a long import is."""


def arguments(parser: argparse.ArgumentParser) -> None:
    """Take the file."""
    parser.add_argument("file", metavar="FILE", type=Path, help="a CSV or JSON lines file")
    parser.add_argument(
        "--keep-good",
        action="store_true",
        help="take the rows of a CSV file that are right and leave the others out",
    )


def answer(args: argparse.Namespace, session: Session) -> ImportAnswer:
    """Take in all of a file, or none of it. What is there already stays as it is."""
    from bench.answers.records import ImportAnswer
    from bench.commission.lot_refs import given_anew, told_anew
    from bench.documents.errors import DocumentError
    from bench.journal.regular_file import NotAFile, open_regular
    from bench.journal.transfer import ImportRefused
    from bench.timing.piece_records import named_work

    path: Path = args.file
    try:
        kind = _kind(path)
    except NotAFile as other:
        raise DocumentError(path, other.sentence) from None
    try:
        with session.writing() as journal:
            if kind == "jsonl":
                before = given_anew(journal)
                if args.keep_good:
                    session.warnings.append("--keep-good is for CSV; events go in all or none")
                with TextIOWrapper(open_regular(path), encoding="utf-8") as text:
                    merged = _take_in(journal, text)
                if merged.added:
                    session.warn(*_orders_that_came(journal, session))
                    session.warn(*told_anew(before, given_anew(journal)))
                pieces = journal.pieces(open_only=False)
                typed = {s.pattern_name for s in pieces if s.pattern_name and not s.hash}
                session.warn_of_lost(
                    name for name in typed if named_work(session.library, name) is None
                )
            else:
                from bench.journal.csv_import import import_csv
                from bench.journal.csv_rows import PieceRow
                from bench.timing.plausible_times import TimeCheck

                check = TimeCheck(session.library, journal.pieces(open_only=False))

                def wrong(row: PieceRow) -> str:
                    return check.wrong(
                        row.pattern, row.size, row.colourway, row.stage, row.hands_on_s, row.crosses
                    )

                with open_regular(path) as stream:
                    merged = import_csv(
                        journal,
                        stream,
                        now=time.time(),
                        keep_good=args.keep_good,
                        wrong=wrong,
                    )
    except ImportRefused as refused:
        said = "; ".join(str(problem).rstrip(".") for problem in refused.problems[:20])
        more = len(refused.problems) - 20
        said += f"; and {more} more" if more > 0 else ""
        raise DocumentError(path, f"nothing was imported: {said}") from None
    session.renew_figures()
    return ImportAnswer(kind=kind, added=merged.added, known=merged.known, warnings=merged.warnings)


def _orders_that_came(journal: Journal, session: Session) -> Iterable[str]:
    """Say which orders have no file here yet, and how each gets one."""
    from bench.commission.elsewhere import without_file

    for name, version in without_file(journal, session.library).items():
        yield (
            f"'{version.commission.title}' is an order of another bench:"
            f" `commission {name} --take` puts it on your list"
        )


def _take_in(journal: Journal, text: TextIO) -> Merged:
    """Take in events; how far it is is told every few seconds, and what an interrupt left."""
    from bench.journal.transfer import import_jsonl

    before, told = journal.counts()["events"], time.monotonic()

    def tell(lines: int) -> None:
        nonlocal told
        if time.monotonic() - told > TELL_S:
            told = time.monotonic()
            _say(f"{lines:,} lines read; Ctrl+C stops it, and nothing is taken in then")

    try:
        return import_jsonl(journal, text, now=time.time(), tell=tell)
    except KeyboardInterrupt:
        came = journal.counts()["events"] - before
        _say(f"stopped: {'all of it' if came else 'nothing'} was taken in")
        raise


def _say(sentence: str) -> None:
    print(f"braid-bench: {sentence}", file=sys.stderr, flush=True)


def sheet(answer: ImportAnswer) -> Iterable[RenderableType]:
    """How much was new."""
    from bench.craft.words import plural
    from bench.sheets.printing import line

    what = "event" if answer.kind == "jsonl" else "row"
    yield line(f"{plural(answer.added, what)} taken in, {answer.known:,} there already")


def _kind(path: Path) -> str:
    """JSON lines begin with an object; all else is read as CSV."""
    from bench.journal.regular_file import open_regular

    with open_regular(path) as stream:
        begins = stream.read(4096).removeprefix(b"\xef\xbb\xbf").lstrip()
    return "jsonl" if begins[:1] == b"{" else "csv"
