"""`variants`: a script makes many patterns from one, line by line."""

from __future__ import annotations

import io
import json
from typing import Any

import pytest


def asked(call: Any, monkeypatch: pytest.MonkeyPatch, *lines: str) -> list[dict[str, Any]]:
    """What is answered to lines about Silver Eaves."""
    monkeypatch.setattr("sys.stdin", io.StringIO("\n".join(lines) + "\n"))
    said = call("variants", "silver-eaves")
    assert (said.status, said.err) == (0, "")
    return [json.loads(line) for line in said.out.splitlines()]


def test_a_script_makes_many_variants(call: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    """Each line makes a pattern of its own, with figures; what `sketch` answers goes in again."""
    lines = [
        json.dumps({
            "new": f"turn-{turn}",
            "why": "hues",
            "operations": [{"kind": "recolour", "colourway": "way", "turn_deg": turn}],
        })
        for turn in range(0, 120, 30)
    ]  # fmt: skip
    found = asked(call, monkeypatch, *lines)
    assert [one["pattern"] for one in found] == ["turn-0", "turn-30", "turn-60", "turn-90"]
    names = {path.stem for path in (call.home / "patterns").glob("*.toml")}
    assert names == {"turn-0", "turn-30", "turn-60", "turn-90"}
    assert len({(call.home / "patterns" / f"{name}.toml").read_text() for name in names}) == 4
    assert all(one["figures"]["hands_on"]["median_s"] > 0 for one in found)
    again = [json.loads(line) for line in found[1]["operations"]]
    (same,) = asked(
        call, monkeypatch, json.dumps({"new": "again", "operations": again, "dry": True})
    )
    assert same["colourways"] == found[1]["colourways"]
    assert same["file"] is None


def test_a_line_that_cannot_be_used_is_answered_and_the_next_goes_on(
    call: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    """No JSON, a wrong key, a wrong operation, a name that is there: one sentence each."""
    found = asked(
        call, monkeypatch, "{", '{"new": "x", "colour": 1}', '{"new": "../x"}', '{"new": "one"}',
        '{"new": "one"}', '{"new": "two", "operations": [{"kind": "paint", "bead": "z"}]}',
        '{"new": "two", "operations": [{"kind": "merge", "bead": "a", "into": "a"}]}',
        '{"new": "two", "operations": [{"kind": "core", "beads": "3z"}]}',
        '{"new": "two", "operations": [{"kind": "wave"}]}', '{"new": "one", "over": true}',
    )  # fmt: skip
    errors = [one.get("error", "") for one in found]
    for error, says in zip(
        errors,
        ["invalid JSON", "colour: this key is not known", "small letters, digits and hyphens", "",
         "there is such a file already", "there is no bead 'z'", "cannot become one with itself",
         "there is no bead 'z'", "operations.0: ", ""],
        strict=True,
    ):  # fmt: skip
        assert says in error
        assert bool(says) == bool(error)
    assert call("variants", "nothing").status == 1
