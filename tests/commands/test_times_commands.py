from __future__ import annotations

import csv
import datetime as dt
import io
import json
from pathlib import Path
from typing import Any

import pytest

from bench.journal.store import Journal


def write(name: str, text: str) -> str:
    """Write a file beside the data folder; return its name."""
    Path(name).write_text(text, encoding="utf-8")
    return name


def test_a_recorded_piece_is_a_time_of_one_s_own(call: Any) -> None:
    """Without pieces the list shows a guess; after one its time, from three the spread."""
    before = call("list", "--json").json["patterns"]
    assert {p["basis"] for p in before} == {"guess"}
    found = {}
    for minutes in (66, 70, 61):
        assert call("record", "silver-eaves", "--minutes", str(minutes)).status == 0
        patterns = call("list", "--json").json["patterns"]
        found[minutes] = next(p for p in patterns if p["name"] == "silver-eaves")
    assert (found[66]["pieces"], found[66]["hands_on_s"]) == (1, 66 * 60)
    assert found[66]["basis"] == "your pieces"
    assert (found[66]["low_s"], found[70]["low_s"]) == (None, None)
    last = found[61]
    assert (last["hands_on_s"], last["low_s"], last["high_s"]) == (3960, 3660, 4200)


def test_record_says_what_it_wrote(call: Any) -> None:
    """A stage on a day: the event holds the pattern, the stage, the seconds and that noon."""
    said = call(
        "record", "silver-eaves", "--minutes", "25", "--stage", "braid", "--on", "2026-03-01",
        "--size", "small", "--json",
    )  # fmt: skip
    answer = said.json
    assert (answer["pattern"], answer["size"], answer["stage"]) == (
        "silver-eaves",
        "small",
        "braid",
    )
    assert answer["hands_on_s"] == 1500
    assert answer["finished_at"].startswith("2026-03-01T12:00:00")
    with Journal.open(call.home / "journal.db", write=False) as journal:
        (event,) = journal.events(kind="recorded")
    assert event.piece == answer["piece"]
    assert event.values["crosses"] == 72


def test_a_batch_is_shared_out_over_its_pieces(call: Any) -> None:
    """Six sets loaded in two hours are six pieces of twenty minutes' loading, for the pace too."""
    words = ("record", "silver-eaves", "--minutes", "120", "--stage", "load", "--pieces", "6")
    answer = call(*words, "--json").json
    assert (len(set(answer["pieces"])), answer["hands_on_s"]) == (6, 1200)
    with Journal.open(call.home / "journal.db", write=False) as journal:
        seconds = [event.values["hands_on_s"] for event in journal.events(kind="recorded")]
    assert seconds == [1200.0] * 6
    load = call("pace", "silver-eaves", "--json").json["stages"]["load"]
    assert load["low_s"] < 1200 < load["high_s"]
    assert "2 pieces, 10 min each" in call(*words[:2], "--minutes", "20", *words[4:7], "2").out
    wrong = call(*words[:6], "--pieces", "0")
    assert (wrong.status, "0 pieces cannot be recorded" in wrong.err) == (1, True)


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["--minutes", "0"], "0 minutes cannot be"),
        (["--minutes", "-5"], "-5 minutes cannot be"),
        (["--minutes", "nan"], "nan minutes cannot be"),
        (["--minutes", "inf"], "inf minutes cannot be"),
        (["--minutes", "0.03"], "takes 60 seconds"),
        (["--minutes", "50000"], "each of the 72 crosses"),
        (["--minutes", "60", "--on", "2999-01-01"], "yet to come"),
        (["--minutes", "60", "--on", "1066-10-14"], "too long ago"),
        (["--minutes", "60", "--on", "1 March"], "written as 2026-03-01; found '1 March'"),
        (["--minutes", "60", "--on", "2026-02-30"], "a day that there is"),
        (["--minutes", "60", "--size", "huge"], "no size 'huge'; known: small"),
        (["--minutes", "60", "--colourway", "mud"], "no colourway 'mud'"),
        (["--minutes", "600", "--stage", "load"], "loading of 'silver-eaves' takes 0.9 to 341"),
        (["--minutes", "2"], "a whole piece of 'silver-eaves' takes"),
    ],
)
def test_a_time_that_cannot_be_is_refused(call: Any, words: list[str], says: str) -> None:
    """Absurd minutes, days to come and unknown sizes: one sentence, status 1, nothing written."""
    said = call("record", "silver-eaves", *words)
    assert said.status == 1
    assert says in said.err
    assert said.err.count("\n") == 1
    assert not (call.home / "journal.db").exists()


