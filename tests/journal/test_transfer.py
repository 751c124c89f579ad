from __future__ import annotations

import io
import json
import tempfile
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bench.journal.errors import BadEvent
from bench.journal.payloads import Crossed
from bench.journal.state import replay
from bench.journal.store import Journal
from bench.journal.transfer import ImportRefused, export_jsonl, from_line, import_jsonl, to_line
from tests.support.clock import ManualClock
from tests.support.events import said


def exported(journal: Journal) -> str:
    """Return a journal as JSON lines."""
    stream = io.StringIO()
    count = export_jsonl(journal, stream)
    assert count == stream.getvalue().count("\n") == journal.counts()["events"]
    return stream.getvalue()


def braid(journal: Journal, piece: str, start: dict[str, object], crosses: int = 3) -> None:
    """Write a piece."""
    journal.append(said("piece_started", {**start, "title": piece}), pieces=piece, lot="drops")
    for made in range(crosses):
        journal.append(said("crossed", {"from": made, "to": made + 1}), pieces=piece)


@pytest.fixture
def second(tmp_path: Path, clock: ManualClock) -> Iterator[Journal]:
    """Yield another bench's journal."""
    path = tmp_path / "second" / "journal.db"
    with Journal.open(path, write=True, clock=clock) as journal:
        yield journal


def test_everything_goes_over_without_loss(
    journal: Journal, second: Journal, start: dict[str, object]
) -> None:
    """What one journal exports and another takes in is the same, event by event."""
    braid(journal, "p", start)
    journal.append(said("note", {"text": "a \u2028 é \udc80 \x1b[0m"}), pieces="p")
    report = {"cross": 1, "strand": 2, "place": 3, "look": "next", "saw": None}
    journal.append(said("slip_reported", report), pieces="p")
    braid(journal, "q", start)
    journal.append(said("stage_started", {"stage": "load"}), pieces=[("p", 0.1), ("q", 0.9)])
    merged = import_jsonl(second, io.StringIO(exported(journal)))
    assert (merged.added, merged.known, merged.warnings) == (11, 0, ())
    assert list(second.events()) == list(journal.events())
    assert second.pieces() == journal.pieces()
    assert exported(second) == exported(journal)


def test_twice_changes_nothing(journal: Journal, second: Journal, start: dict[str, object]) -> None:
    """Importing a file again, or one's own export, leaves everything as it was."""
    braid(journal, "p", start)
    text = exported(journal)
    import_jsonl(second, io.StringIO(text))
    for there in (journal, second):
        before = exported(there), there.pieces()
        merged = import_jsonl(there, io.StringIO(text))
        assert (merged.added, merged.known) == (0, 4)
        assert (exported(there), there.pieces()) == before


def test_two_benches_become_one(
    journal: Journal, second: Journal, start: dict[str, object]
) -> None:
    """Two benches that exchange exports hold the same pieces in the same states."""
    braid(journal, "p", start)
    braid(second, "q", start, crosses=5)
    first_text, second_text = exported(journal), exported(second)
    import_jsonl(journal, io.StringIO(second_text))
    import_jsonl(second, io.StringIO(first_text))
    for piece, made in (("p", 3), ("q", 5)):
        assert journal.state(piece) == second.state(piece)
        assert journal.state(piece).made == made
    assert journal.append(said("crossed", {"from": 5, "to": 6}), pieces="q").number == 5


def test_a_fork_is_told_and_is_the_same_at_both_benches(
    journal: Journal, second: Journal, start: dict[str, object]
) -> None:
    """A piece carried on at two benches is pointed out, and ends in one state at both."""
    braid(journal, "p", start)
    import_jsonl(second, io.StringIO(exported(journal)))
    for made in range(3, 7):
        journal.append(said("crossed", {"from": made, "to": made + 1}), pieces="p")
    second.append(said("crossed", {"from": 3, "to": 4}), pieces="p")
    first_text, second_text = exported(journal), exported(second)
    warnings = import_jsonl(journal, io.StringIO(second_text)).warnings
    assert len(warnings) == 1
    assert "carried on at two benches" in warnings[0]
    import_jsonl(second, io.StringIO(first_text))
    assert list(journal.events("p")) == list(second.events("p"))
    assert journal.state("p") == second.state("p") == replay("p", journal.events("p"))
    journal.append(said("place_set", {"from": journal.state("p").made, "to": 7}), pieces="p")
    assert journal.state("p") == replay("p", journal.events("p"))
    assert journal.state("p").made == 7


