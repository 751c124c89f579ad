"""`tonight`: an evening by the turn, in part where a braid is long, beside other orders."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest

from bench.documents.library import Library
from bench.documents.settings import Settings
from bench.journal.store import Journal
from bench.making.braid import Braid
from bench.making.worked_pattern import WorkedPattern

FAR = dt.date(2199, 1, 1)


def order(title: str, *lots: tuple[str, str, int, dt.date]) -> str:
    """A commission file: its title, and lots of a name, a pattern, a count, a day."""
    parts = [f'format = 1\ntitle = "{title}"\n']
    for name, pattern, pieces, due in lots:
        parts.append(
            f'[[lots]]\nname = "{name}"\npattern = "{pattern}"\npieces = {pieces}\n'
            f"due = {due}\nprice = 30.00\n"
        )
    return "".join(parts)


def days(count: int) -> dt.date:
    """The day in so many days."""
    return dt.date.today() + dt.timedelta(days=count)


@pytest.fixture
def two(call: Any) -> Any:
    """An accepted order: Moss for next year stands before Plum for next week; neither is begun."""
    (call.home / "commissions").mkdir(parents=True)
    (call.home / "settings.toml").write_text("format = 1\n[work]\nhourly_rate = 20\n", "utf-8")
    text = order("Two", ("Moss", "downpipe", 60, days(200)), ("Plum", "silver-eaves", 3, days(9)))
    (call.home / "commissions" / "two.toml").write_text(text, "utf-8")
    call("offer", "two", "--accept")
    return call


def tonight(call: Any, name: str, hours: str, *more: str) -> Any:
    """What `tonight` answers."""
    return call("tonight", name, "--hours", hours, *more, "--json").json


def test_the_awaited_sample_is_first_and_alone_of_its_lot(two: Any) -> None:
    """The first load is the sample; of a lot that waits nothing else; then what is promised."""
    two("inspect", "two", "--waive", "Plum", "--because", "as last year")
    said = tonight(two, "two", "4")
    assert [(t["lot"], t["pieces"], t["sample"], t["waits"]) for t in said["turns"]] == [
        ("Moss", 1, True, False), ("Plum", 3, False, False), ("Moss", 59, False, True),
    ]  # fmt: skip
    assert said["turns"][1]["why"] == f"before Moss: {days(9)} comes first"
    steps = [(step["piece"], step["stage"]) for step in said["steps"]]
    assert steps[0] == ("Moss 1", "load")
    assert {piece for piece, _ in steps} <= {"Moss 1", "Plum 1", "Plum 2", "Plum 3"}
    assert said["finished"][0] == "Moss 1"
    plum = next(step for step in said["steps"] if step["piece"] == "Plum 1")
    assert plum["why"] == "while Moss 1 dries"
    assert all(day["short_h"] == 0 for day in said["promised"])


def test_what_is_promised_next_comes_before_the_order_of_the_lots(two: Any) -> None:
    """Where no sample is waited for, the lot that is due first is loaded and finished first."""
    for lot in ("Plum", "Moss"):
        two("inspect", "two", "--waive", lot, "--because", "as last year")
    said = tonight(two, "two", "3")
    assert said["steps"][0]["piece"] == "Plum 1"
    assert said["finished"][0] == "Plum 1"
    assert [turn["lot"] for turn in said["turns"]] == ["Plum", "Moss"]


def test_why_the_end_of_an_evening_is_free(two: Any, tmp_path: Any) -> None:
    """Once both samples are made there is nothing to do before they are signed off."""
    said = tonight(two, "two", "12")
    assert said["finished"] == ["Plum 1", "Moss 1"]
    wait = "what else there is of Plum and Moss waits for the sign-off of their samples"
    assert said["left_over"] == wait
    told = two("tonight", "two", "--hours", "12", "--html", "t.html").out
    assert "left over: what else there is of Plum and" in told
    assert max(map(len, told.splitlines())) <= 80
    page = (tmp_path / "t.html").read_text("utf-8")
    assert page.count('class="tick"') == len(said["steps"])
    assert wait in page
    two("commission", "two", "--cancel", "--because", "moved house")
    said = tonight(two, "two", "12")
    assert (said["steps"], said["turns"], said["promised"]) == ([], [], [])
    assert "(moved house): nothing of it is to be made" in said["nothing"]


def test_a_rope_is_braided_on_in_part(call: Any) -> None:
    """What no evening holds whole is gone on with, and the sheet says how far about."""
    (call.home / "commissions").mkdir(parents=True)
    text = order("Rope", ("Rope", "stair-rope", 1, days(90)), ("Plum", "silver-eaves", 4, FAR))
    (call.home / "commissions" / "rope.toml").write_text(text, "utf-8")
    made = WorkedPattern.from_library(Library(call.home), Settings(), "stair-rope")
    with Journal.open(call.home / "journal.db", write=True) as journal:
        Braid.start(journal, made, stage="braid", commission="rope", lot="Rope", number=1)
    (step,) = tonight(call, "rope", "3")["steps"]
    assert (step["piece"], step["stage"], step["left"]) == ("Rope 1", "braid", step["whole"])
    assert 100 < step["units"] < step["whole"] // 2
    about = f"{step['units'] // 10 * 10:,} of {step['whole']:,} crosses"
    assert f"Rope 1: about {about}" in call("tonight", "rope", "--hours", "3").out


def test_other_orders_take_their_hours_first(two: Any) -> None:
    """Of two accepted orders the one that is promised later counts the other's hours, and says."""
    text = order("One", ("L", "silver-eaves", 12, days(8)))
    (two.home / "commissions" / "one.toml").write_text(text, "utf-8")
    before = tonight(two, "two", "3")
    two("offer", "one", "--accept")
    after = tonight(two, "two", "3")
    assert (before["next_order"], before["promised"][0]["others"]) == ("", [])
    first, _ = after["promised"]
    ((taken),) = first["others"]
    assert taken["order"] == "One"
    assert first["hours"] == pytest.approx(before["promised"][0]["hours"] + taken["hours"], abs=0.1)
    assert first["short_h"] > before["promised"][0]["short_h"] == 0
    assert after["next_order"] == f"'One' comes first: its L is promised for {days(8)}"
    assert "'One'" in two("forecast", "two").err
    one = tonight(two, "one", "3")
    assert one["next_order"].startswith("this order comes before 'Two'")
    late = [two("forecast", name, "--json").json["finish"]["median"] for name in ("one", "two")]
    assert late[0] < late[1]