def test_csv_goes_out_and_comes_in_once(call: Any) -> None:
    """What is exported can be imported elsewhere; a second time changes nothing."""
    call("record", "silver-eaves", "--minutes", "66", "--on", "2026-03-01")
    call("record", "downpipe", "--minutes", "30", "--stage", "braid")
    said = call("export", "--to", "mine.csv")
    assert said.out == "2 rows written into mine.csv\n"
    rows = list(csv.DictReader(io.StringIO(Path("mine.csv").read_text(encoding="utf-8"))))
    assert [(r["pattern"], r["stage"], r["hands_on_s"]) for r in rows] == [
        ("silver-eaves", "", "3960"),
        ("downpipe", "braid", "1800"),
    ]
    call.home = call.home.with_name("other")
    assert call("import", "mine.csv", "--json").json["added"] == 2
    again = call("import", "mine.csv", "--json").json
    assert (again["kind"], again["added"], again["known"]) == ("csv", 0, 2)
    assert call("export").out == Path("mine.csv").read_text(encoding="utf-8")


def test_times_typed_in_at_two_benches_count_once(call: Any) -> None:
    """After a merge a list that both benches had taken in is there once, its rework as well."""
    head = "piece,finished_at,pattern,stage,hands_on_s,rework_s\n"
    rows = "D1,2026-03-01,silver-eaves,load,800,\nD1,2026-03-01,silver-eaves,braid,1500,100\n"
    own = write("own.csv", f"{head}{rows},2026-03-02,silver-eaves,,4000,200\n")
    call("import", own)
    before = call("export").out, call("pace", "silver-eaves", "--json").json
    call.home = call.home.with_name("other")
    call("import", own)
    call("export", "--format", "jsonl", "--to", "other.jsonl")
    call.home = call.home.with_name("home")
    assert call("import", "other.jsonl", "--json").json["added"] == 3
    after = call("export").out, call("pace", "silver-eaves", "--json").json
    assert after[0] == before[0]
    for stage, said in before[1]["stages"].items():
        assert after[1]["stages"][stage]["median_s"] == pytest.approx(said["median_s"], abs=0.2)


def test_events_go_out_without_loss(call: Any) -> None:
    """JSON lines of one bench make the same lines at another."""
    call("record", "silver-eaves", "--minutes", "66")
    lines = call("export", "--format", "jsonl").out
    write("mine.jsonl", lines)
    assert call("export", "--format", "jsonl", "--json").json["events"] == [
        json.loads(line) for line in lines.splitlines()
    ]
    call.home = call.home.with_name("other")
    assert call("import", "mine.jsonl", "--json").json["kind"] == "jsonl"
    assert call("export", "--format", "jsonl").out == lines


GOOD = "pattern,hands_on_s\nsilver-eaves,4000\n"


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (GOOD + "silver-leaves,4000\n", ["line 3", "no pattern 'silver-leaves'"]),
        (GOOD + "silver-eaves,-4\ndownpipe,2\n", ["line 3", "line 4"]),
        ("pattern;hands_on_s\nsilver-eaves;4000\n", ["semicolons"]),
        ("silver-eaves,4000\n", ["line 1", "name the columns"]),
        ("", ["pattern", "missing"]),
        ("pattern,hands_on_s,stage\nsilver-eaves,36000,load\n", ["line 2", "takes 51 s to 20,"]),
        ("pattern,hands_on_s,crosses\nsilver-eaves,4000,700\n", ["line 2", "700", "has 72"]),
        ("pattern,hands_on_s,size\nsilver-eaves,4000,huge\n", ["'huge'", "known: small"]),
        ("pattern,hands_on_s,colourway\nsilver-eaves,4000,mud\n", ["no colourway 'mud'"]),
        ("pattern,hands_on_s,stage\nplain,600,load\n", ["no pattern 'plain'"]),
        ('{"format": 1}\n', ["line 1"]),
    ],
)
def test_a_bad_import_is_refused_whole(call: Any, text: str, says: list[str]) -> None:
    """Every wrong line is named, the status is 1, and the good rows are not kept either."""
    said = call("import", write("bad.csv", text))
    assert said.status == 1
    assert "bad.csv: nothing was imported" in said.err
    assert all(part in said.err for part in says)
    assert call("export").out.count("\n") == 1


