"""`inspect` and `pack`: sample, tolerance, verdicts, trays, deliveries, each piece in one state."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Any

import pytest

from bench.commission.pieces import STATUSES
from bench.documents.library import Library
from bench.documents.settings import Settings
from bench.journal.store import Journal
from bench.making.braid import Braid
from bench.making.worked_pattern import WorkedPattern
from tests.support.curtain import CURTAIN


@pytest.fixture
def made(call: Any) -> Any:
    """A maker with four Plum pieces: three finished, one at its braiding."""
    (call.home / "commissions").mkdir(parents=True)
    (call.home / "commissions" / "curtain.toml").write_text(CURTAIN, "utf-8")
    pattern = WorkedPattern.from_library(Library(call.home), Settings(), "silver-eaves")
    with Journal.open(call.home / "journal.db", write=True) as journal:
        for number in range(1, 5):
            braid = Braid.start(
                journal, pattern, stage="finish" if number < 4 else "braid",
                commission="curtain", lot="Plum", number=number,
            )  # fmt: skip
            if number < 4:
                braid.finish("good")
    return call


def states(call: Any) -> list[str]:
    """The states of the pieces that were begun."""
    return [p["status"] for p in call("inspect", "curtain", "--json").json["pieces"]]


def test_from_the_sample_to_the_verdicts(made: Any) -> None:
    """A sample is signed off with its measures; what is off by more than the tolerance is told."""
    assert states(made) == ["made", "made", "made", "braiding"]
    said = made("inspect", "curtain", "--json").json
    assert [s["waits"] for s in said["samples"]] == [True, False, False]
    words = ("inspect", "curtain", "--piece")
    made(*words, "Plum 1", "--good", "--sample", "--length", "60", "--weight", "6.0")
    made(*words, "Plum 2", "--length", "62.5", "--weight", "6.2")
    made(*words, "Plum 3", "--spoilt", "a broken bead", "--failed", "no gaps")
    assert "no look 'dull'" in made(*words, "Plum 2", "--good", "--failed", "dull").err
    assert "say --good" in made(*words, "Plum 2", "--failed", "no gaps").err
    said = made("inspect", "curtain", "--json").json
    assert [p["status"] for p in said["pieces"]] == ["good", "made", "spoilt", "braiding"]
    assert said["pieces"][1]["off"] == ["length +2.5 mm (±1.8 allowed)"]
    plum, eaves, _ = said["samples"]
    assert (plum["piece"], plum["waits"], eaves["piece"]) == ("Plum 1", False, "Plum 1")
    (share,) = said["reasons"]
    assert (share["reason"], share["count"], share["of"]) == ("a broken bead", 1, 3)
    assert share["low"] < 1 / 3 < share["high"]
    assert [p["failed"] for p in said["pieces"]] == [[], [], ["no gaps"], []]
    (look,) = said["looks_failed"]
    assert (look["reason"], look["count"], look["of"]) == ("no gaps", 1, 2)
    assert look["low"] < 1 / 2 < look["high"]
    counts = said["lots"][0]["counts"]
    assert counts == {"planned": 5, "braiding": 1, "made": 1, "good": 1, "spoilt": 1}
    assert made("forecast", "curtain", "--json").json["lots"][0]["done"] == 2
    told = " ".join(made("inspect", "curtain").out.split())
    assert "OFF: length +2.5 mm" in told
    assert "FAILED no gaps: 1 of 2 (8 in 10: " in told
    made(*words, "Plum 3", "--undo")
    assert not made("inspect", "curtain", "--json").json["looks_failed"]


def test_spoilt_pieces_are_reckoned_with_in_the_needs(made: Any) -> None:
    """How many came out badly, with what is not sure of it, and how many to begin for that."""
    assert not any(
        "made again" in said for said in made("needs", "curtain", "--json").json["rests_on"]
    )
    made("inspect", "curtain", "--piece", "Plum 3", "--spoilt", "a broken bead")
    said = made("needs", "curtain", "--json").json["rests_on"][-1]
    assert said.startswith("pieces made again are not counted: 1 of your 3 were seconds or spoilt")
    # Of 25 good ones with one in three spoilt, 19 in 20: scipy.stats.nbinom.ppf(0.95, 25, 2 / 3).
    assert said.endswith("for 25 good ones reckon with 45")


def test_a_verdict_is_taken_back(made: Any) -> None:
    """Undone, the piece is as before; a second is no sample, and a sample that fails is none."""
    made("inspect", "curtain", "--piece", "Plum 1", "--good", "--sample")
    made("inspect", "curtain", "--piece", "Plum 1", "--second", "dull")
    said = made("inspect", "curtain", "--json").json
    assert (said["pieces"][0]["status"], said["samples"][0]["piece"]) == ("second", None)
    made("inspect", "curtain", "--piece", "Plum 1", "--undo")
    said = made("inspect", "curtain", "--json").json
    assert (said["pieces"][0]["status"], said["samples"][0]["piece"]) == ("good", "Plum 1")
    made("inspect", "curtain", "--piece", "Plum 1", "--undo")
    said = made("inspect", "curtain", "--json").json
    assert (said["pieces"][0]["status"], said["samples"][0]["piece"]) == ("made", "Plum 1")
    refused = made("inspect", "curtain", "--piece", "Plum 2", "--second", "dull", "--sample")
    assert refused.status == 1
    assert "only a good piece can be one" in refused.err


def test_what_is_said_of_a_sample_is_taken_back(made: Any) -> None:
    """Sign-off, approval and waiver, each by itself; each of what was not said is one sentence."""
    piece = ("inspect", "curtain", "--piece", "Plum 1")

    def plum() -> Any:
        return made("inspect", "curtain", "--json").json["samples"][0]

    made(*piece, "--good", "--sample", "--approved", "--on", "2024-11-02")
    assert (plum()["piece"], plum()["approved"]) == ("Plum 1", "2024-11-02")
    made(*piece, "--not-approved")
    assert (plum()["piece"], plum()["approved"]) == ("Plum 1", None)
    made(*piece, "--no-sample")
    assert (plum()["piece"], plum()["waits"]) == (None, True)
    made("inspect", "curtain", "--waive", "Plum", "--because", "made before")
    assert (plum()["waived"], plum()["waits"]) == ("made before", False)
    made("inspect", "curtain", "--wait", "Plum")
    assert (plum()["waived"], plum()["waits"]) == (None, True)
    for words, says in (
        ((*piece, "--not-approved"), "was not approved"),
        ((*piece, "--no-sample"), "is no sample"),
        (("inspect", "curtain", "--wait", "Plum"), "waits for its sample anyway"),
        (("inspect", "curtain", "--good"), "say --piece"),
        (("inspect", "curtain", "--undo"), "say --piece"),
    ):
        said = made(*words)
        assert (said.status, said.err.count("\n")) == (1, 1)
        assert says in said.err


def test_a_changed_row_needs_a_new_sample_and_a_changed_colour_a_look(made: Any) -> None:
    """What the pattern's change was is told; the first piece of the new one can be begun."""
    made("inspect", "curtain", "--piece", "Plum 1", "--good", "--sample")
    shipped = Library(made.home).pattern_path("silver-eaves").read_text("utf-8")
    own = made.home / "patterns" / "silver-eaves.toml"
    own.parent.mkdir()

    def plum() -> Any:
        return made("inspect", "curtain", "--json").json["samples"][0]

    own.write_text(shipped.replace("# ", "# as it was: ", 1), "utf-8")
    assert (plum()["piece"], plum()["changed"]) == ("Plum 1", None)
    colour = next(line for line in shipped.splitlines() if line.startswith("colour = "))
    own.write_text(shipped.replace(colour, 'colour = "#aa0000"', 1), "utf-8")
    said = plum()
    assert (said["piece"], said["anew"], said["waits"]) == ("Plum 1", False, False)
    assert said["changed"].startswith("bead ")
    load = next(line for line in shipped.splitlines() if line.startswith("all = "))
    own.write_text(shipped.replace(load, load.replace('"3a', '"4a'), 1), "utf-8")
    said = plum()
    assert (said["piece"], said["anew"], said["waits"]) == (None, True, False)
    assert "row more" in said["changed"]
    assert "a new sample is needed" in made("inspect", "curtain").out
    evening = made("tonight", "curtain", "--json").json
    assert (evening["turns"][0]["lot"], evening["turns"][0]["sample"]) == ("Plum", True)
    assert next(s["piece"] for s in evening["steps"] if s["stage"] == "load") == "Plum 5"
    pattern = WorkedPattern.from_library(Library(made.home), Settings(), "silver-eaves")
    with Journal.open(made.home / "journal.db", write=True) as journal:
        Braid.start(
            journal, pattern, stage="finish", commission="curtain", lot="Plum", number=5
        ).finish("good")  # fmt: skip
    assert plum()["waits"]
    turns = made("tonight", "curtain", "--json").json["turns"]
    assert [turn["lot"] for turn in turns if turn["sample"]] == ["Rope"]
    made("inspect", "curtain", "--piece", "Plum 5", "--good", "--sample")
    assert (plum()["piece"], plum()["anew"], plum()["waits"]) == ("Plum 5", False, False)


