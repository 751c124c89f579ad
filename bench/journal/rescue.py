"""Events that could not be written when the program ended: kept in a file that can be imported."""

from __future__ import annotations

import os
import tempfile
import time
from collections.abc import Iterable
from pathlib import Path

from bench.journal.events import Event
from bench.journal.transfer import to_line


def folders_for(home: Path) -> list[Path]:
    """The folders that are tried, in their order: the data folder, the user's, the temporary."""
    return [home, Path.home(), Path(tempfile.gettempdir())]


def keep(events: Iterable[Event], folders: Iterable[Path]) -> Path | None:
    """Write events as JSON lines into a new file in the first folder that takes it.

    The file is on disk when this returns; only its owner can read it. Returns None if no folder
    takes it.
    """
    text = "".join(f"{to_line(event)}\n" for event in events)
    prefix = f"braid-bench-not-saved-{time.strftime('%Y%m%d-%H%M%S')}-"
    for folder in folders:
        name = ""
        try:
            handle, name = tempfile.mkstemp(prefix=prefix, suffix=".jsonl", dir=folder)
            with os.fdopen(handle, "w", encoding="utf-8") as file:
                file.write(text)
                file.flush()
                os.fsync(handle)
            return Path(name)
        except OSError:
            if name:
                Path(name).unlink(missing_ok=True)
    return None
