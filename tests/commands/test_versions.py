"""`versions`: what was changed, why, and what pieces of each version measured."""

from __future__ import annotations

from typing import Any

from bench.craft.pattern import canonical
from bench.journal import payloads as p
from bench.journal.events import Entry, fingerprint
from bench.journal.store import Journal
from bench.making.braid import Braid
from bench.making.design_history import version_words
from bench.making.worked_pattern import WorkedPattern
from bench.session import Session


def test_a_version_tells_what_its_sample_measured(call: Any) -> None:
    """A piece belongs to the version that it was begun with, whatever was kept since."""
    assert call("sketch", "own", "--from", "silver-eaves", "--why", "a first try").status == 0
    session = Session(call.home)
    made = WorkedPattern.from_library(session.library, session.settings, "own", None, "dusk")
    with Journal.open(call.home / "journal.db", write=True) as journal:
        braid = Braid.start(journal, made)
        for said in (p.Measured(sample=True, length_mm=61.5), p.Measured(False, thickness_mm=11)):
            journal.append_many([Entry(said, braid.piece)])
    words = ["sketch", "own", "--from", "own", "--over", "--why", "too pale", "paint", "d"]
    assert call(*words, "--strands", "2", "--first", "3").status == 0
    said = call("versions", "own").out
    assert said.splitlines()[0] == "Own"
    assert "a first try" in said
    assert "   - the sample measured 61.5 mm long, 11 mm thick" in said
    assert said.index("61.5") < said.index("too pale") < said.index("row 3 on strand 2: a became d")
    file = call.home / "patterns" / "own.toml"
    file.write_text(file.read_text().replace("plain_end = 4", "plain_end = 8"))
    assert "changed since in its file:\n   - plain end: 4 became 8" in call("versions", "own").out
    assert [one["version"] for one in call("versions", "own", "--json").json["versions"]] == [1, 2]
    latest = WorkedPattern.from_library(session.library, session.settings, "own")
    day = call("versions", "own", "--json").json["versions"][0]["at"][:10]
    with Journal.open(call.home / "journal.db", write=False) as journal:
        then = journal.state(braid.piece).hash
    assert version_words(call.home, "own", then) == f"version 1, kept on {day}: a first try"
    changed = fingerprint(canonical(latest.pattern), canonical(latest.structure))
    assert version_words(call.home, "own", changed) == "", "what no version has"
    file.write_text(file.read_text().replace("plain_end = 8", "plain_end = 4"))
    again = WorkedPattern.from_library(Session(call.home).library, session.settings, "own")
    mark = fingerprint(canonical(again.pattern), canonical(again.structure))
    words_of_it = version_words(call.home, "own", mark)
    assert words_of_it.startswith(f"version 2, kept on {day}: too pale; row 3 on strand 2")


def test_a_pattern_without_versions_says_so(call: Any) -> None:
    """A shipped pattern has none; one that is not there is told."""
    assert "no version of it was kept yet" in call("versions", "cistern").out
    assert call("versions", "nothing").status == 1
