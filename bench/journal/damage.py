"""A damaged journal is never overwritten: it is set aside, and what can be read is saved.

Events are looked for page by page, in the file and in its write-ahead log, whatever the state of
the tree that held them; each one's own CRC-32 says whether it is as it was written. The layout of
pages, cells, records and log frames is that of https://www.sqlite.org/fileformat2.html.
"""

from __future__ import annotations

import contextlib
import os
import shutil
import sqlite3
import struct
import time
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from bench.journal import event_rows as table
from bench.journal import schema
from bench.journal.errors import Damaged
from bench.journal.events import Event
from bench.journal.schema import PAGE, beside
from bench.journal.syncing import sync_file, sync_folder
from bench.journal.write_ahead_log import FRAME, HEAD

_PARTS = "SELECT parts.seq, uuid FROM parts JOIN pieces ON id = piece ORDER BY parts.seq"
_INTS = {1: 1, 2: 2, 3: 3, 4: 4, 5: 6, 6: 8}


@dataclass(frozen=True, slots=True)
class Damage:
    """What was done about a damaged journal.

    `saved`: events that are in the new one, `from_elsewhere` of them not from the old one; `lost`:
    events known to have been there, unread.
    """

    what: str
    aside: Path
    saved: int
    lost: int
    from_elsewhere: int = 0

    @property
    def sentence(self) -> str:
        """One sentence for the maker."""
        read = self.saved - self.from_elsewhere
        events = "1 event" if read == 1 else f"{read:,} events"
        more = f", {self.from_elsewhere:,} more from elsewhere" if self.from_elsewhere else ""
        lost = f", {self.lost:,} could not be read" if self.lost else ""
        return (
            f"The journal was damaged ({self.what}): it was set aside as {self.aside}, "
            f"and {events} were saved from it{more}{lost}."
        )


def mend(
    path: Path,
    what: str,
    beside_it: Iterable[Event] = (),
    let_go: Callable[[], None] | None = None,
) -> Damage:
    """Set a damaged journal aside and put what can be read of it in its place.

    `beside_it`: events of the same journal that are known from elsewhere, as from a backup.
    The caller holds the lock and has no connection to the file, or gives what ends it: that writes
    into the file, so a copy of it as it lies is mended, and set aside. The new journal is whole
    before the old one is moved. Raises OSError or sqlite3.OperationalError; the old file is then
    intact.
    """
    saved_file = beside(path, ".saved")
    new = beside(path, ".new")
    old = path if let_go is None else _copied_as_it_lies(path)
    ids: dict[str, int] = {}
    with contextlib.closing(schema.build(new)) as db:
        db.execute("BEGIN IMMEDIATE")
        for seq, event in events_in(old):
            if table.has(db, event.uuid):
                continue
            taken = db.execute("SELECT 1 FROM events WHERE seq = ?", (seq,)).fetchone()
            table.add(db, event, ids, None if taken else seq)
        read = db.execute("SELECT count(*) FROM events").fetchone()[0]
        for event in beside_it:
            if not table.has(db, event.uuid):
                table.add(db, event, ids)
        table.renew_all(db, list(ids), ids)
        saved, last = db.execute("SELECT count(*), coalesce(max(seq), 0) FROM events").fetchone()
        db.execute("COMMIT")
    os.rename(new, saved_file)
    sync_folder(path.parent)
    if let_go is not None:
        let_go()
        schema.sweep(path)
    aside = set_aside(path, lies_as=old)
    schema.put(saved_file, path)
    return Damage(what, aside, saved, max(0, last - saved), saved - read)


def _copied_as_it_lies(path: Path) -> Path:
    found = beside(path, ".found")
    schema.sweep(found)
    for ending in ("", "-wal"):
        if beside(path, ending).exists():
            shutil.copyfile(beside(path, ending), beside(found, ending))
            sync_file(beside(found, ending))
    sync_folder(path.parent)
    return found


def take_up(path: Path) -> str | None:
    """Finish a mending that was cut off before all was in its place; say so in a sentence."""
    saved_file = beside(path, ".saved")
    if not saved_file.exists():
        return None
    for old in (path, beside(path, ".found")):
        set_aside(path, lies_as=old)
    schema.put(saved_file, path)
    return (
        f"A damaged or replaced journal was set aside in {path.parent} (its name begins with "
        f"{path.stem}-damaged), and what was to take its place is there."
    )


def set_aside(path: Path, why: str = "damaged", *, lies_as: Path | None = None) -> Path:
    """Give a journal and its log another name, with `why` and the time in it; return that.

    `lies_as`: the name that they bear, where it is not the journal's own.
    """
    stamp = time.strftime("%Y%m%d-%H%M%S")
    number = 1
    while True:
        mark = f"-{why}-{stamp}" + (f"-{number}" if number > 1 else "")
        aside = path.with_name(path.stem + mark + path.suffix)
        if not any(beside(aside, ending).exists() for ending in ("", "-wal", "-shm")):
            break
        number += 1
    # The log goes first: a main file without its log would look whole, and lack the last events.
    for ending in ("-wal", "-shm", ""):
        with contextlib.suppress(FileNotFoundError):
            os.rename(beside(lies_as or path, ending), beside(aside, ending))
    sync_folder(path.parent)
    return aside


