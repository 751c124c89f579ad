"""Sheets that a page writes as files, to be printed, sent or opened elsewhere."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from bench.craft.text import Fault
from bench.documents.errors import DocumentError
from bench.documents.writing import write_file
from bench.screens.lists.companion import ListsCompanion

FOLDER = "sheets"
"""In the maker's data folder."""


@dataclass(frozen=True)
class WrittenSheet:
    """A file that a key writes: the key, its word at the foot, the file's name, its text."""

    key: str
    word: str
    name: str
    text: Callable[[], str]


def write_sheet(companion: ListsCompanion, sheet: WrittenSheet) -> str:
    """Write a sheet beside the maker's documents, and say where. Raises Fault if it cannot be."""
    file = companion.library.home / FOLDER / sheet.name
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        told = write_file(file, sheet.text(), file.suffix)
    except DocumentError as error:
        raise Fault(str(error)) from None
    except OSError as error:
        raise Fault(f"{file.parent} cannot be made ({error.strerror})") from None
    how = "; open it in a browser and print it" if file.suffix == ".html" else ""
    where = short(companion.library.home)
    return told or f"Written: {FOLDER}/{sheet.name}{how}. It is in {where}"


def short(file: Path) -> str:
    """A path as it can be typed: with ~ for the home folder."""
    return str(file).replace(str(Path.home()), "~", 1)
