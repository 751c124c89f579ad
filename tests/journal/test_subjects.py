"""Events about what is no piece: commissions, their customers, tubes."""

from __future__ import annotations

import io
from pathlib import Path

import pytest

from bench.journal.commission_payloads import CommissionKept
from bench.journal.store import Journal
from bench.journal.transfer import export_jsonl, import_jsonl
from tests.support.events import said


def kept(title: str, over: tuple[str, ...] = ()) -> CommissionKept:
    """A version of a commission."""
    return CommissionKept("door", {"title": title}, "2027-03-01", "app", over)


def test_a_commission_is_no_piece(journal: Journal, start: dict[str, object]) -> None:
    """Its events follow each other, and no list, count or mark of pieces has it, also on reopen."""
    journal.append(said("piece_started", start), pieces="p")
    journal.append(said("finished", {"quality": "good"}), pieces="p")
    mark = journal.mark_of_ended()
    first = journal.append(kept("Door"), pieces="c")
    second = journal.append(kept("Door curtain"), pieces="c")
    assert [e.after for e in journal.events("c")] == [(None,), (first.uuid,)]
    assert [e for e, _ in journal.each(CommissionKept)] == [first, second]
    for reader in (journal, Journal.open(journal.path, write=False)):
        assert [s.uuid for s in reader.pieces(open_only=False)] == ["p"]
        assert list(reader.ended()) == ["p"]
        assert reader.mark_of_ended() == mark
        assert reader.counts()["pieces"] == 1
    assert journal.check()


def test_two_in_one_go_follow_each_other(journal: Journal) -> None:
    """Events about one commission that are written together form one chain."""
    from bench.journal.events import Entry

    one, two = journal.append_many([Entry(kept("A"), "c"), Entry(kept("B"), "c")])
    assert (one.after, two.after) == ((None,), (one.uuid,))


@pytest.mark.parametrize("backwards", [False, True])
def test_a_commission_changed_at_two_benches_is_told(tmp_path: Path, backwards: bool) -> None:
    """Merged either way, twice, both versions are there once, and a sentence says so."""
    with (
        Journal.open(tmp_path / "a" / "journal.db", write=True) as a,
        Journal.open(tmp_path / "b" / "journal.db", write=True) as b,
    ):
        a.append(kept("Door"), pieces="c")
        import_jsonl(b, exported(a))
        a.append(kept("Door, here"), pieces="c")
        b.append(kept("Door, there"), pieces="c")
        to, of = (b, a) if backwards else (a, b)
        merged = import_jsonl(to, exported(of))
        assert any("commission 'Door" in w or "commission 'door'" in w for w in merged.warnings)
        assert import_jsonl(to, exported(of)).added == 0
        assert len(list(to.each(CommissionKept))) == 3
        assert to.pieces(open_only=False) == []
        assert to.check()


def exported(journal: Journal) -> io.StringIO:
    """A journal's events as lines."""
    stream = io.StringIO()
    export_jsonl(journal, stream)
    return io.StringIO(stream.getvalue())
