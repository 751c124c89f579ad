"""The title of a document without reading all of it: soon enough for the first screen."""

from __future__ import annotations

import re
from pathlib import Path

from bench.craft.text import cleaned
from bench.journal.regular_file import open_regular

_TITLE = re.compile(r'^title[ \t]*=[ \t]*"([^"\\]*)"[ \t]*(?:#.*)?$', re.MULTILINE)
_TABLE = re.compile(r"^[ \t]*\[", re.MULTILINE)
HEAD_BYTES = 4096
"""A title stands at the top of its file."""


def read_title(path: Path) -> str:
    """Return the title of a TOML document; the file's name where none can be read.

    A plain title above the first table is found without a parser. Whether the document is sound is
    not looked at.
    """
    try:
        with open_regular(path) as file:
            head = file.read(HEAD_BYTES).decode("utf-8-sig", "replace").replace("\r\n", "\n")
        table = _TABLE.search(head)
        top = head[: table.start()] if table else head
        found = _TITLE.search(top)
        if found is not None and '"""' not in top and "'''" not in top:
            return cleaned(found[1], 60) or path.name
        return _parsed(path)
    except (OSError, ValueError):
        return path.name


def _parsed(path: Path) -> str:
    from bench.documents.errors import DocumentError
    from bench.documents.reading import read_toml

    try:
        title = read_toml(path)[0].get("title")
    except DocumentError:
        return path.name
    return cleaned(title, 60) if isinstance(title, str) and title else path.name
