"""What is on a disk when the power fails: all that was synced, and of the rest any part.

It is worked out from a record of what the program wrote and synced (`recorded_disk.c`). Of what was
written after the last sync each write may be there, be missing, or be there in some of its sectors;
a file that was made since the folder was last synced may be missing whole.
"""

from __future__ import annotations

import random
import struct
from dataclasses import dataclass, field
from pathlib import Path

SECTOR = 512
"""Bytes that a disk writes whole or not at all."""
_HEAD, _REST = struct.Struct("=cI"), struct.Struct("=qI")


@dataclass(slots=True)
class _File:
    """`synced`: what is on the disk for good; `since`: (letter, offset, data) done after it."""

    synced: bytearray
    named: bool
    since: list[tuple[str, int, bytes]] = field(default_factory=list)


class RecordedDisk:
    """The files of one folder, as far as their record was read."""

    def __init__(self, folder: Path, record: Path) -> None:
        """Take what lies in the folder as being on the disk."""
        self._folder, self._record, self._read = folder, record, 0
        self._files = {
            file.name: _File(bytearray(file.read_bytes()), named=True)
            for file in folder.glob("journal.db*")
            if not file.name.endswith("-shm")
        }
        self.syncs = 0

    def read_on(self) -> None:
        """Take in what was recorded since; the program must be stopped."""
        with self._record.open("rb") as stream:
            stream.seek(self._read)
            data = stream.read()
        at = 0
        while at < len(data):
            letter, length = _HEAD.unpack_from(data, at)
            at += _HEAD.size
            path = Path(data[at : at + length].decode())
            at += length
            offset, count = _REST.unpack_from(data, at)
            at += _REST.size
            self._take(letter.decode(), path, offset, data[at : at + count])
            at += count
        assert at == len(data), "the record ends in the middle of an entry"
        self._read += at

    def _take(self, letter: str, path: Path, offset: int, data: bytes) -> None:
        if path == self._folder:
            for file in self._files.values():
                file.named = True
            return
        file = self._files.setdefault(path.name, _File(bytearray(), named=False))
        if letter != "S":
            file.since.append((letter, offset, data))
            return
        self.syncs += 1
        for done in file.since:
            _do(file.synced, *done)
        file.since.clear()

    def write_synced(self, target: Path) -> None:
        """Write the files as they are found at worst: with nothing but what was synced."""
        for name, file in self._files.items():
            if file.named:
                (target / name).write_bytes(file.synced)

    def after_a_power_cut(self, target: Path, random_: random.Random) -> int:
        """Write the files as they may be found; return how many writes were not synced."""
        unsynced = 0
        for name, file in self._files.items():
            unsynced += len(file.since)
            found = bytearray(file.synced)
            for letter, offset, data in file.since:
                fate = random_.choice(("there", "missing", "in part"))
                if letter == "T" or fate == "there":
                    if fate != "missing":
                        _do(found, letter, offset, data)
                    continue
                for start in range(0, len(data), SECTOR) if fate == "in part" else ():
                    if random_.random() < 0.5:
                        _do(found, letter, offset + start, data[start : start + SECTOR])
            if file.named or random_.random() < 0.5:
                (target / name).write_bytes(found)
        return unsynced


def _do(content: bytearray, letter: str, offset: int, data: bytes) -> None:
    if letter == "T":
        del content[offset:]
        content.extend(bytes(offset - len(content)))
        return
    content.extend(bytes(max(0, offset - len(content))))
    content[offset : offset + len(data)] = data