def test_pieces_go_by_their_places_where_the_maker_chose_so(call: Any) -> None:
    """Hung in turn they are loaded in turn, whatever is due first; that is said."""
    (call.home / "commissions").mkdir(parents=True)
    text = order("By", ("Plum", "silver-eaves", 2, FAR), ("Moss", "downpipe", 2, days(9)))
    (call.home / "commissions" / "by.toml").write_text(text, "utf-8")
    for lot in ("Plum", "Moss"):
        call("inspect", "by", "--waive", lot, "--because", "as last year")
    by_day = [step["piece"] for step in tonight(call, "by", "6")["steps"]]
    assert by_day[0] == "Moss 1"
    hung = call("hang", "by", "--evenly", "4", "--width", "400", "--keep", "--json").json
    call("hang", "by", "--made-by-place", "yes")
    said = tonight(call, "by", "9")
    lots = [place["piece"].split()[0] for place in hung["places"]]
    assert lots[0] != lots[1]
    loads = [step["piece"].split()[0] for step in said["steps"] if step["stage"] == "load"]
    assert (loads, said["by_place"]) == (lots, True)
    assert "by their places" in call("tonight", "by", "--hours", "9").out


def test_what_lies_on_the_stand_for_another_order_comes_first(two: Any) -> None:
    """The only stand is taken by another order's piece: it is gone on with first, which is said."""
    text = order("One", ("L", "silver-eaves", 12, days(300)))
    (two.home / "commissions" / "one.toml").write_text(text, "utf-8")
    two("offer", "one", "--accept")
    made = WorkedPattern.from_library(Library(two.home), Settings(), "silver-eaves")
    with Journal.open(two.home / "journal.db", write=True) as journal:
        Braid.start(journal, made, stage="braid", commission="one", lot="L", number=1)
    said = tonight(two, "two", "3")
    assert [(s["piece"], s["stage"]) for s in said["steps"]][:1] == [("L 1 of One", "braid")]
    assert said["steps"][0]["why"] == "it lies on the stand"
    assert "Plum 1" in {step["piece"] for step in said["steps"]}


def test_what_dries_on_the_stand_is_waited_for(two: Any) -> None:
    """A piece of no order dries on the only stand: until then nothing else is set up."""
    made = WorkedPattern.from_library(Library(two.home), Settings(), "silver-eaves")
    with Journal.open(two.home / "journal.db", write=True) as journal:
        braid = Braid.start(journal, made, stage="braid")
        braid.go_to_stage("dry")
    steps = tonight(two, "two", "3")["steps"]
    set_up = next(step for step in steps if step["stage"] == "set_up")
    assert set_up["start_min"] >= 29
    assert "Silver Eaves of no order" in {step["piece"] for step in steps}
