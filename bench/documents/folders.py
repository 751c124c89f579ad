"""Where documents lie: shipped ones and the maker's own, which win on the same name.

Nothing but names is read here, so that a list of them is there at once.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path


@cache
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
        own, shipped = self.home / "patterns", shipped_folder()
        self._patterns = own, shipped
        self._structures = own / "structures", shipped / "structures"
        self._commissions = self.home / "commissions", shipped / "commissions"

    def patterns(self) -> list[Entry]:
        """Every pattern's entry, by name."""
        return _entries(*self._patterns)

    def structures(self) -> list[Entry]:
        """Every structure's entry, by name."""
        return _entries(*self._structures)

    def commissions(self) -> list[Entry]:
        """Every commission's entry, by name."""
        return _entries(*self._commissions)

    def pattern_files(self, name: str) -> list[Path]:
        """The files that a pattern's name can stand for, there or not."""
        return [folder / f"{name}.toml" for folder in self._patterns]

    def structure_files(self, name: str) -> list[Path]:
        """The files that a structure's name can stand for, there or not."""
        return [folder / f"{name}.toml" for folder in self._structures]

    def pattern_named(self, name: str) -> Path | None:
        """The file of a pattern's name, if there is one."""
        return _named(name, *self._patterns)

    def commission_named(self, name: str) -> Path | None:
        """The file of a commission's name, if there is one."""
        return _named(name, *self._commissions)


def _entries(own: Path, shipped: Path) -> list[Entry]:
    found = {e.name: e for e in _toml_files(shipped, shipped=True)}
    found |= {e.name: e for e in _toml_files(own, shipped=False)}
    return sorted(found.values(), key=lambda entry: entry.name)


def _toml_files(folder: Path, *, shipped: bool) -> Iterator[Entry]:
    for file in _files(folder):
        yield Entry(file.removesuffix(".toml"), folder / file, shipped)


def _named(name: str, own: Path, shipped: Path) -> Path | None:
    file = f"{name}.toml"
    return next((folder / file for folder in (own, shipped) if file in _files(folder)), None)


def _files(folder: Path) -> list[str]:
    try:
        names = os.listdir(folder)
    except OSError:
        return []
    return [name for name in names if name.endswith(".toml") and not name.startswith(".")]
