"""`commission`: made and changed by the program, with its file, its events and its questions."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Any

import pytest

from bench.documents.library import Library
from bench.documents.settings import Settings
from bench.journal.commission_payloads import CommissionKept, CustomerNamed
from bench.journal.store import Journal
from bench.making.braid import Braid
from bench.making.worked_pattern import WorkedPattern

BEGIN = (
    *("commission", "door", "--new", "--title", "Door curtain", "--for", "the second door"),
    *("--due", "2199-05-01", "--lot", "Plum", "--pattern", "silver-eaves", "--pieces", "12"),
)


@pytest.fixture
def door(call: Any) -> Any:
    """A maker with a commission that was made by the command."""
    said = call(*BEGIN)
    assert said.status == 0, said.err
    return call


def good(call: Any, lot: str, pieces: int) -> None:
    """Good pieces of a lot, in the journal."""
    made = WorkedPattern.from_library(Library(call.home), Settings(), "silver-eaves")
    with Journal.open(call.home / "journal.db", write=True) as journal:
        for _ in range(pieces):
            Braid.start(journal, made, stage="finish", commission="door", lot=lot).finish("good")


def test_a_commission_without_an_editor(door: Any) -> None:
    """Begun, a lot more, another day, fewer pieces: file, answer and history say the same."""
    door("commission", "door", "--lot", "Eaves", "--pattern", "silver-eaves", "--pieces", "8")
    door("commission", "door", "--lot", "Eaves", "--price", "30.00", "--before", "Plum")
    said = door(
        *("commission", "door", "--lot", "Plum", "--pieces", "-3", "--due", "2199-04-24"),
        *("--because", "the window is smaller", "--on", "2024-11-02", "--json"),
    ).json
    assert [(lot["lot"], lot["pieces"], lot["price"], lot["due"]) for lot in said["lots"]] == [
        ("Eaves", 8, "30.00", "2199-04-24"),
        ("Plum", 9, None, "2199-04-24"),
    ]
    last = said["versions"][-1]
    assert (last["day"], last["reason"], last["stands"]) == (
        *("2024-11-02", "the window is smaller"),
        True,
    )
    assert last["changes"] == [
        "due 2199-04-24 in place of 2199-05-01",
        "Plum: 3 fewer, 9 pieces now",
    ]
    assert [v["stands"] for v in said["versions"]] == [False, False, False, True]
    text = (door.home / "commissions" / "door.toml").read_text("utf-8")
    assert text.index('"Eaves"') < text.index('"Plum"')
    assert "pieces = 9" in text
    assert door("commission", "door", "--html", "o.html").status == 0
    page = Path("o.html").read_text("utf-8")
    for told in ("the second door", "Plum: 3 fewer, 9 pieces now (the window is smaller)", "30.00"):
        assert told in page, told
    out = door("commission", "door").out
    assert "FOR        the second door" in out
    assert "0 of 9" in out
    assert "the window is smaller" in out
    assert max(map(len, out.splitlines())) <= 80


def test_a_lot_before_itself_stays_where_it_is(door: Any) -> None:
    """Nothing is changed, and nothing said to be."""
    before = (door.home / "commissions" / "door.toml").read_bytes()
    said = door("commission", "door", "--lot", "Plum", "--before", "Plum", "--json")
    assert (said.status, said.json["changed"]) == (0, [])
    assert (door.home / "commissions" / "door.toml").read_bytes() == before


def test_the_customer_stays_out_of_the_versions(door: Any) -> None:
    """For whom it is stands in the file and in an event of its own, in no version."""
    with Journal.open(door.home / "journal.db", write=False) as journal:
        (_, kept), *_ = journal.each(CommissionKept)
        (named, who), *_ = journal.each(CustomerNamed)
    assert "whom" not in kept.content
    assert who.whom == "the second door"
    assert named.after == (None,)


def test_fewer_than_are_made_is_asked_once(door: Any) -> None:
    """A count below what is made is refused with a question; answered, it is settled.

    Once the count is raised again those pieces count for the lot, and it can be answered anew.
    """
    good(door, "Plum", 3)
    before = (door.home / "commissions" / "door.toml").read_bytes()
    said = door("commission", "door", "--lot", "Plum", "--pieces", "1")
    assert (said.status, said.err.count("\n")) == (1, 1)
    assert "3 of 'Plum' are made, 2 more than it would have" in said.err
    assert (door.home / "commissions" / "door.toml").read_bytes() == before
    words = ("commission", "door", "--lot", "Plum", "--pieces")
    assert door(*words, "1", "--made-more", "stock").status == 0
    assert door("commission", "door", "--title", "The door").status == 0
    assert door(*words, "3").status == 0
    assert "3 of 'Plum' are made, 2 more" in door(*words, "1").err
    assert door(*words, "1", "--made-more", "charged").status == 0
    (lot,) = door("pack", "door", "--json").json["lots"]
    assert (lot["promised"], lot["spare"], lot["counts"]) == (3, 0, {"made": 3})


def test_a_renamed_lot_keeps_its_pieces(door: Any) -> None:
    """Pieces that were begun for a lot under its old name count for it under the new one."""
    good(door, "Plum", 2)
    said = door("commission", "door", "--lot", "Plum", "--rename", "Dark plum", "--json").json
    assert [(lot["lot"], lot["good"]) for lot in said["lots"]] == [("Dark plum", 2)]


def test_a_file_changed_elsewhere_is_taken_in(door: Any) -> None:
    """What an editor wrote becomes a version of that day, and the next change follows it."""
    file = door.home / "commissions" / "door.toml"
    file.write_text("# mine\n" + file.read_text("utf-8").replace("pieces = 12", "pieces = 13"))
    first = door("commission", "door", "--json").json["versions"][-1]
    assert (first["source"], first["changes"]) == ("file", ["Plum: 1 more, 13 pieces now"])
    assert door("commission", "door", "--json").json["versions"][-1] == first
    said = door("commission", "door", "--lot", "Plum", "--pieces", "14", "--json").json
    assert [v["source"] for v in said["versions"]] == ["app", "file", "app"]
    assert file.read_text("utf-8").startswith("# mine\n")


def test_a_commission_is_cancelled_and_goes_on(door: Any) -> None:
    """The day and the reason stand on its sheet; taken back, they do not."""
    words = ("commission", "door", "--cancel", "--because", "the house is sold")
    said = door(*words, "--on", "2024-11-01", "--json").json
    assert said["cancelled"] == "2024-11-01 (the house is sold)"
    assert "CANCELLED  2024-11-01" in door("commission", "door").out
    assert door("commission", "door", "--put-away", "--json").json["changed"] == ["put away"]
    assert door("commission", "door", "--call-back", "--json").json["changed"] == ["called back"]
    assert door("commission", "door", "--go-on", "--json").json["cancelled"] is None
    refused = door("commission", "door", "--put-away")
    assert (refused.status, "is not over yet" in refused.err) == (1, True)


def test_a_shipped_commission_is_changed_in_the_makers_own_folder(call: Any) -> None:
    """Changing a shipped one writes the maker's own, and keeps what it was as its first version."""
    said = call("commission", "stair-window", "--lot", "Pearls, grey", "--pieces", "11", "--json")
    assert said.status == 0
    assert [v["source"] for v in said.json["versions"]] == ["file", "app"]
    assert (call.home / "commissions" / "stair-window.toml").is_file()


