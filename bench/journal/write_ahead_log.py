"""The write-ahead log after a crash: commits in it that SQLite would pass over.

SQLite reads the log up to the first frame that does not fit its running checksum, and takes what
follows for the remains of an unfinished write. If a finished commit follows, the log was damaged,
and crosses that were counted would be lost without a word. Layout and checksum of frames:
https://www.sqlite.org/fileformat2.html#the_write_ahead_log.
"""

from __future__ import annotations

import struct
from pathlib import Path

from bench.journal.schema import PAGE, beside

HEAD = 32
FRAME = 24


def is_whole(path: Path) -> bool:
    """Say whether the log beside a journal, if any, holds no commit beyond its readable part.

    Takes some 0.1 ms for each page in the log; only a crash leaves any.
    """
    log = beside(path, "-wal")
    if not log.exists():
        return True
    with log.open("rb") as stream:
        head = stream.read(HEAD)
        first = stream.read(FRAME + PAGE)
        if len(head) < HEAD or len(first) < FRAME + PAGE:
            return True
        order = "<" if struct.unpack_from(">I", head)[0] == 0x377F0682 else ">"
        sums = _add(order, head[:24], (0, 0))
        readable = sums == struct.unpack_from(">II", head, 24)
        if not readable:
            return False
        salts = head[16:24]
        frame = first
        while len(frame) == FRAME + PAGE:
            ours = frame[8:16] == salts
            if readable:
                sums = _add(order, frame[FRAME:], _add(order, frame[:8], sums))
                readable = ours and sums == struct.unpack_from(">II", frame, 16)
            if not readable and ours and frame[4:8] != bytes(4):
                return False
            frame = stream.read(FRAME + PAGE)
    return True


def _add(order: str, data: bytes, sums: tuple[int, int]) -> tuple[int, int]:
    """Carry the checksum on over `data`, a multiple of eight bytes."""
    a, b = sums
    words = iter(struct.unpack(f"{order}{len(data) // 4}I", data))
    for even, odd in zip(words, words, strict=True):
        a = (a + even + b) & 0xFFFFFFFF
        b = (b + odd + a) & 0xFFFFFFFF
    return a, b
