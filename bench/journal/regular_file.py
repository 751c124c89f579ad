"""Opening only what is a file: a pipe, a socket or a device would be waited for, or never end."""

from __future__ import annotations

import errno
import os
import stat
from pathlib import Path
from typing import BinaryIO

_NO_WAIT = getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_NOCTTY", 0) | getattr(os, "O_BINARY", 0)
_KINDS = (
    (stat.S_ISDIR, "a folder"),
    (stat.S_ISFIFO, "a pipe"),
    (stat.S_ISSOCK, "a socket"),
    (stat.S_ISCHR, "a device"),
    (stat.S_ISBLK, "a device"),
)


class NotAFile(OSError):
    """What lies at a path is something else than a file: `what` says what."""

    def __init__(self, path: Path, what: str) -> None:
        self.what = what
        self.sentence = f"this is {what}; a file is expected"
        super().__init__(errno.EINVAL, self.sentence, str(path))


def is_there(path: Path) -> bool:
    """Whether anything lies at a path, if only a link that leads nowhere; never raises OSError."""
    return os.path.lexists(path)


def check_regular(path: Path) -> None:
    """Raise NotAFile if something lies at a path that is no file, links followed."""
    try:
        mode = os.stat(path).st_mode
    except OSError:
        if os.path.islink(path):
            raise NotAFile(path, "a link that leads nowhere") from None
        return
    _check(path, mode)


def _check(path: Path, mode: int) -> None:
    for is_kind, what in _KINDS:
        if is_kind(mode):
            raise NotAFile(path, what)


def open_regular(path: Path) -> BinaryIO:
    """Open a file to read its bytes. Raises NotAFile without waiting for what is none, OSError."""
    check_regular(path)
    handle = os.open(path, os.O_RDONLY | _NO_WAIT)
    try:
        _check(path, os.fstat(handle).st_mode)
        return os.fdopen(handle, "rb")
    except BaseException:
        os.close(handle)
        raise


def read_regular(path: Path, most: int) -> bytes:
    """Return a file's bytes. Raises OSError if it cannot be read or holds more than `most`."""
    with open_regular(path) as file:
        content = file.read(most + 1)
    if len(content) > most:
        raise OSError(errno.EFBIG, f"it holds more than {most:,} bytes", str(path))
    return content
