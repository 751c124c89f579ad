"""Files that a command writes: whole or not at all, and never over something else."""

from __future__ import annotations

import contextlib
import os
import tempfile
from pathlib import Path

from bench.documents.errors import DocumentError


def write_file(path: Path, text: str, suffix: str) -> None:
    """Write a text file; one that is there is replaced only if it is of the same kind.

    Raises DocumentError with what kept it from being written; nothing is changed then.
    """
    if path.is_dir():
        raise DocumentError(path, "this is a folder; give a file's name")
    if path.exists() and path.suffix.lower() != suffix:
        raise DocumentError(
            path, f"the file is there already and is no {suffix} file; choose another name"
        )
    try:
        if path.exists() and not path.is_file():
            path.write_text(text, encoding="utf-8")
            return
        _replace(path, text)
    except OSError as error:
        reason = error.strerror or str(error)
        raise DocumentError(path, f"the file cannot be written ({reason})") from None


def _replace(path: Path, text: str) -> None:
    """Write beside the file, then put the new one in its place in one step."""
    target = path.resolve()
    handle, name = tempfile.mkstemp(dir=target.parent, prefix=".", suffix=".part")
    try:
        with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as file:
            file.write(text)
        mask = os.umask(0)
        os.umask(mask)
        mode = target.stat().st_mode & 0o777 if target.exists() else 0o666 & ~mask
        os.chmod(name, mode)
        os.replace(name, target)
    except BaseException:
        with contextlib.suppress(OSError):
            os.unlink(name)
        raise