BARE = """format = 1
title = "Bare"
structure = "kongo-8"
crosses = 200
plain_start = 4
plain_end = 4
[threads]
double_lengths = [[1, 6], [2, 5], [3, 8], [4, 7]]
name = "gel-spun 0.13 mm"
diameter_mm = 0.13
"""


def test_a_cord_without_beads_has_no_loading(call: Any) -> None:
    """Loading times of a beadless cord are refused, by `record` and by `import`."""
    (call.home / "patterns").mkdir(parents=True)
    (call.home / "patterns" / "bare.toml").write_text(BARE, encoding="utf-8")
    said = call("record", "bare", "--minutes", "10", "--stage", "load")
    assert (said.status, "no beads" in said.err) == (1, True)
    rows = write("bare.csv", "pattern,hands_on_s,stage\nbare,600,load\nbare,3000,braid\n")
    said = call("import", rows)
    assert "line 2: 'bare' has no beads" in said.err


def test_events_of_an_unknown_pattern_are_taken_in_with_a_word(call: Any) -> None:
    """JSON lines lose nothing; times of a pattern that is not here are named, since none count."""
    call("record", "silver-eaves", "--minutes", "66")
    lines = call("export", "--format", "jsonl").out.replace("silver-eaves", "silver-leaves")
    call.home = call.home.with_name("other")
    said = call("import", write("mine.jsonl", lines))
    assert said.status == 0
    assert "times of 'silver-leaves' are left out" in said.err


def test_good_rows_can_be_kept(call: Any) -> None:
    """With --keep-good the wrong row is a warning and the other is recorded."""
    text = GOOD + "silver-leaves,4000\n"
    answer = call("import", write("half.csv", text), "--keep-good", "--json").json
    assert answer["added"] == 1
    assert "line 3" in answer["warnings"][0]


def test_pace_has_the_agreed_shape(call: Any) -> None:
    """The next piece and every stage lie in intervals of 80 %; pieces count the pattern's own."""
    call("record", "silver-eaves", "--minutes", "66")
    answer = call("pace", "silver-eaves", "--json").json
    assert (answer["pattern"], answer["pieces"]) == ("silver-eaves", 1)
    assert set(answer["stages"]) == {"load", "set_up", "braid", "finish"}
    for said in (answer["next_piece"], *answer["stages"].values()):
        assert said["level"] == 0.8
        assert said["low_s"] < said["median_s"] < said["high_s"]
    every = call("pace", "--json").json["patterns"]
    assert {line["pattern"]: line["pieces"] for line in every}["downpipe"] == 0
    assert call("pace", "silver-eaves").status == 0


def test_times_of_a_lost_pattern_are_said(call: Any) -> None:
    """Times whose pattern is gone cannot be used; the maker is told whose they are."""
    folder = call.home / "patterns"
    folder.mkdir(parents=True)
    shipped = Path(call("where", "--json").json["shipped"]["path"])
    own = folder / "my-own.toml"
    own.write_text((shipped / "silver-eaves.toml").read_text(encoding="utf-8"), encoding="utf-8")
    call("record", "my-own", "--minutes", "66")
    own.unlink()
    said = call("pace", "silver-eaves")
    assert said.status == 0
    assert "times of 'my-own' are left out" in said.err