def test_another_benchs_change_is_not_undone_unsaid(door: Any, tmp_path: Path) -> None:
    """The same first version at two benches is no change; a change of the other is taken or not."""
    other = tmp_path / "other"
    shutil.copytree(door.home / "commissions", other / "commissions")
    door("notes", "door", "--say", "here")
    elsewhere = type(door)(other, door._capsys)
    elsewhere("notes", "door", "--say", "there")
    elsewhere("export", "--format", "jsonl", "--to", str(tmp_path / "there.jsonl"))
    assert "two benches" not in door("import", str(tmp_path / "there.jsonl")).err
    assert not door("commission", "door", "--json").json["warnings"]
    elsewhere("commission", "door", "--lot", "Plum", "--pieces", "+3")
    elsewhere("export", "--format", "jsonl", "--to", str(tmp_path / "there.jsonl"))
    door("import", str(tmp_path / "there.jsonl"))
    pieces = door("commission", "door", "--json").json["lots"][0]["pieces"]
    assert "another bench has changed 'door'" in door("commission", "door").err
    refused = door("commission", "door", "--due", "2199-01-01")
    assert (refused.status, "--take takes that over" in refused.err) == (1, True)
    door("commission", "door", "--take", "--due", "2199-01-01")
    said = door("commission", "door", "--json").json
    assert (said["lots"][0]["pieces"], said["due"]) == (pieces + 3, "2199-01-01")
    assert not said["warnings"]


