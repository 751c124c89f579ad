"""What was written, made last: it is on the disk, not only on its way there."""

from __future__ import annotations

import contextlib
import os
from pathlib import Path


def sync_file(path: Path) -> None:
    """Make what was written to a file last."""
    with path.open("r+b") as file:
        os.fsync(file.fileno())


def sync_folder(folder: Path) -> None:
    """Make a rename in a folder last, where the system can."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
