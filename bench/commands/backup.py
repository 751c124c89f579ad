"""`backup`: the maker's documents and the journal together, in one file."""

from __future__ import annotations

import argparse
import os
import sqlite3
import tempfile
import zipfile
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from bench.session import Session

if TYPE_CHECKING:
    from bench.answers.files import BackupAnswer

DOCUMENTS = ("settings.toml", "stock.toml", "stock.csv", "patterns/**/*", "commissions/**/*",
             "sketches/**/*")  # fmt: skip
JOURNAL = "journal.db"


def arguments(parser: argparse.ArgumentParser) -> None:
    """Take the file."""
    parser.add_argument("file", metavar="FILE.zip", type=Path, help="it is written anew")


def answer(args: argparse.Namespace, session: Session) -> BackupAnswer:
    """Write the file whole, or not at all; customers' names are in it."""
    from bench.answers.files import BackupAnswer
    from bench.craft.text import Fault
    from bench.journal.schema import name_anew
    from bench.journal.syncing import sync_file, sync_folder

    target: Path = args.file
    if target.suffix.lower() != ".zip":
        raise Fault(f"{target.name} is no .zip file; give the backup that ending")
    if not target.absolute().parent.is_dir():
        raise Fault(f"there is no folder {target.absolute().parent}")
    with tempfile.TemporaryDirectory(dir=target.absolute().parent) as folder:
        part = Path(folder) / "part.zip"
        events = 0
        with zipfile.ZipFile(part, "w", zipfile.ZIP_DEFLATED, strict_timestamps=False) as archive:
            files = list(_files(session.home, DOCUMENTS))
            for file in files:
                archive.write(file, file.relative_to(session.home))
            # Before the journal: what is taken in meanwhile is in both, and counts once.
            waiting = sum(
                _written(archive, file, session.home) for file in _files(session.home, _waiting())
            )
            if session.journal_path.exists():
                copy = Path(folder) / JOURNAL
                with session.reading() as journal:
                    events = journal.counts()["events"]
                    try:
                        journal.copy_to(copy)
                        name_anew(copy, when_written=True)
                    except sqlite3.Error as error:
                        raise Fault(f"the journal cannot be copied: {error}") from error
                archive.write(copy, JOURNAL)
        sync_file(part)
        os.replace(part, target)
    sync_folder(target.absolute().parent)
    return BackupAnswer(file=str(target), documents=len(files), events=events, waiting=waiting)


def sheet(answer: BackupAnswer) -> Iterable[str]:
    """What is in it, and how it is put back."""
    from bench.craft.words import plural

    yield f"{answer.file}: {answer.documents} documents and a journal of {answer.events:,} events"
    if answer.waiting:
        yield f"and {plural(answer.waiting, 'file')} of what is still to be taken into the journal"
    yield "To put it back, unpack it into an empty data folder (--home DIR, or that of `where`)."


def _files(home: Path, patterns: Iterable[str]) -> Iterator[Path]:
    """Files of a data folder, links left out."""
    for pattern in patterns:
        for file in sorted(home.glob(pattern)):
            if file.is_file() and not file.is_symlink():
                yield file


def _written(archive: zipfile.ZipFile, file: Path, home: Path) -> bool:
    """Write what waits; whether it was still there."""
    try:
        archive.write(file, file.relative_to(home))
    except FileNotFoundError:
        return False
    return True


def _waiting() -> tuple[str, str]:
    """What commands have left for an open program, and what could not be saved when one ended."""
    from bench.journal import inbox, rescue

    return f"{inbox.FOLDER}/*{inbox.ENDING}", f"{rescue.PREFIX}*{rescue.ENDING}"