def test_packed_handed_over_given_back(made: Any) -> None:
    """Trays with counts, a delivery on a day, one back for repair, mended; spares are told."""
    made("pack", "curtain", "Plum 1", "Plum 2", "--tray", "A")
    said = made("pack", "curtain", "--json").json
    assert said["trays"] == [{"tray": "A", "pieces": 2, "lots": {"Plum": 2}}]
    made("pack", "curtain", "--deliver", "--on", "2024-11-01")
    assert states(made) == ["delivered", "delivered", "made", "braiding"]
    made("pack", "curtain", "Plum 2", "--back", "an end is loose")
    assert states(made)[1] == "returned"
    made("pack", "curtain", "Plum 2", "--mended")
    assert states(made)[1] == "packed"
    made("pack", "curtain", "Plum 1", "--not-delivered")
    assert states(made)[0] == "packed"
    made("commission", "curtain", "--lot", "Plum", "--pieces", "2", "--made-more", "stock")
    said = made("pack", "curtain", "--json").json
    assert (said["lots"][0]["promised"], said["lots"][0]["spare"]) == (2, 1)
    assert sum(said["lots"][0]["counts"].values()) == 4
    assert set(said["lots"][0]["counts"]) <= set(STATUSES)
    assert "1 spare" in made("pack", "curtain").out