def test_parts_of_an_export_in_any_order(
    journal: Journal, second: Journal, start: dict[str, object]
) -> None:
    """The later half taken in before the earlier one gives the same piece in the end."""
    braid(journal, "p", start, crosses=6)
    lines = exported(journal).splitlines(keepends=True)
    import_jsonl(second, io.StringIO("".join(lines[4:])))
    import_jsonl(second, io.StringIO("".join(lines[:4])))
    assert second.state("p") == journal.state("p")
    assert list(second.events("p")) == list(journal.events("p"))


def test_what_a_newer_program_wrote_is_kept(
    journal: Journal, second: Journal, start: dict[str, object]
) -> None:
    """Unknown kinds and later versions are kept word for word, with a warning."""
    braid(journal, "p", start, crosses=1)
    lines = [json.loads(line) for line in exported(journal).splitlines()]
    lines[1] |= {"kind": "sung", "version": 3, "payload": {"song": ["la"]}}
    later = lines[1] | {"kind": "crossed", "version": 2, "uuid": "z", "number": 9}
    text = "".join(json.dumps(line) + "\n" for line in [*lines, later])
    merged = import_jsonl(second, io.StringIO(text))
    assert merged.warnings[-2:] == (
        "Kept, but not understood: sung (version 3).",
        "Kept, but not understood: crossed (version 2).",
    )
    assert [json.loads(line) for line in exported(second).splitlines()] == [*lines, later]


def broken(change: Callable[[dict[str, object]], object]) -> Callable[[str], str]:
    """Return a way to break a line by changing its object."""

    def breaking(line: str) -> str:
        data = json.loads(line)
        change(data)
        return json.dumps(data)

    return breaking


@pytest.mark.parametrize(
    ("breaking", "complaint"),
    [
        (lambda line: line[:-3], "not JSON"),
        (lambda line: "[" * 100_000, "not JSON"),
        (lambda line: line.replace('"mono":', '"mono":NaN,"x":'), "not JSON"),
        (lambda line: "[]", "is a JSON object"),
        (broken(lambda data: data.pop("lot")), "'lot' is missing"),
        (broken(lambda data: data.update(colour="red")), "'colour' is unknown"),
        (broken(lambda data: data.update(format=2)), "format is '2'"),
        (broken(lambda data: data.update(wall="noon")), "'wall'"),
        (broken(lambda data: data.update(number=0)), "'number'"),
        (broken(lambda data: data.update(uuid="\x1b[31m")), "is not an id"),
        (broken(lambda data: data.update(pieces=[])), "needs a piece"),
        (broken(lambda data: data.update(pieces=[{"piece": "p"}])), "pieces"),
        (broken(lambda data: data.update(payload={"from": 2, "to": 1})), "cannot go from 2 to 1"),
        (broken(lambda data: data.update(wall=5.0)), "differs from the one in the journal"),
    ],
)
def test_one_bad_line_and_nothing_is_imported(
    journal: Journal,
    second: Journal,
    start: dict[str, object],
    breaking: Callable[[str], str],
    complaint: str,
) -> None:
    """A broken line is named by its number, and no line of that file is kept."""
    braid(journal, "p", start, crosses=1)
    lines = exported(journal).splitlines()
    import_jsonl(second, io.StringIO("\n".join(lines)))
    braid(journal, "q", start)
    lines = exported(journal).splitlines()
    lines = [*lines[2:], "", breaking(lines[1])]
    before = exported(second), second.pieces()
    with pytest.raises(ImportRefused) as caught:
        import_jsonl(second, io.StringIO("\n".join(lines)))
    assert [problem.line for problem in caught.value.problems] == [len(lines)]
    assert complaint in str(caught.value)
    assert str(caught.value).isprintable()
    assert (exported(second), second.pieces()) == before


TYPED: dict[str, object] = {
    "title": None, "pattern": "x", "size": None, "colourway": None, "stage": None,
    "hands_on_s": 4000.0, "waiting_s": None, "crosses": 80, "rework_s": None,
    "finished_at": 1e9, "quality": "good",
}  # fmt: skip


