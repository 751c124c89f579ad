"""Files that a command writes: whole or not at all, and never over something else."""

from __future__ import annotations

import contextlib
import os
import stat
import tempfile
from pathlib import Path

from bench.craft.text import cleaned
from bench.documents.errors import DocumentError
from bench.journal.syncing import sync_folder


def write_file(path: Path, text: str, suffix: str, *, synced: bool = False) -> str:
    """Write a text file; one that is there is replaced only if it is of the same kind.

    `synced`: it is on the disk, not only on its way there, before it takes the other's place.
    Returns what the maker should know of it: where the path is a link, what was written. Raises
    DocumentError with what kept it from being written; nothing is changed then.
    """
    try:
        mode = os.stat(path).st_mode
    except FileNotFoundError:
        mode = 0
    except (OSError, ValueError) as error:
        raise _not_written(path, error) from None
    if stat.S_ISDIR(mode):
        raise DocumentError(path, "this is a folder; give a file's name")
    if mode and path.suffix.lower() != suffix:
        raise DocumentError(
            path, f"the file is there already and is no {suffix} file; choose another name"
        )
    try:
        if mode and not stat.S_ISREG(mode):
            _pour(path, text)
        else:
            _replace(path, text, synced=synced)
    except OSError as error:
        raise _not_written(path, error) from None
    if not path.is_symlink():
        return ""
    return f"{cleaned(str(path))} is a link; {cleaned(os.path.realpath(path))} was written"


def _not_written(path: Path, error: OSError | ValueError) -> DocumentError:
    reason = getattr(error, "strerror", None) or str(error)
    return DocumentError(path, f"the file cannot be written ({reason})")


def _pour(path: Path, text: str) -> None:
    """Write into a device, or a pipe that somebody reads; one that nobody reads is refused."""
    handle = os.open(path, os.O_WRONLY | getattr(os, "O_NONBLOCK", 0))
    with os.fdopen(handle, "w", encoding="utf-8") as file:
        os.set_blocking(handle, True)
        file.write(text)


def _replace(path: Path, text: str, *, synced: bool) -> None:
    """Write beside the file, then put the new one in its place in one step."""
    target = Path(os.path.realpath(path))
    handle, name = tempfile.mkstemp(dir=target.parent, prefix=".", suffix=".part")
    try:
        with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as file:
            file.write(text)
            if synced:
                file.flush()
                os.fsync(file.fileno())
        mask = os.umask(0)
        os.umask(mask)
        mode = target.stat().st_mode & 0o777 if target.exists() else 0o666 & ~mask
        os.chmod(name, mode)
        os.replace(name, target)
        if synced:
            sync_folder(target.parent)
    except BaseException:
        with contextlib.suppress(OSError):
            os.unlink(name)
        raise
