"""What the rooms may import, and what the pure ones may not touch."""

from __future__ import annotations

import ast
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

import bench

HOUSE = Path(bench.__file__).parent
PURE = [room for room in ("craft", "design", "slips", "pace") if (HOUSE / room).is_dir()]
AT_THE_ROOT = {"__init__.py", "__main__.py", "cli.py", "session.py"}
NO_SCREEN_OR_DATABASE = {"textual", "rich", "sqlite3"}
CLOCKS = {"time", "datetime.now", "datetime.today", "date.today", "utcnow"}
OUTSIDE = {"os", "io", "sys", "socket", "subprocess", "pathlib", "random", "secrets", "importlib"}
CALLS = {"open", "print", "input", "__import__"}


def dotted(path: Path) -> str:
    """A source's module by its dotted name."""
    parts = ("bench", *path.relative_to(HOUSE).with_suffix("").parts)
    return ".".join(parts[:-1] if path.stem == "__init__" else parts)


def loaded(*names: str) -> set[str]:
    """The modules that are loaded once these have been imported by a fresh interpreter."""
    code = f"import sys, {', '.join(names)}; print(' '.join(sys.modules))"
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, timeout=60
    )
    return set(done.stdout.split())


def touched(source: str) -> Iterator[str]:
    """What a source imports, anywhere in it, by its first name; and the clocks that it reads.

    A relative import stays in the house, whose order the import contract holds.
    """
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            yield from (alias.name.split(".")[0] for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.level == 0:
            yield (node.module or "").split(".")[0]
        elif isinstance(node, ast.Call):
            called = ast.unparse(node.func).split(".")
            yield from {".".join(called[-2:]), called[-1]} & CLOCKS
            yield from CALLS & {ast.unparse(node.func)}


@pytest.mark.parametrize("room", PURE)
def test_pure_rooms_load_no_screen_and_no_database(room: str) -> None:
    """Nothing of Textual, Rich or SQLite is loaded by any module of the pure rooms."""
    names = [dotted(path) for path in sorted((HOUSE / room).rglob("*.py"))]
    found = loaded(*names)
    assert set(names) <= found
    assert not (NO_SCREEN_OR_DATABASE | {"bench.journal", "bench.screens"}) & found


@pytest.mark.parametrize("room", PURE)
def test_pure_rooms_read_no_clock_and_no_file(room: str) -> None:
    """The sources of the pure rooms import no clock, chance or file, and open nothing."""
    for path in sorted((HOUSE / room).rglob("*.py")):
        found = set(touched(path.read_text(encoding="utf-8")))
        assert not found & (CLOCKS | OUTSIDE | CALLS | NO_SCREEN_OR_DATABASE), path


@pytest.mark.parametrize(
    "source",
    [
        "import time",
        "def f():\n    from sqlite3 import connect",
        "from datetime import date\ndate.today()",
        "import datetime\ndatetime.datetime.now()",
        "if TYPE_CHECKING:\n    from rich.text import Text",
        "open('x')",
    ],
)
def test_what_is_not_pure_is_seen(source: str) -> None:
    """A clock, a file, a database or a screen is found wherever it stands in a source."""
    assert set(touched(source)) & (CLOCKS | OUTSIDE | CALLS | NO_SCREEN_OR_DATABASE)


def test_only_what_starts_a_sitting_lies_at_the_root() -> None:
    """Every file of the house lies in a room but for the command line and one sitting."""
    assert {path.name for path in HOUSE.glob("*.py")} == AT_THE_ROOT


def test_only_textual_comes_before_the_first_paint() -> None:
    """The app's first screen loads neither Pydantic nor SQLite nor any document."""
    found = loaded("bench.screens.app")
    assert "textual.app" in found
    assert not {"pydantic", "sqlite3", "tomllib"} & found
    assert not {"bench.documents.library", "bench.journal.store", "bench.making.braid"} & found