def test_sheets_of_inspection_packing_and_account(made: Any, tmp_path: Path) -> None:
    """A list to tick; what was handed over on which day; the account without advice for makers."""
    made("pack", "curtain", "Plum 1", "Plum 2", "--tray", "A")
    made("pack", "curtain", "Plum 1", "--deliver", "--on", "2024-11-10", "--html", "p.html")
    packed = (tmp_path / "p.html").read_text("utf-8")
    assert "Handed over on 10 November 2024" in packed
    assert "no. 1<" in packed
    made("pack", "curtain", "Plum 1", "--back", "a loose end", "--html", "p.html")
    assert "no. 1 (back for repair)<" in (tmp_path / "p.html").read_text("utf-8")
    made("pack", "curtain", "Plum 1", "--mended")
    made("pack", "curtain", "Plum 1", "--deliver")
    assert "out of the reach of children" in packed
    said = made("inspect", "curtain", "--html", "i.html", "--json").json
    ticks = (tmp_path / "i.html").read_text("utf-8").count('class="tick"')
    assert (said["file"], ticks) == ("i.html", 2 * len(said["looks"]))
    made("account", "curtain", "--deposit", "50.00", "--html", "a.html")
    page = (tmp_path / "a.html").read_text("utf-8")
    assert "-50.00" in page
    assert "tax office" not in page


def test_pieces_of_another_pattern_fill_no_lot(made: Any) -> None:
    """Those of another bench's order that is called alike are not taken for this one's."""
    pattern = WorkedPattern.from_library(Library(made.home), Settings(), "cistern")
    with Journal.open(made.home / "journal.db", write=True) as journal:
        braid = Braid.start(
            journal, pattern, stage="finish", commission="curtain", lot="Plum", number=5
        )
        braid.finish("good")
    assert len(states(made)) == 4
    assert made("commission", "curtain", "--json").json["lots"][0]["good"] == 3
    assert made("forecast", "curtain", "--json").json["lots"][0]["done"] == 3
    assert made("commission", "curtain", "--lot", "Plum", "--pattern", "cistern").status == 1
    assert made("commission", "curtain", "--json").json["lots"][0]["good"] == 3