def events_in(path: Path) -> Iterator[tuple[int, Event]]:
    """Yield every readable event of a journal file and its log, with its place, maybe twice."""
    with contextlib.ExitStack() as stack:
        pages = _Pages(stack, path)
        for page, number in pages:
            start = 108 if number == 1 else 8
            count = min(struct.unpack_from(">H", page, start - 5)[0], (PAGE - start) // 2)
            for at in struct.unpack_from(f">{count}H", page, start):
                found = _cell(page, at, pages)
                if found is not None:
                    yield found


class _Pages:
    """The pages of a journal file, then those in its log."""

    def __init__(self, stack: contextlib.ExitStack, path: Path) -> None:
        self._main = stack.enter_context(path.open("rb")) if path.exists() else None
        wal = beside(path, "-wal")
        self._wal = stack.enter_context(wal.open("rb")) if wal.exists() else None
        self._frames: dict[int, list[int]] = {}

    def __iter__(self) -> Iterator[tuple[bytes, int]]:
        offset = HEAD
        while self._wal is not None:
            self._wal.seek(offset)
            head = self._wal.read(FRAME)
            if len(head) < FRAME:
                break
            offset += FRAME
            self._frames.setdefault(struct.unpack_from(">I", head)[0], []).append(offset)
            offset += PAGE
        number = 1
        while self._main is not None:
            self._main.seek((number - 1) * PAGE)
            page = self._main.read(PAGE)
            if not page:
                break
            yield page.ljust(PAGE, b"\0"), number
            number += 1
        for number, offsets in self._frames.items():
            for at in offsets:
                page = self._frame(at)
                if page:
                    yield page.ljust(PAGE, b"\0"), number

    def _frame(self, offset: int) -> bytes:
        assert self._wal is not None
        self._wal.seek(offset)
        return self._wal.read(PAGE)

    def images(self, number: int) -> Iterator[bytes]:
        """Yield a page as it is in the log, latest first, and as it is in the file."""
        for offset in reversed(self._frames.get(number, ())):
            yield self._frame(offset)
        if self._main is not None:
            self._main.seek((number - 1) * PAGE)
            yield self._main.read(PAGE)


def _varint(data: bytes, at: int) -> tuple[int, int]:
    value = 0
    for step in range(9):
        byte = data[at + step]
        if step == 8:
            return value << 8 | byte, at + 9
        value = value << 7 | byte & 0x7F
        if byte < 0x80:
            return value, at + step + 1
    raise AssertionError


def _cell(page: bytes, at: int, pages: _Pages) -> tuple[int, Event] | None:
    """Return the event in the cell at this offset of a page, if there is one."""
    try:
        size, at = _varint(page, at)
        seq, at = _varint(page, at)
        if not 100 < size < 1 << 28 or not 0 < seq < 1 << 62:
            return None
        most, least = PAGE - 35, (PAGE - 12) * 32 // 255 - 23
        if size <= most:
            return seq, table.to_event(_record(page[at : at + size]))
        local = least + (size - least) % (PAGE - 4)
        local = local if local <= most else least
        head = page[at : at + local]
        (link,) = struct.unpack_from(">I", page, at + local)
    except (IndexError, ValueError, TypeError, struct.error, Damaged):
        return None
    for newest in (True, False):
        with contextlib.suppress(IndexError, ValueError, TypeError, struct.error, Damaged):
            return seq, table.to_event(_record(_chain(head, link, size, pages, newest)))
    return None


def _chain(head: bytes, link: int, size: int, pages: _Pages, newest: bool) -> bytes:
    """Return a record that runs on over other pages."""
    parts, have = [head], len(head)
    passed: set[int] = set()
    while have < size and link and link not in passed:
        passed.add(link)
        images = list(pages.images(link))
        page = images[0 if newest else -1]
        (link,) = struct.unpack_from(">I", page)
        part = page[4 : 4 + size - have]
        if not part:
            break
        parts.append(part)
        have += len(part)
    return b"".join(parts)


def _record(data: bytes) -> table.EventRow:
    """Return the columns of a record of `events` after `seq`. Raises IndexError or ValueError."""
    end, at = _varint(data, 0)
    body, columns = end, []
    while at < end:
        code, at = _varint(data, at)
        value: Any = None
        if code in _INTS:
            width = _INTS[code]
            value = int.from_bytes(data[body : body + width], "big", signed=True)
            body += width
        elif code == 7:
            value = struct.unpack_from(">d", data, body)[0]
            body += 8
        elif code in (8, 9):
            value = code - 8
        elif code >= 13 and code % 2:
            width = (code - 13) // 2
            value = data[body : body + width].decode("utf-8")
            body += width
        elif code:
            raise ValueError(code)
        columns.append(value)
    if len(columns) != 15 or body != len(data):
        raise ValueError(len(columns))
    columns[7], columns[10] = float(columns[7]), float(columns[10])
    return tuple(columns[1:])


def whole(db: sqlite3.Connection, rest: Callable[[], object] = lambda: None) -> bool:
    """Read the whole journal; True. Raises Damaged or sqlite3.DatabaseError if it is broken.

    `rest` is called after every 100 events.
    """
    verdict = db.execute("PRAGMA integrity_check(1)").fetchone()[0]
    if verdict != "ok":
        raise Damaged(f"The journal is damaged: {verdict}.")
    parts = iter(db.execute(_PARTS))
    for number, (seq, event) in enumerate(table.all_events(db, 0), 1):
        if number % 100 == 0:
            rest()
        own = {(seq, piece) for piece, _ in event.pieces}
        if {next(parts, None) for _ in own} != own:
            raise Damaged("The journal is damaged: an event is not with its piece.")
    if next(parts, None) is not None:
        raise Damaged("The journal is damaged: a piece has an event that is not there.")
    table.check_pieces(db, open_only=False)
    return True
