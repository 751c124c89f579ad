"""The command line as a maker calls it, with a data folder of its own."""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from bench.cli import main
from tests.support.shipped import read_once


@dataclass(frozen=True)
class Said:
    """What a command ended with and printed."""

    status: int
    out: str
    err: str

    @property
    def json(self) -> dict[str, Any]:
        """The one JSON object on standard output."""
        found: dict[str, Any] = json.loads(self.out)
        return found


class Caller:
    """Calls commands on one data folder."""

    def __init__(self, home: Path, capsys: pytest.CaptureFixture[str]) -> None:
        self.home = home
        self._capsys = capsys

    def __call__(self, *words: str) -> Said:
        """Run a command; return its status and what it printed."""
        try:
            status = main([*words, "--home", str(self.home)])
        except SystemExit as stop:
            status = int(stop.code or 0)
        printed = self._capsys.readouterr()
        return Said(status, printed.out, printed.err)


@pytest.fixture(autouse=True)
def _shipped_documents_are_read_once(monkeypatch: pytest.MonkeyPatch) -> None:
    read_once(monkeypatch)


@pytest.fixture
def call(tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: Any) -> Caller:
    """Return a caller whose data folder does not exist yet."""
    monkeypatch.setenv("COLUMNS", "80")
    monkeypatch.chdir(tmp_path)
    return Caller(tmp_path / "home", capsys)
