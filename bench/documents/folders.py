"""Where documents lie: shipped ones and the maker's own, which win on the same name.

Nothing but names is read here, so that a list of them is there at once.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path


def shipped_folder() -> Path:
    """The folder of shipped documents: inside the package, or beside it in a checkout."""
    package = Path(__file__).parents[1]
    inside = package / "patterns"
    return inside if inside.is_dir() else package.parent / "patterns"


def home_folder(home: Path | None = None) -> Path:
    """The maker's data folder: the given one, or the platform's usual place."""
    if home is not None:
        return home
    import platformdirs

    return platformdirs.user_data_path("braid-bench")


@dataclass(frozen=True, slots=True)
class Entry:
    """A document that was found: its name, its file, and whether it is shipped."""

    name: str
    path: Path
    shipped: bool


class Folders:
    """The documents of a home, by name."""

    def __init__(self, home: Path | None = None) -> None:
        self.home = home_folder(home)

    def patterns(self) -> list[Entry]:
        """Every pattern's entry, by name."""
        return _entries(self.home / "patterns", shipped_folder())

    def structures(self) -> list[Entry]:
        """Every structure's entry, by name."""
        return _entries(self.home / "patterns" / "structures", shipped_folder() / "structures")

    def commissions(self) -> list[Entry]:
        """Every commission's entry, by name."""
        return _entries(self.home / "commissions", shipped_folder() / "commissions")

    def pattern_files(self, name: str) -> list[Path]:
        """The files that a pattern's name can stand for, there or not."""
        return [self.home / "patterns" / f"{name}.toml", shipped_folder() / f"{name}.toml"]

    def structure_files(self, name: str) -> list[Path]:
        """The files that a structure's name can stand for, there or not."""
        file = f"structures/{name}.toml"
        return [self.home / "patterns" / file, shipped_folder() / file]


def _entries(own: Path, shipped: Path) -> list[Entry]:
    found = {e.name: e for e in _toml_files(shipped, shipped=True)}
    found |= {e.name: e for e in _toml_files(own, shipped=False)}
    return sorted(found.values(), key=lambda entry: entry.name)


def _toml_files(folder: Path, *, shipped: bool) -> Iterator[Entry]:
    try:
        names = os.listdir(folder)
    except OSError:
        return
    for name in names:
        if name.endswith(".toml") and not name.startswith("."):
            yield Entry(name.removesuffix(".toml"), folder / name, shipped)
