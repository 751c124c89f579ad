"""Libraries that are slow to load come only with what needs them."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

LATE = {"coloraide", "numpy", "tomlkit"}
"""Loaded only where they are used: coloraide takes about 60 ms, numpy 150 ms."""

COMMANDS = """
import io, sys
from bench.cli import main
for line in sys.argv[2:]:
    words, _, said = line.partition(" < ")
    sys.stdin = io.StringIO(said)
    main([*words.split(), "--home", sys.argv[1]])
    print("\\nLOADED", *sys.modules)
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
        for keys in sys.argv[2:]:
            for key in keys.split():
                await pilot.press(key)
            await pilot.pause(0.1)
            print(app.screen.board.canvas.as_text())
            print("\\nLOADED", *sys.modules)

asyncio.run(begin_a_piece())
"""


def run(code: str, home: Path, *given: str) -> list[tuple[str, set[str]]]:
    """What a fresh interpreter prints of each thing that it is given, and what it has loaded then.

    Modules stay: a later thing has those of the earlier ones, too.
    """
    done = subprocess.run(
        [sys.executable, "-c", code, str(home), *given],
        input="", capture_output=True, text=True, check=True, timeout=60,
    )  # fmt: skip
    found = []
    shown: list[str] = []
    for line in done.stdout.splitlines():
        if line.startswith("LOADED "):
            found.append(("\n".join(shown), set(line.split()[1:])))
            shown = []
        else:
            shown.append(line)
    assert len(found) == len(given)
    return found


LIGHT = ("where", "list", "steps gutter-pearl", "sheet gutter-pearl", "picture gutter-pearl",
         "ask gutter-pearl")  # fmt: skip
HEAVY = (
    'ask gutter-pearl < {"cross": 31, "strand": 1, "saw": "d"}\n',
    "pace gutter-pearl",
    "sketch new --from cistern",
)


@pytest.fixture(scope="module")
def commands(tmp_path_factory: pytest.TempPathFactory) -> dict[str, tuple[str, set[str]]]:
    """What each command prints, and what is loaded after it, in the order in which they are run."""
    home = tmp_path_factory.mktemp("home")
    return dict(zip((*LIGHT, *HEAVY), run(COMMANDS, home, *LIGHT, *HEAVY), strict=True))


def test_commands_load_only_what_they_need(commands: dict[str, tuple[str, set[str]]]) -> None:
    """No command loads a late library before it has something to work out by it."""
    for words in LIGHT:
        shown, found = commands[words]
        assert shown.strip() or words.startswith("ask")
        assert "bench.session" in found
        assert not (LATE | {"textual"}) & found, words


def test_where_reads_nothing(commands: dict[str, tuple[str, set[str]]]) -> None:
    """To say where things lie, no document, no event and nothing of what checks them is loaded."""
    _, found = commands["where"]
    assert "bench.commands.where" in found
    assert not {"pydantic", "rich", "bench.journal.events", "bench.documents.library"} & found


def test_what_is_late_is_loaded_where_it_is_used(
    commands: dict[str, tuple[str, set[str]]],
) -> None:
    """A report of a slip loads the colours, a pace the arrays, so that the tests above can fail."""
    shown, found = commands[HEAVY[0]]
    assert '"suspects"' in shown
    assert LATE & found == {"coloraide"}
    assert LATE & commands[HEAVY[1]][1] == {"coloraide", "numpy"}
    assert commands[HEAVY[2]][1] >= LATE


BENCH = "enter enter space space backspace backspace p p o 1 space space exclamation_mark"
"""A piece is begun, crosses made and taken back, a pause, the point told, a slip asked about."""


def test_screens_load_only_what_they_need(tmp_path: Path) -> None:
    """The first paint, keys at the bench, and asking about a slip before any report, load none."""
    (tmp_path / "settings.toml").write_text("format = 1\n[press]\nguard_s = 0\n")
    (listed, at_first), (asked, at_last) = run(KEYS, tmp_path, "", BENCH)
    assert "BRAID BENCH" in listed
    assert "NOT WHAT I SEE" in asked
    assert "cross 2 of 60" in asked, "the crosses are counted"
    assert "bench.screens.app" in at_first
    assert not LATE & (at_first | at_last)
