"""`restore`, as a maker calls it after a mishap."""

from __future__ import annotations

import datetime as dt
from typing import Any

from bench.journal import backups
from bench.session import Session


def test_a_backup_is_listed_and_taken(call: Any) -> None:
    """Listed with what it holds; taken by its day, with what lay there kept; an odd day is told."""
    assert "there is no backup yet" in call("restore").out
    call("record", "silver-eaves", "--minutes", "70")
    backups.make(call.home / "journal.db", dt.date(2026, 11, 28))
    call("record", "silver-eaves", "--minutes", "80")
    assert "2026-11-28      0.04 MB  1 event, 1 piece" in call("restore").out
    assert call("where", "--json").json["backups_bytes"] > 0
    said = call("restore", "yesterday")
    assert said.status == 1
    assert "there is no backup of 'yesterday'; there are: 2026-11-28" in said.err
    done = call("restore", "2026-11-28", "--json").json
    assert done["restored"] == "2026-11-28"
    assert done["aside"].startswith(str(call.home / "journal-replaced-"))
    assert call("export", "--format", "jsonl", "--json").json["count"] == 1


def test_what_sqlite_has_wrong_is_told_once(call: Any, monkeypatch: Any) -> None:
    """The first start in a data folder names it; the next one does not."""
    monkeypatch.setattr("bench.journal.sqlite_version.fault_of", lambda: "a fault")
    call.home.mkdir()
    session = Session(call.home)
    told = session.sqlite_news()
    assert "has a known fault" in told
    assert len(told) <= 78, "one line of a small screen"
    session.index.save()
    assert Session(call.home).sqlite_news() == ""
