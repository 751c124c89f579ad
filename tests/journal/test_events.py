from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

import pytest

from bench.journal.errors import BadEvent
from bench.journal.events import canonical, checked, fingerprint, kept, whole_share
from bench.journal.payloads import Measured, PieceStarted
from bench.journal.store import Journal
from tests.support.events import said


@pytest.mark.parametrize(
    ("kind", "payload", "complaint"),
    [
        ("crossed", {"from": 1}, "lacks 'to'"),
        ("crossed", {"from": 3, "to": 3}, "cannot go from 3 to 3"),
        ("crossed", {"from": True, "to": 3}, "wrong 'from'"),
        ("taken_back", {"from": 3, "to": 4}, "cannot go from 3 to 4"),
        ("place_set", {"from": 3, "to": -1}, "wrong 'to'"),
        ("stage_started", {"stage": "glue"}, "wrong 'stage': 'glue'"),
        ("paused", {"why": "tea"}, "no key 'why'"),
        ("measured", {"sample": True, "weight_g": math.inf}, "wrong 'weight_g'"),
        ("finished", {"quality": "fine"}, "wrong 'quality'"),
        ("note", {"text": None}, "wrong 'text'"),
    ],
)
def test_a_wrong_payload_is_refused(kind: str, payload: Mapping[str, Any], complaint: str) -> None:
    """Each kind of event says what it lacks or what is wrong in it."""
    with pytest.raises(BadEvent) as caught:
        checked(kind, 1, payload)
    assert complaint in str(caught.value)


def test_a_refused_event_leaves_no_trace(journal: Journal, start: dict[str, object]) -> None:
    """After a wrong event, in a list of right ones, nothing of it all is in the journal."""
    journal.append(said("piece_started", start), pieces="p")
    before = journal.state("p")
    with pytest.raises(BadEvent):
        journal.append(said("crossed", {"from": 0, "to": 0}), pieces="p")
    with pytest.raises(BadEvent):
        journal.append(said("crossed", {"from": 0, "to": 1}), pieces="nobody")
    with pytest.raises(BadEvent):
        journal.append(Measured(sample=True, length_mm=math.nan), pieces="p")
    assert journal.state("p") == before
    assert [event.kind for event in journal.events()] == ["piece_started"]
    assert journal.append(said("crossed", {"from": 0, "to": 1}), pieces="p").number == 2


@pytest.mark.parametrize(
    "pieces", [(), [("a", 0.5)], [("a", 0.5), ("a", 0.5)], [("a", 1.5), ("b", -0.5)], "", "a\n"]
)
def test_shares_must_make_up_the_work(pieces: str | list[tuple[str, float]]) -> None:
    """Pieces that share an event have each a part of it, together the whole."""
    with pytest.raises(BadEvent):
        whole_share(pieces)


def test_one_piece_has_the_whole_share() -> None:
    """An id alone stands for one piece that did all the work."""
    assert whole_share("p") == (("p", 1.0),)
    assert whole_share([("a", 0.25), ("b", 0.75)]) == (("a", 0.25), ("b", 0.75))


def test_canonical_json_and_its_fingerprint() -> None:
    """Equal documents have one text and one hash, whatever the order of their keys."""
    assert canonical({"b": [1, 2.5], "a": "é"}) == '{"a":"\\u00e9","b":[1,2.5]}'
    assert fingerprint({"a": 1, "b": 2}, {}) == fingerprint({"b": 2, "a": 1}, {})
    assert fingerprint({"a": 1}, {}) != fingerprint({}, {"a": 1})


def test_a_payload_is_kept_as_a_copy() -> None:
    """What the caller does to a payload afterwards does not reach the event."""
    pattern: dict[str, Any] = {"loads": [1, 2]}
    began = PieceStarted("Eaves", "eaves", None, None, pattern, {}, "0f", None)
    held = kept(began)
    pattern["loads"].append(3)
    assert isinstance(held, PieceStarted)
    assert held.pattern == {"loads": [1, 2]}


@pytest.mark.parametrize(
    ("kind", "payload"),
    [
        ("crossed", {"from": 0, "to": 20_000_000}),
        ("taken_back", {"from": 30_000, "to": 0}),
        ("recorded", {"pattern": "x", "hands_on_s": 10**400}),
        ("measured", {"length_mm": 10**400, "sample": False}),
    ],
)
def test_numbers_that_no_bench_makes_are_refused(kind: str, payload: dict[str, Any]) -> None:
    """A count of millions in one press, and a number too large for any measure, are bad events."""
    with pytest.raises(BadEvent):
        checked(kind, 1, payload)
