"""The laws of export and import: what is taken in goes out again, and numbers go on."""

from __future__ import annotations

import io
import json
import tempfile
from pathlib import Path
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from bench.journal.clock import Instant
from bench.journal.events import Event, payload_of
from bench.journal.payload_base import FIRST_WALL, LAST_WALL
from bench.journal.payloads import Note
from bench.journal.store import Journal
from bench.journal.transfer import export_jsonl, import_jsonl
from tests.support.odd_events import MISFITS, ODD

PAYLOADS: list[tuple[str, int, dict[str, Any]]] = [
    *((kind, 1, payload) for kind, payload in (*MISFITS.values(), *ODD.values())),
    ("sung", 7, {"song": ["la", None, 1e300]}),
    ("crossed", 2, {"from": "here"}),
    ("crossed", 1, {"from": 0, "to": 1}),
    ("note", 1, {"text": "a \u2028 \udc80 \x1b[0m"}),
    (
        "recorded",
        1,
        {
            "title": None,
            "pattern": "x",
            "size": None,
            "colourway": None,
            "stage": None,
            "hands_on_s": 1e12,
            "waiting_s": 1e12,
            "crosses": 1,
            "rework_s": None,
            "finished_at": LAST_WALL,
            "quality": "good",
        },
    ),
]
WALLS = st.sampled_from([FIRST_WALL, -1.5, 0.0, 1.7e9, 7.3e9, LAST_WALL])
NUMBERS = st.sampled_from([1, 2, 2**52, 2**53 - 1, 2**53])


def text_of(journal: Journal) -> str:
    """A journal as JSON lines."""
    stream = io.StringIO()
    export_jsonl(journal, stream)
    return stream.getvalue()


@st.composite
def foreign_events(draw: st.DrawFn) -> list[Event]:
    """Events of two pieces as any hand may have put them into a journal."""
    events: list[Event] = []
    last: dict[str, str | None] = {"p": None, "q": None}
    for at in range(draw(st.integers(1, 6))):
        kind, version, values = draw(st.sampled_from(PAYLOADS))
        piece = draw(st.sampled_from(["p", "q"]))
        uuid = f"event-{at}"
        events.append(
            Event(
                uuid, draw(st.sampled_from(["own", "other"])), draw(NUMBERS), (last[piece],),
                "s", ((piece, 1.0),), None, Instant(draw(WALLS), 0, "b", 1.0), kind, version,
                payload_of(kind, version, values),
            )
        )  # fmt: skip
        if draw(st.booleans()):
            last[piece] = uuid
    return events


@settings(max_examples=12, deadline=None)
@given(foreign_events())
def test_whatever_is_in_a_journal_goes_out_and_comes_in_the_same(events: list[Event]) -> None:
    """Export, import, export gives the same lines, whatever any hand has put in; numbers go on."""
    with tempfile.TemporaryDirectory() as folder:
        with Journal.open(Path(folder) / "a" / "journal.db", write=True) as journal:
            own = journal.bench
            mine = [
                Event(
                    e.uuid, own if e.bench == "own" else e.bench, e.number, e.after, e.sitting,
                    e.pieces, e.lot, e.instant, e.kind, e.version, e.payload,
                )
                for e in events
            ]  # fmt: skip
            journal.merge(mine)
            said = journal.append(Note("on"), pieces=mine[0].piece)
            below = [e.number for e in mine if e.bench == own and e.number <= 2**52]
            assert said.number == max(below, default=0) + 1
            first = text_of(journal)
            states = journal.pieces(open_only=False)
        with Journal.open(Path(folder) / "b" / "journal.db", write=True) as second:
            merged = import_jsonl(second, io.StringIO(first), now=1e9)
            assert (merged.added, merged.known) == (len(mine) + 1, 0)
            assert text_of(second) == first
            assert {s.uuid: s for s in second.pieces(open_only=False)} == {
                s.uuid: s for s in states
            }


def test_what_does_not_fit_is_marked_and_must_be(tmp_path: Path) -> None:
    """Only with its mark is such a line taken in, kept as it came, and told."""
    kind, values = MISFITS["a cross in letters"]
    odd = Event(
        "u", "elsewhere", 1, (None,), "s", (("p", 1.0),), None, Instant(1.0, 0, "b", 1.0), kind, 1,
        payload_of(kind, 1, values),
    )  # fmt: skip
    with Journal.open(tmp_path / "a" / "journal.db", write=True) as journal:
        journal.merge([odd])
        line = json.loads(text_of(journal))
    assert line["fits"] is False
    with Journal.open(tmp_path / "b" / "journal.db", write=True) as second:
        merged = import_jsonl(second, io.StringIO(json.dumps(line)))
        assert merged.warnings == ("Kept, but not understood: crossed (version 1).",)
        assert next(iter(second.events())).values == values
