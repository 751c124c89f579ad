"""What `list` keeps of documents never answers for what has changed since."""

from __future__ import annotations

import hashlib
import json
import os
from pathlib import Path
from typing import Any

import pytest

from bench.documents import index
from bench.documents.folders import shipped_folder

LONG_AGO_NS = 1_700_000_000_000_000_000
FIGURES = (
    "title", "structure", "strands", "crosses", "rows", "beads", "length_mm", "length_low_mm",
    "length_high_mm", "diameter_mm", "diameter_at_most", "sizes", "colourways",
)  # fmt: skip
FINGERPRINTS = {1: "f5ce4eb6f047", 2: "c7d2c358b5df", 3: "c7d2c358b5df"}
"""Of the shipped patterns' figures, by the index's version: raise it where they change."""


def write(file: Path, text: str, number: int) -> None:
    """Write a file as it would have been long ago, each time a second later."""
    file.parent.mkdir(parents=True, exist_ok=True)
    file.write_text(text, encoding="utf-8")
    os.utime(file, ns=(LONG_AGO_NS + number * 10**9,) * 2)


def test_the_version_goes_with_the_figures(call: Any) -> None:
    """Whoever changes what a pattern comes to raises the version of what is kept of it."""
    patterns = call("list", "--json").json["patterns"]
    figures = [[pattern[key] for key in FIGURES] for pattern in patterns]
    found = hashlib.sha256(json.dumps(figures).encode()).hexdigest()[:12]
    assert found == FINGERPRINTS[index.VERSION]


def test_what_is_kept_is_what_is_read_anew(call: Any) -> None:
    """The second list says the same, and reads no pattern for it."""
    call.home.mkdir()
    first = call("list", "--json")
    assert (call.home / index.FILE).is_file()
    assert call("list", "--json").json == first.json
    (call.home / index.FILE).unlink()
    assert call("list", "--json").json == first.json


def of(call: Any, kind: str, name: str) -> dict[str, Any]:
    """A line of the list."""
    lines: list[dict[str, Any]] = call("list", "--json").json[kind]
    return next(line for line in lines if line["name"] == name)


def test_each_file_that_a_line_rests_on_is_watched(call: Any) -> None:
    """A pattern's own file, its structure, one of the same name at home, and the settings count."""
    text = (shipped_folder() / "silver-eaves.toml").read_text(encoding="utf-8")
    own = call.home / "patterns" / "own.toml"
    for number, crosses in enumerate((4, 9)):
        write(own, text.replace("plain_end = 4", f"plain_end = {crosses}"), number)
        assert of(call, "patterns", "own")["crosses"] == 68 + crosses
    long = of(call, "patterns", "own")["length_mm"]
    write(call.home / "settings.toml", "format = 1\n[thumb]\nplain_cross_mm = 9.0\n", 2)
    assert of(call, "patterns", "own")["length_mm"] > long + 9
    write(call.home / "patterns" / "structures" / "kongo-8.toml", "format = 1\n", 3)
    assert "missing" in of(call, "patterns", "own")["error"]
    assert "missing" in of(call, "commissions", "stair-window")["error"]
    (call.home / "patterns" / "structures" / "kongo-8.toml").unlink()
    assert of(call, "commissions", "stair-window")["error"] is None
    write(call.home / "patterns" / "silver-eaves.toml", "format = 1\n", 4)
    assert "missing" in of(call, "commissions", "stair-window")["error"]


@pytest.mark.parametrize("text", ["format = 1\n[thumb]\nplain_cross_mm = -1\n", "format ="])
def test_broken_settings_are_told_each_time(call: Any, text: str) -> None:
    """What the list rests on instead is not kept."""
    write(call.home / "settings.toml", text, 0)
    for _ in range(2):
        assert "settings.toml" in call("list").err
