"""What a command writes while another program holds the journal: kept until the holder takes it in.

The inbox is a folder beside the journal. Each file in it is one JSON object with events that are
still to be appended. A file that cannot be taken in is set aside beside the others, with the reason
in it, under the ending `.refused`.
"""

from __future__ import annotations

import contextlib
import json
import os
import time
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from bench.journal.errors import BadEvent, NotSaved
from bench.journal.events import Entry, canonical, check_id, checked, new_id
from bench.journal.regular_file import read_regular
from bench.journal.store import Journal
from bench.journal.syncing import sync_folder
from bench.journal.typed_json import as_json

FOLDER = "inbox"
ENDING, REFUSED = ".json", ".refused"
POLL_S = 0.1
MOST_BYTES = 4_000_000
"""More than any command leaves."""


@dataclass(frozen=True, slots=True)
class TakenIn:
    """What became of the files in an inbox: pieces that were taken in, and refusals in words."""

    pieces: tuple[str, ...] = ()
    refusals: tuple[str, ...] = ()


def leave(home: Path, entries: Iterable[Entry]) -> Path:
    """Leave events of single pieces for the holder; the file is on disk when this returns.

    Raises OSError if the data folder does not take it.
    """
    events = [
        {
            "kind": entry.payload.KIND,
            "version": entry.payload.VERSION,
            "piece": entry.pieces,
            "uuid": entry.uuid or new_id(),
            "payload": as_json(entry.payload),
        }
        for entry in entries
    ]
    folder = home / FOLDER
    folder.mkdir(exist_ok=True)
    part = folder / f".{new_id()}.part"
    with part.open("x", encoding="utf-8") as file:
        file.write(canonical({"format": 1, "events": events}))
        file.flush()
        os.fsync(file.fileno())
    left = folder / f"{time.time_ns()}-{new_id()}{ENDING}"
    part.replace(left)
    sync_folder(folder)
    return left


def came_of(left: Path, wait_s: float) -> str | None:
    """Wait for the holder; return why it refused a file, "" if taken in, None if it waits."""
    until = time.monotonic() + wait_s
    while True:
        refused = left.with_suffix(REFUSED)
        if refused.exists():
            with contextlib.suppress(OSError, ValueError, TypeError, KeyError):
                return str(json.loads(read_regular(refused, MOST_BYTES))["refused"])
            return "it could not be read"
        if not left.exists():
            return ""
        if time.monotonic() >= until:
            return None
        time.sleep(POLL_S)


def take_in(journal: Journal, home: Path) -> TakenIn:
    """Take in all that lies in the inbox, file by file; what is known is passed over."""
    pieces: list[str] = []
    refusals: list[str] = []
    for file in _waiting(home):
        try:
            left = json.loads(read_regular(file, MOST_BYTES))
            entries = [_entry(event) for event in left["events"]]
            _check_ids_differ(entries)
            new = [entry for entry in entries if not _known(journal, entry)]
            if new:
                _append(journal, new)
            pieces += [str(e.pieces) for e in new if e.payload.SUBJECT == "piece"]
            if not journal.pending:  # else the file is all that the disk has of them
                file.unlink(missing_ok=True)
        except OSError:
            continue
        except BadEvent as error:
            refusals.append(_refuse(file, str(error)))
        except (ValueError, TypeError, KeyError, AttributeError, RecursionError):
            refusals.append(_refuse(file, "It does not hold events."))
    return TakenIn(tuple(pieces), tuple(refusals))


def _waiting(home: Path) -> Sequence[Path]:
    """The files that wait, the earliest first."""
    try:
        names = sorted(os.listdir(home / FOLDER))
    except OSError:
        return ()
    return [home / FOLDER / n for n in names if n.endswith(ENDING) and not n.startswith(".")]


def _entry(event: Mapping[str, Any]) -> Entry:
    payload = checked(event["kind"], event["version"], event["payload"])
    uuid = event.get("uuid")
    return Entry(
        payload,
        check_id("piece", event["piece"]),
        uuid=None if uuid is None else check_id("uuid", uuid),
    )


def _check_ids_differ(entries: Sequence[Entry]) -> None:
    """Raise BadEvent where one id stands twice: the journal could never write the second."""
    ids = [entry.uuid for entry in entries if entry.uuid is not None]
    if len(set(ids)) < len(ids):
        raise BadEvent("Two of its events have the same id.")


def _known(journal: Journal, entry: Entry) -> bool:
    """Whether an event was taken in before; by its piece where the file gives it no id.

    Raises BadEvent where another event has its id.
    """
    if entry.uuid is not None:
        if not journal.holds(entry.uuid):
            return False
        its = journal.events(str(entry.pieces), entry.payload.KIND)
        if not any(event.uuid == entry.uuid and event.payload == entry.payload for event in its):
            raise BadEvent(f"The event {entry.uuid} differs from the one in the journal.")
        return True
    try:
        journal.state(str(entry.pieces))
    except KeyError:
        return False
    return True


def _append(journal: Journal, entries: Sequence[Entry]) -> None:
    """Append events; those that could not be saved are pending, and tried again as others are."""
    with contextlib.suppress(NotSaved):
        journal.append_many(entries)


def _refuse(file: Path, why: str) -> str:
    """Set a file aside with the reason; return what is told of it."""
    with contextlib.suppress(OSError):
        part = file.with_name(f".{file.name}.part")
        part.write_text(canonical({"format": 1, "refused": why}), encoding="utf-8")
        part.replace(file.with_suffix(REFUSED))
        file.unlink(missing_ok=True)
    return f"What a command left in {file.parent} was refused: {why}"