def test_a_forecast_adds_up(call: Any) -> None:
    """Sixty pieces to come, a finish that moves with the hours a week, a price from the rate."""
    call.home.mkdir(parents=True)
    settings = "format = 1\n[work]\nhourly_rate = 20\nhours_per_week = 10\nmargin = 0.5\n"
    (call.home / "settings.toml").write_text(settings, encoding="utf-8")
    answer = call("forecast", "stair-window", "--json").json
    assert sum(lot["to_make"] for lot in answer["lots"]) == 60
    hours = answer["to_come"]
    assert hours["low_h"] < hours["median_h"] < hours["high_h"]
    assert answer["price"]["amount"] == pytest.approx(30 * hours["median_h"], rel=0.001)
    today = dt.date.today()
    weeks = (dt.date.fromisoformat(answer["finish"]["median"]) - today).days / 7
    assert weeks == pytest.approx(hours["median_h"] / 10, abs=0.3)
    faster = call("forecast", "stair-window", "--hours-per-week", "20", "--json").json
    assert faster["finish"]["median"] < answer["finish"]["median"]
    assert "no hourly rate" not in call("forecast", "stair-window").out


def test_hardly_any_hours_a_week_still_give_an_answer(call: Any) -> None:
    """A minute a week, or next to nothing, is answered with a far day and hours that can be."""
    usual = call("forecast", "stair-window", "--json").json["to_come"]
    for hours in ("0.016", "1e-12", "1e-320"):
        said = call("forecast", "stair-window", "--hours-per-week", hours, "--json")
        assert said.json["finish"]["median"] > "2100"
        assert said.json["to_come"]["high_h"] < 1.5 * usual["high_h"]


def test_a_lot_that_is_due_says_how_likely_it_is_late(call: Any) -> None:
    """Due long ago is late for certain; due on the last day that there is, it is not."""
    runs = call.home / "commissions"
    runs.mkdir(parents=True)
    lot = '[[lots]]\nname = "{0}"\npattern = "cistern"\npieces = 2\ndue = {1}\n'
    text = 'format = 1\ntitle = "Two lots"\n' + lot.format("past", "2020-01-01")
    (runs / "two.toml").write_text(text + lot.format("far", "9999-12-31"), encoding="utf-8")
    lots = call("forecast", "two", "--json").json["lots"]
    assert [lot["late"] for lot in lots] == [1.0, None]
    call("record", "cistern", "--minutes", "80")
    lots = call("forecast", "two", "--json").json["lots"]
    assert [lot["late"] for lot in lots] == [1.0, pytest.approx(0.001)]
    assert "late with chance 100%" in call("forecast", "two").out


@pytest.mark.parametrize("hours", ["0", "-1", "nan", "200"])
def test_hours_that_no_week_has_are_refused(call: Any, hours: str) -> None:
    """None, fewer than none, or more than a week has: status 1, one sentence."""
    said = call("forecast", "stair-window", "--hours-per-week", hours)
    assert (said.status, said.err.count("\n")) == (1, 1)
    assert "hours a week cannot be" in said.err


def test_many_times_are_read_once_and_that_is_said(
    call: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where many finished pieces must be read, that is said at once, and the next time is short."""
    words = ("record", "silver-eaves", "--minutes", "80", "--stage", "load", "--pieces", "8")
    monkeypatch.setattr("bench.session.MANY", 7)
    first, then = call(*words), call("pace", "silver-eaves")
    assert "reading the times of 8 finished pieces; that is done once" in first.err
    assert (then.status, then.err) == (0, "")


def test_record_while_the_program_is_open(call: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    """What cannot be written now waits for the program that holds the journal, and it is said.

    The next one that opens the journal to write takes it in.
    """
    monkeypatch.setattr("bench.session.WAIT_S", 0.05)
    monkeypatch.setattr("bench.commands.writing_down.HOLDER_S", 0.05)
    with Journal.open(call.home / "journal.db", write=True) as journal:
        said = call("record", "silver-eaves", "--minutes", "66", "--json")
        assert said.status == 0
        assert said.json["waits"] is True
        assert "waits in" in said.json["warnings"][0]
        assert not list(journal.events())
    assert call("record", "silver-eaves", "--minutes", "67").status == 0
    with Journal.open(call.home / "journal.db", write=False) as journal:
        seconds = [event.values["hands_on_s"] for event in journal.events(kind="recorded")]
    assert seconds == [66 * 60, 67 * 60]
