"""`restore`: list the backups of the journal, or put one in its place."""

from __future__ import annotations

import argparse
import contextlib
import sqlite3
from collections.abc import Iterable
from typing import TYPE_CHECKING

from bench.session import WAIT_S, Session

if TYPE_CHECKING:
    from rich.console import RenderableType

    from bench.answers.files import BackupFile, RestoreAnswer
    from bench.journal.backup_files import Backup


def arguments(parser: argparse.ArgumentParser) -> None:
    """Take the day."""
    parser.add_argument(
        "day",
        metavar="DAY",
        nargs="?",
        help="the day whose backup takes the journal's place (2026-11-29); without one: list them",
    )


def answer(args: argparse.Namespace, session: Session) -> RestoreAnswer:
    """List the backups; with a day put that one in the journal's place, which is set aside."""
    from bench.answers.files import RestoreAnswer
    from bench.craft.text import Fault
    from bench.journal.backup_files import backups
    from bench.journal.backups import restore

    found = backups(session.home)
    listed = tuple(listed_backup(backup) for backup in found)
    if args.day is None:
        return RestoreAnswer(backups=listed, restored=None, aside=None)
    chosen = next((backup for backup in found if backup.day.isoformat() == args.day), None)
    if chosen is None:
        days = ", ".join(backup.day.isoformat() for backup in found) or "none"
        raise Fault(f"there is no backup of {args.day!r}; there are: {days}")
    try:
        aside = restore(session.journal_path, chosen, WAIT_S)
    except (OSError, sqlite3.Error) as error:
        why = getattr(error, "strerror", None) or error
        raise Fault(f"the backup cannot be put in the journal's place: {why}") from error
    return RestoreAnswer(
        backups=listed, restored=args.day, aside=None if aside is None else str(aside)
    )


def listed_backup(backup: Backup) -> BackupFile:
    """A backup with what it holds."""
    from bench.answers.files import BackupFile

    events: int | None = None
    pieces: int | None = None
    with contextlib.suppress(sqlite3.Error):
        events, pieces = backup.counts()
    return BackupFile(
        day=backup.day.isoformat(),
        path=str(backup.path),
        bytes=backup.size,
        events=events,
        pieces=pieces,
    )


def sheet(answer: RestoreAnswer) -> Iterable[RenderableType]:
    """A line for each backup, or what was done."""
    from bench.craft.words import plural
    from bench.sheets.printing import line

    if answer.restored is not None:
        yield line(f"the journal is as it was in the backup of {answer.restored}")
        if answer.aside is not None:
            yield line(f"the one that lay there is kept: {answer.aside}")
        return
    if not answer.backups:
        yield line("there is no backup yet; one is made each day while the open program rests")
    for backup in answer.backups:
        held = "cannot be read"
        if backup.events is not None and backup.pieces is not None:
            held = f"{plural(backup.events, 'event')}, {plural(backup.pieces, 'piece')}"
        yield line(f"{backup.day}  {backup.bytes / 1e6:8.2f} MB  {held}")
    if answer.backups:
        yield line("braid-bench restore DAY puts one in the journal's place")