def test_a_second_counts_for_no_promise(made: Any) -> None:
    """In a tray or handed over before it was looked at, it is a second, and one more is to make."""
    made("pack", "curtain", "Plum 1", "Plum 2", "--tray", "A")
    made("pack", "curtain", "Plum 2", "--deliver", "--on", "2024-01-05")
    for piece in ("Plum 1", "Plum 2"):
        made("inspect", "curtain", "--piece", piece, "--second", "bloom")
    assert states(made) == ["second", "second", "made", "braiding"]
    refused = made("pack", "curtain", "Plum 1", "--deliver")
    assert (refused.status, "is second; it cannot be delivered" in refused.err) == (1, True)
    counts = made("pack", "curtain", "--json").json["lots"][0]["counts"]
    assert (counts["second"], counts["planned"]) == (2, 6)
    assert made("forecast", "curtain", "--json").json["lots"][0]["done"] == 1


def test_a_lot_need_not_wait_for_a_reason(made: Any) -> None:
    """Waived with a reason the lot does not wait; without one that is refused."""
    assert made("inspect", "curtain", "--waive", "Plum").status == 1
    made("inspect", "curtain", "--waive", "Plum", "--because", "as last year")
    sample = made("inspect", "curtain", "--json").json["samples"][0]
    assert (sample["waived"], sample["waits"]) == ("as last year", False)


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("inspect", "curtain", "--piece", "Plum 9", "--good"), "there is no piece 'Plum 9'"),
        (
            ("inspect", "curtain", "--piece", "Plum", "--good"),
            "is 4 pieces; say which one: Plum 1 (",
        ),
        (("inspect", "curtain", "--piece", "Plum 4", "--good"), "still in the making"),
        (("inspect", "curtain", "--piece", "Plum 1", "--undo"), "nothing to take back"),
        (("pack", "curtain", "Plum 4", "--tray", "A"), "Plum 4 is braiding; it cannot be packed"),
        (("pack", "curtain", "Plum 1", "--back", "x"), "Plum 1 is made; it cannot be returned"),
        (("pack", "curtain", "--tray", "A"), "say which pieces"),
    ],
)
def test_what_cannot_be_is_one_sentence(made: Any, words: tuple[str, ...], says: str) -> None:
    """Status 1, one sentence, nothing written."""
    before = states(made)
    said = made(*words)
    assert (said.status, said.err.count("\n")) == (1, 1)
    assert says in said.err
    assert states(made) == before


def test_tonight_goes_by_what_is_promised(made: Any) -> None:
    """A lot due earlier comes first and says why; a day that cannot hold has its choices."""
    made("commission", "curtain", "--lot", "Rope", "--lot-due", "2199-01-01")
    for lot in ("Plum", "Eaves"):
        made("inspect", "curtain", "--waive", lot, "--because", "as last year")
    said = made("tonight", "curtain", "--hours", "3", "--json").json
    assert [turn["lot"] for turn in said["turns"]] == ["Rope", "Plum", "Eaves"]
    assert said["turns"][0]["why"] == "before Plum, Eaves: a sample comes first"
    assert said["steps"]
    end = max(step["end_min"] for step in said["steps"])
    assert ("left over" in made("tonight", "curtain", "--hours", "3").out) == (180 - end >= 10)
    assert {step["piece"].split(" ")[0] for step in said["steps"]} <= {"Rope", "Plum", "Eaves"}
    assert [day["short_h"] for day in said["promised"]] == [0, 0]
    soon = (dt.date.today() + dt.timedelta(days=3)).isoformat()
    made("commission", "curtain", "--due", soon)
    out = made("tonight", "curtain", "--hours", "3").out
    assert "cannot hold" in out
    assert "hours a week in place of" in out
    assert max(map(len, out.splitlines())) <= 80
    assert made("tonight", "curtain", "--hours", "0").status == 1


