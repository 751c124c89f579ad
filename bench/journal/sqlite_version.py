"""Which SQLite this is, and what is known to be wrong with its write-ahead log.

https://www.sqlite.org/wal.html#walresetbug: two connections that write, or write back the log, at
the same instant can lose a commit; from 3.7.0 on, mended in 3.51.3, and in 3.44.6 and 3.50.7.
"""

from __future__ import annotations

import sqlite3
from typing import TypeAlias

Version: TypeAlias = tuple[int, ...]

VERSION = sqlite3.sqlite_version
FIRST_WITH_LOG: Version = (3, 7, 0)
MENDED: Version = (3, 51, 3)
MENDED_TOO: tuple[tuple[Version, Version], ...] = (
    ((3, 44, 6), (3, 45, 0)),
    ((3, 50, 7), (3, 51, 0)),
)
"""Later versions of older lines that have the mending too: from, up to but without."""


def fault_of(version: Version = sqlite3.sqlite_version_info) -> str:
    """Say what is known to be wrong with a version and what it means here; "" if nothing."""
    mended = version >= MENDED or any(low <= version < high for low, high in MENDED_TOO)
    if mended or version < FIRST_WITH_LOG:
        return ""
    named = ".".join(map(str, version[:3]))
    return (
        f"SQLite {named} can lose a commit where two programs write to one file at one instant."
        " Only one braid-bench writes at a time, so that it does not bite here; do not write to the"
        " journal with other tools. SQLite 3.51.3 has it mended."
    )