@pytest.mark.parametrize(
    ("change", "complaint"),
    [
        ({"hands_on_s": -1.0}, "'hands_on_s'"),
        ({"hands_on_s": 0.5}, "takes at least 60 s"),
        ({"hands_on_s": 2.0}, "takes at least 60 s"),
        ({"hands_on_s": 2.0, "stage": "braid"}, "0.0 s for each cross"),
        ({"hands_on_s": 39_600.0, "crosses": 1}, "39,600.0 s for each"),
        ({"hands_on_s": 1e9, "crosses": None}, "cannot be"),
        ({"hands_on_s": 1e300, "crosses": None}, "'hands_on_s'"),
        ({"hands_on_s": "4000"}, "'hands_on_s'"),
        ({"rework_s": 1e9}, "rework_s is 1e+09"),
        ({"waiting_s": 1e9}, "waiting_s is 1e+09"),
        ({"finished_at": 2e9}, "yet to come"),
        ({"finished_at": 1e15}, "'finished_at'"),
        ({"finished_at": -1.0}, "too long ago"),
        ({"stage": "glue"}, "'stage'"),
    ],
)
def test_typed_times_that_cannot_be_are_refused(
    journal: Journal, second: Journal, change: dict[str, object], complaint: str
) -> None:
    """A piece typed in at another bench keeps the limits that a CSV row has to keep."""
    journal.append(said("recorded", TYPED), pieces="p")
    good = exported(journal)
    assert import_jsonl(second, io.StringIO(good), now=1.9e9).added == 1
    data = json.loads(good)
    data |= {"uuid": "other", "number": 2, "payload": data["payload"] | change}
    data["pieces"][0]["piece"] = "q"
    with pytest.raises(ImportRefused) as caught:
        import_jsonl(second, io.StringIO(good + json.dumps(data)), now=1.9e9)
    assert [problem.line for problem in caught.value.problems] == [2]
    assert complaint in str(caught.value)
    assert exported(second) == good


def test_a_piece_that_nobody_timed_goes_over(journal: Journal, second: Journal) -> None:
    """It says 0 s, and is understood at the other bench."""
    journal.append(said("recorded", TYPED | {"hands_on_s": 0.0}), pieces="p")
    assert '"fits":false' not in exported(journal)
    assert import_jsonl(second, io.StringIO(exported(journal))).warnings == ()


def test_many_bad_lines_are_told_at_once(journal: Journal) -> None:
    """A file with many broken lines names the first ones, and ends there."""
    with pytest.raises(ImportRefused) as caught:
        import_jsonl(journal, io.StringIO("nothing\n" * 1000))
    assert [problem.line for problem in caught.value.problems] == list(range(1, 21))


def test_a_file_that_is_no_text(journal: Journal, tmp_path: Path) -> None:
    """A file that is not UTF-8 is refused by line, not by a traceback."""
    file = tmp_path / "odd.jsonl"
    file.write_bytes(b"\xff\xfe\x00")
    with file.open(encoding="utf-8") as stream, pytest.raises(ImportRefused, match="not UTF-8"):
        import_jsonl(journal, stream)


WORK = st.lists(
    st.tuples(st.sampled_from("ab"), st.sampled_from("pqr"), st.integers(1, 3)), max_size=10
)


@given(WORK, WORK, st.integers(0, 30))
@settings(max_examples=25)
def test_two_benches_agree_whatever_was_done(
    before: list[tuple[str, str, int]], after: list[tuple[str, str, int]], cut: int
) -> None:
    """Two benches that worked apart, met, and worked apart again hold the same in the end.

    It does not matter in which parts the last export comes, which part twice, or who goes first.
    """
    with tempfile.TemporaryDirectory() as folder:
        paths = {name: Path(folder) / name / "journal.db" for name in "ab"}
        with (
            Journal.open(paths["a"], write=True, clock=ManualClock()) as a,
            Journal.open(paths["b"], write=True, clock=ManualClock()) as b,
        ):
            benches = {"a": a, "b": b}
            for stretch in (before, after):
                for bench, piece, crosses in stretch:
                    journal = benches[bench]
                    try:
                        made = journal.state(piece).made
                    except KeyError:
                        journal.append(said("recorded", TYPED), pieces=piece)
                        made = 80
                    crossed = {"from": made, "to": made + crosses}
                    journal.append(said("crossed", crossed), pieces=piece)
                lines = exported(b).splitlines(keepends=True)
                for part in (lines[cut:], lines[:cut], lines[cut:]):
                    import_jsonl(a, io.StringIO("".join(part)))
                import_jsonl(b, io.StringIO(exported(a)))
            assert sorted(exported(a).splitlines()) == sorted(exported(b).splitlines())
            for state in a.pieces(open_only=False):
                assert b.state(state.uuid) == state
                assert list(a.events(state.uuid)) == list(b.events(state.uuid))
            text = exported(b)
            assert import_jsonl(a, io.StringIO(text)).added == 0


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False) | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=3), inner),
    max_leaves=8,
)