def test_notes_and_photographs(made: Any) -> None:
    """Of the whole, a lot, a piece; with a photograph's name; the last one is taken back."""
    made("notes", "curtain", "--say", "blue door, ring twice")
    made("notes", "curtain", "--lot", "Plum", "--say", "darker ones to the left")
    made("notes", "curtain", "--piece", "Plum 2", "--photo", "/home/me/pictures/plum-2.jpg")
    said = made("notes", "curtain", "--json").json["notes"]
    assert [(n["about"], n["text"], n["photo"]) for n in said] == [
        ("", "blue door, ring twice", ""),
        ("Plum", "darker ones to the left", ""),
        ("Plum 2", "", "plum-2.jpg"),
    ]
    made("commission", "curtain", "--lot", "Plum", "--rename", "Damson")
    assert "Damson 2: (photograph plum-2.jpg)" in made("notes", "curtain").out
    made("notes", "curtain", "--undo")
    assert len(made("notes", "curtain", "--json").json["notes"]) == 2
    for words, says in (
        (("--lot", "Plum"), "say the note too"),
        (("--lot", "Pear", "--say", "x"), "there is no lot 'Pear'"),
        (("--piece", "Damson", "--say", "x"), "is 4 pieces"),
        (("--say", "  "), "a note says something"),
    ):
        refused = made("notes", "curtain", *words)
        assert (refused.status, says in refused.err) == (1, True), refused.err


def test_tags_say_everything(made: Any, tmp_path: Any) -> None:
    """One for each piece of a lot, in the size that is asked for, with lines to cut along."""
    said = made("tags", "curtain", "--lot", "Plum", "--tag", "50x20", "--html", "t.html", "--json")
    tags = said.json["tags"]
    assert [tag["number"] for tag in tags] == list(range(1, 9))
    assert [tag["status"] for tag in tags][:5] == ["made", "made", "made", "braiding", "planned"]
    page = (tmp_path / "t.html").read_text("utf-8")
    assert page.count('class="tag"') == 8
    assert "width: 50mm; height: 20mm" in page
    assert "Plum 8 of 8" in page
    assert made("tags", "curtain").out.count("Silver Eaves") == 24
    made("inspect", "curtain", "--piece", "Plum 2", "--spoilt", "a broken bead")
    tags = made("tags", "curtain", "--lot", "Plum", "--json").json["tags"]
    assert [tag["number"] for tag in tags] == [1, 3, 4, 5, 6, 7, 8, 9]
    assert {tag["of"] for tag in tags} == {None}
    made("commission", "curtain", "--lot", "Plum", "--rename", "a long name of a lot " * 2 + "!")
    out = made("tags", "curtain").out
    assert all(f"… {number} " in out for number in (1, 3, 9))
    assert made("tags", "curtain", "--tag", "5x5").status == 1
    assert made("tags", "curtain", "--lot", "Moss").status == 1


def test_pieces_of_stock_and_made_away_are_put_into_a_lot(made: Any) -> None:
    """A piece that was only typed in counts for its lot; one of stock counts where it goes."""
    said = made("record", "silver-eaves", "--minutes", "70", "--json").json
    made("pack", "curtain", said["piece"], "--into", "Eaves")
    eaves = made("forecast", "curtain", "--json").json["lots"][1]
    assert (eaves["done"], eaves["to_make"]) == (1, 15)
    made("commission", "curtain", "--lot", "Plum", "--pieces", "2", "--made-more", "stock")
    assert made("forecast", "curtain", "--json").json["lots"][0]["to_make"] == 0
    third = made("inspect", "curtain", "--json").json["pieces"][2]["piece"]
    made("pack", "curtain", third, "--into", "Eaves")
    lots = made("forecast", "curtain", "--json").json["lots"]
    assert [lot["to_make"] for lot in lots[:2]] == [0, 14]
    made("commission", "curtain", "--lot", "Plum", "--pieces", "3")
    assert made("forecast", "curtain", "--json").json["lots"][0]["to_make"] == 0
    wrong = made("pack", "curtain", third, "--into", "Rope")
    assert (wrong.status, wrong.err.count("\n")) == (1, 1)
