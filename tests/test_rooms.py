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
PURE = ("craft", "slips", "pace")
CLOCKS = {"time", "datetime.now", "datetime.today", "date.today", "utcnow"}
OUTSIDE = {"os", "io", "sys", "socket", "subprocess", "sqlite3", "pathlib", "random", "secrets"}


def modules(room: str) -> Iterator[str]:
    """The modules of a room, by their dotted names."""
    for path in sorted((HOUSE / room).glob("*.py")):
        yield f"bench.{room}" + ("" if path.stem == "__init__" else f".{path.stem}")


def loaded(*names: str) -> set[str]:
    """The modules that are loaded once these have been imported by a fresh interpreter."""
    code = f"import sys, {', '.join(names)}; print(' '.join(sys.modules))"
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, timeout=60
    )
    return set(done.stdout.split())


@pytest.mark.parametrize("room", PURE)
def test_pure_rooms_load_no_screen_and_no_database(room: str) -> None:
    """Nothing of Textual, Rich or SQLite is loaded by craft, slips and pace."""
    found = loaded(*modules(room))
    assert f"bench.{room}" in found
    assert not {"textual", "rich", "sqlite3", "bench.journal", "bench.screens"} & found


@pytest.mark.parametrize("room", PURE)
def test_pure_rooms_read_no_clock_and_no_file(room: str) -> None:
    """The sources of craft, slips and pace import no clock, chance or file, and open nothing."""
    for path in sorted((HOUSE / room).glob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Import):
                names = {alias.name.split(".")[0] for alias in node.names}
            elif isinstance(node, ast.ImportFrom):
                names = {(node.module or "").split(".")[0]} if node.level == 0 else set()
            elif isinstance(node, ast.Call):
                called = ast.unparse(node.func)
                names = {".".join(called.split(".")[-2:]), called.split(".")[-1]} & CLOCKS
                names |= {called} & {"open", "print", "input"}
            else:
                continue
            assert not names & (CLOCKS | OUTSIDE | {"open", "print", "input"}), (path.name, names)


def test_only_textual_comes_before_the_first_paint() -> None:
    """The app's first screen loads neither Pydantic nor SQLite nor any document."""
    found = loaded("bench.screens.app")
    assert "textual.app" in found
    assert not {"pydantic", "sqlite3", "tomllib"} & found
    assert not {"bench.documents.library", "bench.journal.store", "bench.making.braid"} & found