@given(JSON, st.text(max_size=30))
@settings(max_examples=60)
def test_no_line_is_worse_than_refused(value: object, text: str) -> None:
    """Whatever stands in a line, it is an event or is refused in a sentence fit to be shown."""
    for line in (text, json.dumps(value), json.dumps({"format": 1, "payload": value})):
        with pytest.raises(BadEvent) as caught:
            from_line(line)
        assert str(caught.value).isprintable()


def test_a_line_is_canonical(journal: Journal, start: dict[str, object]) -> None:
    """A line has sorted keys and no spaces, and reads back as its event."""
    event = journal.append(said("piece_started", start), pieces="p")
    line = to_line(event)
    assert line == json.dumps(json.loads(line), sort_keys=True, separators=(",", ":"))
    assert from_line(line) == event


def test_a_foreign_number_does_not_run_this_journals_own_out(
    journal: Journal, second: Journal, start: dict[str, object]
) -> None:
    """An event that bears this journal's id and the highest number leaves later exports readable.

    Export and import of all that is there then gives the same.
    """
    braid(journal, "p", start)
    forged = json.loads(exported(journal).splitlines()[-1])
    forged |= {"uuid": "f" * 8 + "-0000-4000-8000-" + "0" * 12, "number": 2**53}
    forged |= {"kind": "note", "payload": {"text": "from elsewhere"}, "version": 1}
    import_jsonl(journal, io.StringIO(json.dumps(forged) + "\n"))
    before = [event.number for event in journal.events()]
    journal.append(said("note", {"text": "goes on"}), pieces="p")
    newest = next(e for e in journal.events() if e.number not in before)
    assert newest.number < 2**53
    import_jsonl(second, io.StringIO(exported(journal)))
    assert exported(second) == exported(journal)


def test_an_event_said_to_follow_one_of_another_piece_spoils_nothing(
    journal: Journal, second: Journal, start: dict[str, object]
) -> None:
    """In whichever order two such events come, journal and pieces are read, exported, taken in."""
    begun = journal.append(said("piece_started", start), pieces="p")
    crossed = replace(begun, bench="foreign", kind="crossed", payload=Crossed(0, 1))
    first = replace(crossed, uuid="E", number=2, after=(begun.uuid,))
    follows = replace(crossed, uuid="X", number=1, pieces=(("q", 1.0),), after=("E",))
    third = replace(follows, uuid="Y", number=3, pieces=(("r", 1.0),), after=("X",))
    for event in (follows, first, third):
        journal.merge([event])
    for piece in ("p", "q", "r"):
        assert journal.state(piece).made == 1
        assert len(list(journal.events(piece, "crossed"))) == 1
    assert journal.reports == []
    assert journal.check()
    assert import_jsonl(second, io.StringIO(exported(journal))).added == 4
    assert list(second.events()) == list(journal.events())


@pytest.mark.parametrize("wall", [-404_016_548.5, 8_795_983_654.0])
def test_what_a_wrong_clock_dates_is_written_and_taken_in(
    path: Path, second: Journal, wall: float
) -> None:
    """A piece that is written down in 1957 or 2248 by the clock is kept, and understood."""
    with Journal.open(path, write=True, clock=ManualClock(wall=wall)) as journal:
        journal.append(said("recorded", TYPED | {"finished_at": wall}), pieces="p")
        text = exported(journal)
    assert '"fits"' not in text
    merged = import_jsonl(second, io.StringIO(text), now=1.7e9)
    assert (merged.added, merged.warnings) == (1, ())
