"""Libraries that are slow to load come only with what needs them."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

LATE = {"coloraide", "numpy", "tomlkit"}
"""Loaded only where they are used: coloraide takes about 60 ms, numpy 150 ms."""

COMMAND = """
import sys
from bench.cli import main
main(sys.argv[1:])
print("LOADED", *sys.modules)
"""

KEYS = """
import asyncio, sys
from pathlib import Path
from bench.screens.app import BenchApp

async def begin_a_piece():
    app = BenchApp(Path(sys.argv[1]))
    async with app.run_test(size=(80, 24)) as pilot:
        while not app.is_ready:
            await pilot.pause(0.01)
        for key in sys.argv[2:]:
            await pilot.press(key)
            await pilot.pause(0.6)
        print("SCREEN", type(app.screen).__module__)
        print(app.screen.board.canvas.as_text())
    print("LOADED", *sys.modules)

asyncio.run(begin_a_piece())
"""


def loaded(code: str, *given: str, said: str = "") -> tuple[str, set[str]]:
    """What a fresh interpreter prints and the modules that it has loaded when it ends."""
    done = subprocess.run(
        [sys.executable, "-c", code, *given],
        input=said, capture_output=True, text=True, check=True, timeout=60,
    )  # fmt: skip
    shown, _, names = done.stdout.partition("LOADED")
    return shown, set(names.split())


@pytest.mark.parametrize(
    "command",
    [["list"], ["steps", "gutter-pearl"], ["sheet", "gutter-pearl"],
     ["picture", "gutter-pearl"], ["ask", "gutter-pearl"]],
    ids=lambda command: command[0],
)  # fmt: skip
def test_commands_load_only_what_they_need(command: list[str], tmp_path: Path) -> None:
    """No command loads a late library before it has something to work out by it."""
    _, found = loaded(COMMAND, *command, "--home", str(tmp_path))
    assert "bench.session" in found
    assert not (LATE | {"textual"}) & found


def test_where_reads_nothing(tmp_path: Path) -> None:
    """To say where things lie, no document, no event and nothing of what checks them is loaded."""
    _, found = loaded(COMMAND, "where", "--home", str(tmp_path))
    assert "bench.commands.where" in found
    assert not {"pydantic", "rich", "bench.journal.events", "bench.documents.library"} & found


BENCH = "enter enter space space backspace backspace p p o 1 space space exclamation_mark"
"""A piece is begun, crosses made and taken back, a pause, the point told, a slip asked about."""


@pytest.mark.parametrize(
    ("keys", "shows"),
    [("", "BRAID BENCH"), (BENCH, "NOT WHAT I SEE")],
    ids=["home", "bench"],
)
def test_screens_load_only_what_they_need(keys: str, shows: str, tmp_path: Path) -> None:
    """The first paint, keys at the bench, and asking about a slip before any report, load none."""
    shown, found = loaded(KEYS, str(tmp_path), *keys.split())
    assert shows in shown
    assert ("cross 2 of 60" in shown) == bool(keys), "the crosses are counted"
    assert "bench.screens.app" in found
    assert not LATE & found


def test_what_is_late_is_loaded_where_it_is_used(tmp_path: Path) -> None:
    """A report of a slip loads the colours, a pace the arrays, so that the tests above can fail."""
    line = '{"cross": 31, "strand": 1, "saw": "d"}\n'
    shown, found = loaded(COMMAND, "ask", "gutter-pearl", "--home", str(tmp_path), said=line)
    assert '"suspects"' in shown
    assert "coloraide" in found
    _, found = loaded(COMMAND, "pace", "gutter-pearl", "--home", str(tmp_path))
    assert "numpy" in found
    _, found = loaded(COMMAND, "sketch", "new", "--from", "cistern", "--home", str(tmp_path))
    assert {"tomlkit", "coloraide"} <= found
