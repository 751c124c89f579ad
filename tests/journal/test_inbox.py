from __future__ import annotations

import json
import os
from pathlib import Path

import pytest

from bench.journal.events import Entry
from bench.journal.inbox import FOLDER, came_of, leave, take_in
from bench.journal.store import Journal
from tests.journal.test_faults import block
from tests.support.events import said

TIMED = {
    "title": "Cistern", "pattern": "cistern", "size": None, "colourway": None, "stage": None,
    "hands_on_s": 3600.0, "waiting_s": None, "crosses": None, "rework_s": None,
    "finished_at": None, "quality": "good",
}  # fmt: skip


def left_with(*wrong: dict[str, object]) -> str:
    """The text of a file with one event for each that is given, in which it stands as given."""
    event = {"kind": "recorded", "version": 1, "piece": "p", "payload": TIMED}
    return json.dumps({"events": [event | other for other in wrong]})


def test_an_id_that_another_event_has_is_refused(path: Path) -> None:
    """What is not the event that is known by its id is told, and not passed over as known."""
    with Journal.open(path, write=True) as journal:
        leave(path.parent, [Entry(said("recorded", TIMED), "p", uuid="one")])
        assert take_in(journal, path.parent).refusals == ()
        for piece, hands_on_s in (("p", 90.0), ("q", 3600.0)):
            other = said("recorded", TIMED | {"hands_on_s": hands_on_s})
            leave(path.parent, [Entry(other, piece, uuid="one")])
            (told,) = take_in(journal, path.parent).refusals
            assert "The event one differs from the one in the journal" in told
        assert len(list(journal.events())) == 1


def test_what_is_left_is_taken_in_once(path: Path) -> None:
    """The holder takes in what was left and the file goes; left twice it is still one piece."""
    entry = Entry(said("recorded", TIMED), "p")
    with Journal.open(path, write=True) as journal:
        left = leave(path.parent, [entry])
        assert came_of(left, 0.0) is None
        again = left.with_name(f"9{left.name}")
        again.write_bytes(left.read_bytes())
        assert take_in(journal, path.parent).pieces == ("p",)
        assert came_of(left, 0.0) == ""
        assert len(list(journal.events("p"))) == 1
        assert not list((path.parent / FOLDER).iterdir())


def test_what_could_not_be_saved_stays_in_the_inbox(path: Path, tmp_path: Path) -> None:
    """While an event is only in memory its file stays; saved, it goes, and it is one event."""
    home = tmp_path / "beside"
    home.mkdir()
    journal = Journal.open(path, write=True)
    left = leave(home, [Entry(said("recorded", TIMED), "p")])
    block(path)
    assert take_in(journal, home).pieces == ("p",)
    assert len(journal.pending) == 1
    assert take_in(journal, home).pieces == ()
    assert left.exists()
    path.parent.unlink()
    journal.retry()
    assert take_in(journal, home).pieces == ()
    assert not left.exists()
    assert len(list(journal.events("p"))) == 1
    journal.close()


def test_a_pipe_in_the_inbox_is_not_waited_for(path: Path) -> None:
    """What is no file is passed over at once."""
    with Journal.open(path, write=True) as journal:
        (path.parent / FOLDER).mkdir()
        os.mkfifo(path.parent / FOLDER / "1.json")
        assert take_in(journal, path.parent).pieces == ()


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("{", "does not hold events"),
        ("[]", "does not hold events"),
        (
            json.dumps(
                {"events": [{"kind": "recorded", "version": 1, "piece": "p", "payload": {}}]}
            ),
            "lacks",
        ),
        (
            json.dumps(
                {"events": [{"kind": "note", "version": 1, "piece": "x", "payload": {"text": "a"}}]}
            ),
            "never started",
        ),
        (left_with({"uuid": 5}), "The uuid 5 is not an id"),
        (left_with({"uuid": "a\x1b[2J"}), "is not an id"),
        (left_with({"piece": ["p"]}), "is not an id"),
        (left_with({"uuid": "one"}, {"uuid": "one"}), "have the same id"),
    ],
)
def test_what_does_not_fit_is_refused_and_told(path: Path, text: str, why: str) -> None:
    """A file that holds no events of this journal is set aside with the reason, and told once."""
    (path.parent / FOLDER).mkdir(parents=True)
    left = path.parent / FOLDER / "1-x.json"
    left.write_text(text)
    with Journal.open(path, write=True) as journal:
        found = take_in(journal, path.parent)
        assert len(found.refusals) == 1
        assert why in found.refusals[0]
        assert why in (came_of(left, 0.0) or "")
        assert take_in(journal, path.parent).refusals == ()
        assert not list(journal.events())
