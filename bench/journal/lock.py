"""One writer at a time: an operating-system lock on a file beside the journal.

The kernel gives the lock up when its process dies, however it dies.
"""

from __future__ import annotations

import errno
import os
import sys
import time
from pathlib import Path

from bench.journal.errors import Locked, Unwritable

LOCK_NAME = "journal.lock"
_POLL_S = 0.05
_TAKEN = {errno.EWOULDBLOCK, errno.EACCES, errno.EDEADLK}

if sys.platform == "win32":  # pragma: no cover
    import msvcrt

    _FAR = 1 << 30
    """The byte that is locked: beyond the text, which stays readable for others."""

    def _try(handle: int) -> None:
        os.lseek(handle, _FAR, os.SEEK_SET)
        msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)

else:
    import fcntl

    def _try(handle: int) -> None:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)


class FileLock:
    """A lock that is held from the making of this object to `release`."""

    def __init__(self, path: Path, wait_s: float = 0.0) -> None:
        """Take the lock, waiting up to `wait_s` seconds.

        Raises Locked with the holder's name, or Unwritable if the lock file cannot be made.
        """
        self.path = path
        until = time.monotonic() + wait_s
        while True:
            try:
                self._handle = os.open(path, os.O_RDWR | os.O_CREAT, 0o644)
            except OSError as error:
                raise Unwritable(
                    f"The journal cannot be written: {path.parent}: {error.strerror}."
                ) from error
            try:
                _try(self._handle)
            except OSError as error:
                holder = self._read()
                os.close(self._handle)
                if error.errno not in _TAKEN:
                    raise Unwritable(
                        f"The journal cannot be locked in {path.parent}: {error.strerror}."
                    ) from error
                if time.monotonic() >= until:
                    raise Locked(holder) from None
                time.sleep(_POLL_S)
                continue
            if self.in_place():
                break
            os.close(self._handle)
        self._write()

    def _read(self) -> str:
        try:
            os.lseek(self._handle, 0, os.SEEK_SET)
            text = os.read(self._handle, 200).decode("utf-8", "replace").strip()
        except OSError:
            text = ""
        return "".join(c for c in text if c.isprintable()) or "its name is not known"

    def _write(self) -> None:
        """Leave the holder's name for others to read; a full disk does not undo the lock."""
        started = time.strftime("%Y-%m-%d %H:%M")
        try:
            os.ftruncate(self._handle, 0)
            os.lseek(self._handle, 0, os.SEEK_SET)
            os.write(self._handle, f"process {os.getpid()}, since {started}\n".encode())
        except OSError:
            return

    def in_place(self) -> bool:
        """Say whether the lock file at the path is still the one that is locked."""
        try:
            there, here = os.stat(self.path), os.fstat(self._handle)
        except OSError:
            return False
        return (there.st_dev, there.st_ino) == (here.st_dev, here.st_ino)

    def release(self) -> None:
        """Give the lock up. The file stays: removing it would let two processes hold two locks."""
        if self._handle >= 0:
            os.close(self._handle)
            self._handle = -1
