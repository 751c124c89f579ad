"""The list as it can be shown before anything is read: from names, and from what the index kept."""

from __future__ import annotations

import time
from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import asdict, dataclass, field
from itertools import takewhile
from pathlib import Path
from typing import Any

from bench.documents.folders import Entry, Folders
from bench.documents.index import Index
from bench.documents.titles import read_title
from bench.journal.regular_file import is_there
from bench.screens.lists.home_entry import Clause, HomeEntry

BEGUN = "commissions begun"
"""Commissions that stand before the patterns, in the index."""
AWAY = "commissions put away"
"""Commissions that do not stand among the others, in the index."""
A_NEW_ONE = HomeEntry("commission", "+", "A new commission", is_read=True)
"""The line that begins a commission."""
A_FOLD = "+away"
"""What the line refers to that shows the commissions which are put away."""


def first_rows(folders: Folders, index: Index) -> list[HomeEntry]:
    """Pieces in the making, commissions that are under way, patterns, and other commissions.

    Pieces are there if nothing was written to the journal since they were kept; others follow.
    """
    kept, begun = index.get(_pieces_key()), index.get(BEGUN) or ()
    away = index.get(AWAY) or ()
    return [
        *(_kept_piece(*piece) for piece in kept or ()),
        *documents_in_order(folders, begun, lambda entry: _title(index, entry), away),
    ]


def _kept_piece(ref: str, title: str, details: Sequence[Mapping[str, str]]) -> HomeEntry:
    return HomeEntry("piece", ref, title, tuple(Clause(**clause) for clause in details))


def documents_in_order(
    folders: Folders,
    begun: Collection[str | None],
    title: Callable[[Entry], str],
    away: Collection[str] = (),
) -> list[HomeEntry]:
    """The maker's commissions and those begun, the patterns, then the commissions to try.

    Those that are put `away` are left out. Behind the first commissions of these stands the line
    that begins a new one.
    """
    commissions = [entry for entry in folders.commissions() if entry.name not in away]
    first = [e for e in commissions if not e.shipped or e.name in begun]
    own = [HomeEntry("commission", e.name, title(e)) for e in first]
    others = [HomeEntry("commission", e.name, title(e)) for e in commissions if e not in first]
    (own if own else others).append(A_NEW_ONE)
    patterns = [HomeEntry("pattern", e.name, title(e)) for e in folders.patterns()]
    return [*own, *patterns, *others]


def keep_pieces(index: Index, rows: Sequence[HomeEntry], journal: Path) -> None:
    """Keep the lines of pieces, and which commissions stand before the patterns, as they are."""
    pieces = [
        (row.ref, row.title, [asdict(clause) for clause in row.details])
        for row in rows
        if row.kind == "piece"
    ]
    index.put(_pieces_key(), pieces, journal_files(journal))
    index.put(AWAY, [row.ref for row in rows if row.kind == "away" and not row.folds], [])
    before = takewhile(lambda row: row.kind != "pattern", rows)
    index.put(
        BEGUN, [row.ref for row in before if row.kind == "commission" and row != A_NEW_ONE], []
    )


def journal_files(journal: Path) -> list[Path]:
    """The file of a journal and that of what was written last; the latter goes with a good end."""
    return [journal, journal.with_name(f"{journal.name}-wal")]


@dataclass(frozen=True)
class KeptSettings:
    """What of the settings shows on the first screen.

    Attributes:
        theme: its name; "" for the usual one.
        keymap: keys of the list by their bindings' ids; empty for the usual ones.
        signs: the sign of a usual key in a foot, and that of the maker's own instead.

    """

    theme: str = ""
    keymap: Mapping[str, str] = field(default_factory=dict)
    signs: Mapping[str, str] = field(default_factory=dict)

    def foot(self, label: str) -> str:
        """The usual names of keys in a foot, 'UP DOWN', as the maker's own keys are named."""
        return " ".join(self.signs.get(word, word) for word in label.split(" "))


def kept_settings(index: Index, home: Path) -> KeptSettings | None:
    """The settings as they were kept; None where their file has changed since."""
    if not is_there(_settings_file(home)):
        return KeptSettings()
    kept: Any = index.get("settings")
    return None if kept is None else KeptSettings(**kept)


def keep_settings(index: Index, home: Path, kept: KeptSettings, read_ns: int) -> None:
    """Keep settings whose file was begun to be read at a time, in nanoseconds."""
    if index.get("settings") is None:
        index.put("settings", asdict(kept), [_settings_file(home)], read_ns)


def _settings_file(home: Path) -> Path:
    return home / "settings.toml"


def _title(index: Index, entry: Entry) -> str:
    key = f"title {entry.path}"
    title = index.get(key)
    if title is None:
        begun = time.time_ns()
        title = read_title(entry.path)
        index.put(key, title, [entry.path], begun)
    return str(title)


def _pieces_key() -> str:
    """Times of day stand in the lines, so that they are good in one time zone."""
    return f"pieces {'/'.join(time.tzname)}"
