"""`where`: where documents and journal lie."""

from __future__ import annotations

import argparse
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING

from bench.session import Session

if TYPE_CHECKING:
    from bench.answers.where import WhereAnswer


def arguments(parser: argparse.ArgumentParser) -> None:
    """Take nothing more."""


def answer(args: argparse.Namespace, session: Session) -> WhereAnswer:
    """Name every place, whether it is there or not."""
    from bench.answers.where import Location, WhereAnswer
    from bench.documents.folders import shipped_folder
    from bench.journal.backup_files import FOLDER, backups
    from bench.journal.sqlite_version import VERSION, fault_of

    def spot(path: Path) -> Location:
        return Location(path=str(path), there=path.exists())

    home = session.home
    return WhereAnswer(
        home=spot(home),
        patterns=spot(home / "patterns"),
        structures=spot(home / "patterns" / "structures"),
        commissions=spot(home / "commissions"),
        settings=spot(home / "settings.toml"),
        stock=spot(home / "stock.toml"),
        journal=spot(session.journal_path),
        shipped=spot(shipped_folder()),
        backups=spot(home / FOLDER),
        backups_bytes=sum(backup.size for backup in backups(home)),
        sqlite=VERSION,
        sqlite_fault=fault_of(),
    )


def sheet(answer: WhereAnswer) -> Iterable[str]:
    """One line for each place, never broken: a path in it can be copied."""
    from bench.craft.text import cleaned

    for name in ("home", "patterns", "structures", "commissions", "settings", "stock", "journal"):
        spot = getattr(answer, name)
        yield cleaned(f"{name:<13}{spot.path}{'' if spot.there else '   (not there yet)'}", 4000)
    yield cleaned(f"{'shipped':<13}{answer.shipped.path}", 4000)
    size = f"   ({answer.backups_bytes / 1e6:.1f} MB)" if answer.backups.there else "   (none yet)"
    yield cleaned(f"{'backups':<13}{answer.backups.path}{size}", 4000)
    yield f"{'SQLite':<13}{answer.sqlite}"
    if answer.sqlite_fault:
        yield answer.sqlite_fault
