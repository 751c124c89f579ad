"""Events that could not be written when the program ended: kept in a file, and taken in later."""

from __future__ import annotations

import contextlib
import json
import os
import tempfile
import time
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from bench.journal.errors import BadEvent
from bench.journal.events import Event
from bench.journal.regular_file import read_regular
from bench.journal.syncing import sync_folder
from bench.journal.transfer import from_line, to_line

if TYPE_CHECKING:
    from bench.journal.reading import Reading
    from bench.journal.store import Journal

PREFIX, ENDING = "braid-bench-not-saved-", ".jsonl"
DONE = ".taken-in"
"""The ending of a file whose events are all in the journal."""
LONGEST = 64 << 20
"""Bytes of such a file; what hands can make in one sitting is far less."""


def folders_for(home: Path) -> list[Path]:
    """The folders that are tried, in their order: the data folder, the user's, the temporary."""
    return [home, Path.home(), Path(tempfile.gettempdir())]


def keep(events: Iterable[Event], folders: Iterable[Path]) -> Path | None:
    """Write events as JSON lines into a new file in the first folder that takes it.

    The file is on disk when this returns; only its owner can read it. Returns None if no folder
    takes it.
    """
    text = "".join(f"{to_line(event)}\n" for event in events)
    prefix = f"{PREFIX}{time.strftime('%Y%m%d-%H%M%S')}-"
    for folder in folders:
        name = ""
        try:
            handle, name = tempfile.mkstemp(prefix=prefix, suffix=ENDING, dir=folder)
            with os.fdopen(handle, "w", encoding="utf-8") as file:
                file.write(text)
                file.flush()
                os.fsync(handle)
            sync_folder(folder)
            return Path(name)
        except OSError:
            if name:
                Path(name).unlink(missing_ok=True)
    return None


@dataclass(frozen=True, slots=True)
class Kept:
    """What could not be saved: the events of one journal that it lacks, and their files."""

    events: tuple[Event, ...] = ()
    files: tuple[Path, ...] = ()
    unreadable: tuple[Path, ...] = ()

    @property
    def by_piece(self) -> Counter[str]:
        """How many of them each piece has."""
        return Counter(
            piece for event in self.events if event.of_pieces for piece, _ in event.pieces
        )


def kept_for(journal: Reading, folders: Iterable[Path]) -> Kept:
    """Return what was kept of a journal's events and is not in it, the earliest file first.

    They are its own bench's, or of pieces that it knows, or lie in its own folder: a journal that
    was mended, or taken from a backup, is another bench. Files of other journals, and of other
    users, are passed over.
    """
    events: dict[str, Event] = {}
    files: list[Path] = []
    unreadable: list[Path] = []
    for file in _files(folders):
        at_home = file.parent == journal.folder.resolve()
        try:
            found = _events_in(file)
        except (OSError, UnicodeDecodeError, BadEvent):
            if at_home or not _is_of_another(journal, file):
                unreadable.append(file)
            continue
        ours = [event for event in found if at_home or _is_ours(journal, event)]
        lacking = {event.uuid: event for event in ours if not journal.holds(event.uuid)}
        if lacking:
            files.append(file)
            events |= lacking
        elif journal.writes and found and (at_home or _are_own(journal, found)):
            _set_aside([file])
    return Kept(tuple(events.values()), tuple(files), tuple(unreadable))


def take_in_kept(journal: Journal, kept: Kept) -> tuple[str, ...]:
    """Take kept events into their journal and set its own files aside; return what to tell.

    Raises Conflict, NotSaved; nothing has changed then.
    """
    warnings = journal.merge(kept.events).warnings
    home = journal.folder.resolve()
    mine = _are_own(journal, kept.events)
    _set_aside(file for file in kept.files if mine or file.parent == home)
    return warnings


def _are_own(journal: Reading, events: Iterable[Event]) -> bool:
    """Whether events are all the journal's own: of a file where several journals keep theirs."""
    return all(event.bench == journal.bench for event in events)


def _is_ours(journal: Reading, event: Event) -> bool:
    if event.bench == journal.bench:
        return True
    return event.of_pieces and any(journal.started(piece) for piece, _ in event.pieces)


def _is_of_another(journal: Reading, file: Path) -> bool:
    """Whether a file that makes no sense as events is plainly another journal's all the same."""
    with contextlib.suppress(OSError, ValueError, TypeError, KeyError, RecursionError):
        lines = read_regular(file, LONGEST).decode("utf-8").splitlines()
        benches = {json.loads(line)["bench"] for line in lines if line.strip()}
        return bool(benches) and journal.bench not in benches
    return False


def _set_aside(files: Iterable[Path]) -> None:
    """Give files another ending; where that may not be done they are found known, next time."""
    for file in files:
        with contextlib.suppress(OSError):
            file.rename(file.with_name(file.name + DONE))


def _files(folders: Iterable[Path]) -> Sequence[Path]:
    """The files of this user with such a name, by the time in it, each once."""
    found: dict[Path, None] = {}
    for folder in folders:
        with contextlib.suppress(OSError):
            for name in os.listdir(folder):
                if name.startswith(PREFIX) and name.endswith(ENDING):
                    file = folder.resolve() / name
                    if not file.is_symlink() and _is_mine(file):
                        found[file] = None
    return sorted(found, key=lambda file: file.name)


def _is_mine(file: Path) -> bool:
    """Whether a file is this user's: in a folder for all, others' files are nothing to go by."""
    owner = getattr(os, "getuid", None)
    return owner is None or file.stat().st_uid == owner()


def _events_in(file: Path) -> list[Event]:
    text = read_regular(file, LONGEST).decode("utf-8")
    return [from_line(line) for line in text.splitlines() if line.strip()]