def test_an_order_of_another_bench_is_put_on_the_list(door: Any, tmp_path: Path) -> None:
    """`import` tells of it, by a name that is free here; --take writes its file."""
    other = type(door)(tmp_path / "other", door._capsys)
    lot = ("--lot", "Plum", "--pattern", "silver-eaves", "--pieces", "2")
    other("commission", "door", "--new", "--title", "Another door", *lot)
    other("export", "--format", "jsonl", "--to", str(tmp_path / "there.jsonl"))
    said = door("import", str(tmp_path / "there.jsonl")).err
    assert "`commission door-2 --take` puts it on your list" in said
    took = door("commission", "door-2", "--take", "--json").json
    assert (took["title"], took["changed"]) == (
        *("Another door", ["taken over from another bench"]),
    )
    assert (door.home / "commissions" / "door-2.toml").exists()
    assert door("commission", "door-2", "--take").status == 1


def test_a_lot_whose_pattern_is_gone_is_told_and_mended(door: Any) -> None:
    """What needs it says so in one sentence; all else goes on, and another pattern mends it."""
    own = door.home / "patterns" / "mine.toml"
    own.parent.mkdir(exist_ok=True)
    text = Library(door.home).pattern_path("silver-eaves").read_text("utf-8")
    own.write_text(text, "utf-8")
    for lot in ("One", "Two"):
        door("commission", "door", "--lot", lot, "--pattern", "mine", "--pieces", "2")
    own.unlink()
    for words in (("forecast", "door"), ("needs", "door"), ("tonight", "door")):
        said = door(*words)
        assert (said.status, said.err.count("\n")) == (1, 1)
        assert "there is no pattern 'mine'" in said.err
    read = door("commission", "door", "--json").json
    assert len(read["warnings"]) == 2
    rest = (("account", "--payment", "5"), ("notes", "--say", "x"), ("inspect",), ("pack",))
    for command, *more in rest:
        assert door(command, "door", *more).status == 0
    for lot in ("One", "Two"):
        mended = ("--lot", lot, "--pattern", "silver-eaves")
        assert door("commission", "door", *mended).status == 0
    assert door("forecast", "door").status == 0


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--lot", "Plum", "--pieces", "some"), "--pieces takes a number"),
        (("--lot", "Plum", "--pieces", "-12"), "pieces: it takes 1 at the least; found 0"),
        (("--lot", "Plum", "--pieces", "20001"), "pieces: it takes 20000 at the most"),
        (("--lot", "New"), "'New' is a new lot: say its pattern too"),
        (("--lot", "New", "--pattern", "gone", "--pieces", "1"), "there is no pattern 'gone'"),
        (("--lot", "Plum", "--size", "huge"), "lot 'Plum': "),
        (("--lot", "Plum", "--out"), "'Plum' is the only lot"),
        (("--tax", "120"), "tax percent: it takes 100 at the most"),
        (("--tax", "-1"), "tax percent: it takes 0 at the least"),
        (("--design-hours", "nan"), "design hours: it takes a finite number"),
        (("--due", "2027-02-30"), "--due takes a day that there is"),
        (("--lot", "Plum", "--price", "3,50"), "a number such as 30.50 and not 30,50; found"),
        (("--lot", "Plum", "--price", "1e30"), "price: it takes 9 digits at the most"),
        (("--lot", "Plum", "--price", "29.999"), "price: it takes 2 digits behind the point"),
        (("--lot", "Plum", "--price", "NaN"), "price: it takes a finite number"),
        (("--lot", "Plum", "--price", "-1"), "price: it takes 0 at the least"),
        (("--lot", "Plum", "--rename", ""), "name: "),
        (("--lot", "Plum", "--rename", "x" * 200), "name: "),
        (("--lot", "Plum", "--rename", "a\x1b[31m"), "name: "),
        (("--title", "a\x07b"), "title: "),
        (("--title", ""), "title: "),
        (("--title", "x", "--on", "2199-01-01"), "--on 2199-01-01 is yet to come"),
        (("--new",), "there is a commission of that name"),
    ],
)
def test_what_cannot_be_is_one_sentence(door: Any, words: tuple[str, ...], says: str) -> None:
    """Wrong input: status 1, one sentence, the file as it was."""
    file = door.home / "commissions" / "door.toml"
    before = file.read_bytes()
    more = ("--lot", "A", "--pattern", "silver-eaves", "--pieces", "1") if "--new" in words else ()
    said = door("commission", "door", *words, *more)
    assert (said.status, said.err.count("\n")) == (1, 1)
    assert says in said.err
    assert "\x1b" not in said.err
    assert file.read_bytes() == before
