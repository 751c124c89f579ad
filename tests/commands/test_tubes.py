"""`tubes`: bought, taken in, counted, given away, drawn by loadings; and what needs make of it."""

from __future__ import annotations

from typing import Any

import pytest

from bench.commission.loading_tubes import LoadingTubes, Taking
from bench.commission.tube_book import read_tubes, seen_by
from bench.craft.text import Fault
from bench.documents.library import Library
from bench.documents.settings import Settings
from bench.journal.payloads import Loaded
from bench.journal.store import Journal
from bench.journal.tube_payloads import TubeCounted, TubeTaken
from bench.making.braid import Braid
from bench.making.worked_pattern import WorkedPattern

STOCK = """format = 1
[[beads]]
size = "6/0"
name = "clear drop"
lot = "27"
tubes = 2
tube_g = 20
grams = 4
per_10_g = 150
[[threads]]
name = "gel-spun 0.13 mm"
spools = 1
metres = 12
"""


@pytest.fixture
def shelf(call: Any) -> Any:
    """A maker whose stock file was taken in once."""
    call.home.mkdir()
    (call.home / "stock.toml").write_text(STOCK, "utf-8")
    assert call("tubes", "--take-in").status == 0
    return call


def tubes_of(call: Any) -> list[dict[str, Any]]:
    """The tubes as they stand."""
    found: list[dict[str, Any]] = call("tubes", "--json").json["tubes"]
    return found


def load(call: Any, tube: str, beads: int, lot: str | None = None) -> str:
    """Load a piece's first strand from a tube; return the piece."""
    made = WorkedPattern.from_library(Library(call.home), Settings(), "silver-eaves")
    with Journal.open(call.home / "journal.db", write=True) as journal:
        commission = None if lot is None else "stair-window"
        braid = Braid.start(journal, made, stage="load", commission=commission, lot=lot)
        journal.append(Loaded(1, beads, tube), pieces=braid.piece, lot=lot)
        return braid.piece


def test_a_file_is_taken_in_once(shelf: Any) -> None:
    """Whole tubes, what is begun and spools become tubes; taken in again, nothing is new."""
    found = [(t["held"], t["unit"], t["opened"]) for t in tubes_of(shelf)]
    assert sorted(found) == [(12, "m", True), (50, "m", False), (60, "beads", True),
                             (300, "beads", False), (300, "beads", False)]  # fmt: skip
    said = shelf("tubes", "--take-in", "--json").json
    assert (said["done"], len(said["tubes"])) == (["the file says nothing new"], 5)


def test_a_changed_file_is_offered_and_never_applied_unasked(shelf: Any) -> None:
    """Fewer tubes in the file are told with their tubes; --accept keeps them as counts, once."""
    (shelf.home / "stock.toml").write_text(STOCK.replace("grams = 4", "grams = 2"), "utf-8")
    said = shelf("tubes", "--take-in", "--json").json
    (offer,) = said["offered"]
    assert "the file says 30 beads, the book 60; as a count?" in offer
    assert [t["held"] for t in said["tubes"] if t["opened"] and t["unit"] == "beads"] == [60]
    said = shelf("tubes", "--take-in", "--accept", "--json").json
    assert [t["held"] for t in said["tubes"] if t["opened"] and t["unit"] == "beads"] == [30]
    assert shelf("tubes", "--take-in", "--json").json["offered"] == []


def test_what_a_file_offers_is_refused_until_it_changes(shelf: Any) -> None:
    """Line by line: one tube is counted, one refused; neither is offered again, whatever comes."""
    file = shelf.home / "stock.toml"
    less = STOCK.replace("grams = 4", "grams = 2").replace("metres = 12", "metres = 9")
    file.write_text(less, "utf-8")
    ids = {t["unit"]: t["tube"][:8] for t in tubes_of(shelf) if t["opened"]}
    take = ("tubes", "--take-in", "--json")
    assert len(shelf(*take).json["offered"]) == 2
    said = shelf(*take, "--accept", ids["beads"], "--refuse", ids["m"]).json
    assert said["done"] == [
        "1 count kept as the file says", "1 count refused, until the file changes",
    ]  # fmt: skip
    held = {t["tube"][:8]: t["held"] for t in said["tubes"]}
    assert (held[ids["beads"]], held[ids["m"]]) == (30, 12)
    shelf("tubes", "--count", ids["beads"], "--beads", "25")
    shelf("tubes", "--count", ids["m"], "--metres", "11")
    assert shelf(*take).json["offered"] == [], "the file is as it was"
    assert shelf("tubes", "--take-in", "--refuse").status == 1
    file.write_text(less.replace("metres = 9", "metres = 8"), "utf-8")
    (offer,) = shelf(*take).json["offered"]
    assert "the file says 8 m, the book 11" in offer
    shelf("tubes", "--take-in", "--refuse")
    shelf("tubes", "--undo", ids["m"])
    assert len(shelf(*take).json["offered"]) == 1, "the refusal was taken back"
    (shelf.home / "other.toml").write_text(STOCK.replace('"27"', '"28"'), "utf-8")
    other = shelf("tubes", "--take-in", str(shelf.home / "other.toml"), "--json").json
    assert [line for line in other["offered"] if "says 0" in line] == []
    file.unlink()
    said = shelf("tubes", "--accept")
    assert (said.status, "there is no stock.toml" in said.err) == (1, True)


def test_loading_draws_and_a_count_by_weight_has_its_error(shelf: Any) -> None:
    """A loading takes from its tube; weighed gross less tare it is counted, give or take 1 or 2."""
    tube = next(t["tube"] for t in tubes_of(shelf) if t["held"] == 300)
    load(shelf, tube, 24)
    assert {t["tube"]: t["held"] for t in tubes_of(shelf)}[tube] == 276
    said = shelf("tubes", "--count", tube[:8], "--gross", "26.5", "--tare", "8.2", "--json").json
    (line,) = [t for t in said["tubes"] if t["tube"] == tube]
    assert line["held"] == round(18.3 * 15)
    assert line["error"] == pytest.approx(1.5)
    load(shelf, tube, 300)
    said = shelf("tubes", "--json").json
    assert "short by" in said["warnings"][0]
    assert "count anew" in said["warnings"][0]


def test_needs_go_by_the_tubes_and_tell_the_dye_lots(shelf: Any) -> None:
    """A tube bought, one empty: what is at hand follows, and which lot takes which dye lot."""
    before = shelf("needs", "stair-window", "--json").json
    held = {b["name"]: b["have_g"] for b in before["beads"]}["clear drop"]
    assert held == pytest.approx(44)
    shelf("tubes", "--buy", "clear drop", "--size", "6/0", "--grams", "30", "--dye-lot", "31",
          "--price", "4.50", "--place", "left drawer")  # fmt: skip
    empty = next(t["tube"] for t in tubes_of(shelf) if t["held"] == 300)
    shelf("tubes", "--empty", empty)
    after = shelf("needs", "stair-window", "--json").json
    assert {b["name"]: b["have_g"] for b in after["beads"]}["clear drop"] == pytest.approx(54, 0.05)
    assert {d["dye_lot"] for d in after["dye_lots"]} <= {"27", "31", None}
    assert "left drawer" in shelf("tubes").out
    assert max(map(len, shelf("tubes").out.splitlines())) <= 80


def test_thread_of_two_dye_lots_is_given_out_by_lots(shelf: Any) -> None:
    """Spools of two dye lots: each lot of pieces takes one of them, or is told to mix."""
    for lot, metres in (("4", "200"), ("5", "30")):
        shelf("tubes", "--buy", "gel-spun 0.13 mm", "--metres", metres, "--dye-lot", lot)
    said = shelf("needs", "stair-window", "--json").json
    given = {line["lot"]: line["dye_lot"] for line in said["dye_lots"] if not line["size"]}
    assert len(given) == 5
    assert set(given.values()) <= {"", "4", "5", None}
    assert list(given.values()).count("4") >= 2
    assert "gel-spun 0.13 mm" in shelf("needs", "stair-window").out


def test_end_beads_and_wire_are_kept_too(shelf: Any) -> None:
    """Bought they are short no more; taken in from a file they count once."""
    short = shelf("needs", "stair-window", "--json").json["short"]
    (bead,) = (line.split(":")[0] for line in short if line.startswith("end bead"))
    shelf("tubes", "--buy", bead, "--pieces", "100", "--price", "5")
    shelf("tubes", "--buy", "core wire", "--wire", "--metres", "20")
    after = shelf("needs", "stair-window", "--json").json
    assert not any(line.startswith(("end bead", "core wire")) for line in after["short"])
    kept = {t["what"]: (t["held"], t["unit"]) for t in tubes_of(shelf)}
    assert (kept["notion"], kept["wire"]) == ((100, "pieces"), (20, "m"))
    shelf("tubes", "--count", bead, "--pieces", "7")
    more = '[[notions]]\nname = "end cap"\ncount = 12\n[[wires]]\nmetres = 3\ndiameter_mm = 0.4\n'
    (shelf.home / "stock.toml").write_text(STOCK + more, "utf-8")
    assert shelf("tubes", "--take-in", "--json").json["done"] == ["2 tubes taken in"]
    kept = {t["name"]: (t["held"], t["unit"]) for t in tubes_of(shelf)}
    assert (kept[bead], kept["end cap"], kept["core wire 0.4 mm"]) == (
        (7, "pieces"), (12, "pieces"), (3, "m"),
    )  # fmt: skip
    assert max(map(len, shelf("tubes").out.splitlines())) <= 80
    assert "say how much: --pieces" in shelf("tubes", "--count", "end cap").err


def test_a_piece_loaded_without_the_program_draws_what_it_took(shelf: Any) -> None:
    """It is told until it is drawn, once; its loads, its thread and its end bead."""
    made = WorkedPattern.from_library(Library(shelf.home), Settings(), "silver-eaves")
    with Journal.open(shelf.home / "journal.db", write=True) as journal:
        braid = Braid.start(journal, made, stage="braid")
        braid.cross()
        piece = braid.piece
    with Journal.open(shelf.home / "journal.db", write=True) as journal:
        for tube in read_tubes(journal):
            journal.append(TubeCounted(40, 0, "counted", seen_by(journal)), pieces=tube)
        Braid(journal, piece).cross()
    assert shelf("tubes", "--json").json["warnings"] == [], "counted since, they have it off"
    with Journal.open(shelf.home / "journal.db", write=True) as journal:
        braid = Braid.start(journal, made, stage="braid")
        braid.cross()
        piece = braid.piece
    (warning,) = shelf("tubes", "--json").json["warnings"]
    assert f"not drawn from any tube: {piece[:8]}" in warning
    before = sum(t["held"] for t in tubes_of(shelf) if t["unit"] == "beads")
    said = shelf("tubes", "--draw", piece[:8], "--json").json
    assert said["warnings"] == []
    after = sum(t["held"] for t in said["tubes"] if t["unit"] == "beads")
    strung = sum(load.count("d") for load in made.plan.loads)
    assert before - after == strung > 0
    assert sum(t["held"] for t in said["tubes"] if t["unit"] == "m") < 80
    refused = shelf("tubes", "--draw", piece[:8])
    assert (refused.status, "there is no such piece" in refused.err) == (1, True)


def test_an_asked_price_counts_without_anything_bought(call: Any) -> None:
    """Materials are priced by it; nothing of it is in stock, and it can be taken back."""
    call.home.mkdir()
    (call.home / "settings.toml").write_text("format = 1\n[work]\nhourly_rate = 20\n", "utf-8")

    def cost() -> str | None:
        found: str | None = call("closing", "stair-window", "--json").json["planned"]
        return found

    before = (cost(), call("needs", "stair-window", "--json").json["buy"])
    assert before[0] is None
    call("tubes", "--ask", "clear drop", "--size", "6/0", "--grams", "20", "--price", "4.00")
    call("tubes", "--ask", "end cap", "--pieces", "1", "--price", "0.30")
    (drop, _) = tubes_of(call)
    assert (drop["asked"], drop["held"], drop["price"]) == (True, 0, "4.00")
    assert float(cost() or 0) > 0
    bought = {
        one["what"]: one["price"] for one in call("needs", "stair-window", "--json").json["buy"]
    }
    assert bought["6/0 clear drop"] is not None
    assert "only its price was asked" in call("tubes", "--empty", "clear drop").err
    assert "takes a --price" in call("tubes", "--ask", "x", "--pieces", "3").err
    assert max(map(len, call("tubes").out.splitlines())) <= 80
    for name in ("clear drop", "end cap"):
        assert call("tubes", "--undo", name).status == 0
    assert (cost(), call("needs", "stair-window", "--json").json["buy"]) == before


@pytest.mark.parametrize("content", [("--grams", "20"), ("--beads", "300")], ids=["grams", "beads"])
def test_opening_or_counting_a_tube_changes_no_price(call: Any, content: tuple[str, str]) -> None:
    """What materials cost goes by what was bought for the price, whatever is left of it."""
    call.home.mkdir()
    (call.home / "settings.toml").write_text("format = 1\n[work]\nhourly_rate = 20\n", "utf-8")
    call("tubes", "--buy", "clear drop", "--size", "6/0", *content, "--price", "4.00")
    call("tubes", "--buy", "gel-spun 0.13 mm", "--metres", "200", "--price", "12.00")
    costs = []
    for words in (
        (), ("--open", "clear drop"), ("--open", "gel-spun 0.13 mm"),
        ("--count", "clear drop", "--beads", "299"), ("--count", "clear drop", "--beads", "100"),
        ("--empty", "clear drop"), ("--count", "gel-spun 0.13 mm", "--metres", "3"),
    ):  # fmt: skip
        assert call("tubes", *words).status == 0
        costs.append(call("closing", "stair-window", "--json").json["planned"])
    assert float(costs[0]) > 0
    assert len(set(costs)) == 1, costs


def test_a_piece_made_away_draws_too(shelf: Any) -> None:
    """One that was only typed in, and is of an order, is told until it is drawn."""
    piece = shelf("record", "silver-eaves", "--minutes", "70", "--json").json["piece"]
    assert shelf("tubes", "--json").json["warnings"] == []
    (shelf.home / "commissions").mkdir()
    order = '[[lots]]\nname = "Eaves"\npattern = "silver-eaves"\npieces = 2\n'
    text = f'format = 1\ntitle = "One"\n{order}'
    (shelf.home / "commissions" / "one.toml").write_text(text, "utf-8")
    assert shelf("pack", "one", piece, "--into", "Eaves").status == 0
    (warning,) = shelf("tubes", "--json").json["warnings"]
    assert piece[:8] in warning
    assert shelf("tubes", "--draw", piece[:8], "--json").json["warnings"] == []


def test_a_tube_that_is_empty_while_loading(shelf: Any) -> None:
    """One word: it is empty; the next of its dye lot follows, and then what another one means."""
    shelf("tubes", "--buy", "clear drop", "--size", "6/0", "--grams", "30", "--dye-lot", "31")
    piece = load(shelf, next(t["tube"] for t in tubes_of(shelf) if t["held"] == 60), 24, "Eaves")
    with Journal.open(shelf.home / "journal.db", write=True) as journal:
        pattern = Library(shelf.home).plan(Library(shelf.home).pattern_path("silver-eaves")).pattern
        tubes = LoadingTubes(journal, journal.state(piece), pattern)
        first = tubes.of("d")
        assert first is not None
        assert "about 36 beads left" in tubes.says("d", 6, 6)
        assert tubes.take("d", 6) == (Taking(first.id, 6),)
        assert "about 30 beads left" in tubes.says("d", 6, 6)
        assert "about 30 beads left by count" in tubes.asks("d"), "it is asked for first"
        assert "this set still wants 9999" in tubes.says("d", 6, 9999)
        assert "of the same dye lot" in tubes.empty("d")
        assert "is not empty, after all" in tubes.not_empty()
        assert "about 36 beads left" in tubes.says("d", 6, 6)
        assert tubes.not_empty() == ""
        assert "of the same dye lot" in tubes.empty("d")
        tubes.empty("d")
        last = tubes.empty("d")
        assert "Next: 6/0 clear drop, dye lot 31, another dye lot: mix them" in last
        assert "no other tube of this bead" in tubes.empty("d")
        assert tubes.take("d", 1) == (Taking(None, 1),)
        assert tubes.says("a", 1, 1) == ""
        with pytest.raises(Fault, match="No tube of this bead"):
            tubes.empty("a")


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--open", "nothing"), "there is no tube 'nothing'"),
        (("--open", "gel-spun 0.13 mm"), "is more than one tube"),
        (("--count", "6/0 clear drop, dye lot 27", "--beads", "3"), "is more than one tube"),
        (("--buy", "clear drop"), "beads are bought with --size"),
        (("--buy", "cap", "--wire", "--pieces", "5"), "wire is bought with --metres"),
        (("--buy", "x", "--pieces", "5", "--accept"), "say the other thing by itself"),
        (("--buy", "x", "--size", "77/0", "--grams", "5"), "--beads"),
        (("--buy", "x", "--size", "8/0", "--beads", "5", "--tubes", "0"), "from 1 to 200"),
        (("--buy", "x", "--size", "8/0", "--beads", "-5"), "--beads takes a number"),
        (("--buy", "x", "--size", "8/0", "--beads", "5", "--price", "dear"), "dear"),
        (("--take-in", "nowhere.toml"), "there is no such file"),
    ],
)
def test_what_cannot_be_is_one_sentence(shelf: Any, words: tuple[str, ...], says: str) -> None:
    """Status 1, one sentence, nothing written."""
    before = tubes_of(shelf)
    said = shelf("tubes", *words)
    assert (said.status, said.err.count("\n")) == (1, 1)
    assert says in said.err
    assert tubes_of(shelf) == before


LONG = "seed bead, transparent, gold lustre, lined with rose, of the fair"
WRONG: list[dict[str, Any]] = [
    {"name": LONG}, {"name": ""}, {"colour": "red"}, {"colour": ""}, {"price": "99999999"},
    {"size": "weird"}, {"shape": "weird"}, {"held": 0.0}, {"held": 9e8},
    {"dye_lot": "7" * 500}, {"what": "thread", "name": LONG},
]  # fmt: skip


@pytest.mark.parametrize("wrong", WRONG)
def test_a_tube_that_no_stock_can_have_harms_no_page(shelf: Any, wrong: dict[str, Any]) -> None:
    """It is refused in one sentence; come from another bench, it is told and left out."""
    usual = {"what": "beads", "name": "clear drop", "held": 300.0, "size": "6/0",
             "shape": "round", "colour": None, "price": None, "dye_lot": ""}  # fmt: skip
    values: dict[str, Any] = {**usual, **wrong}
    is_thread = values["what"] == "thread"
    words = ["--buy", values["name"], "--metres" if is_thread else "--beads", str(values["held"])]
    for key in () if is_thread else ("size", "shape", "colour", "price", "dye_lot"):
        if values[key] is not None:
            words += [f"--{key.replace('_', '-')}", values[key]]
    before = tubes_of(shelf)
    said = shelf("tubes", *words)
    assert (said.status, said.err.count("\n")) == (1, 1)
    assert tubes_of(shelf) == before
    with Journal.open(shelf.home / "journal.db", write=True) as journal:
        foreign = TubeTaken(day="2027-03-01", source="bought", **values)
        journal.append(foreign, pieces="f831f6")
    found = next(t for t in tubes_of(shelf) if t["tube"] == "f831f6")
    needs = shelf("needs", "stair-window", "--json")
    assert needs.status == 0
    if values["held"]:
        assert found["tells"]
        assert any("f831f6 is left out" in line for line in needs.json["warnings"])
    assert shelf("tubes", "--undo", "f831f6").status == 0
    assert tubes_of(shelf) == before


def test_what_is_said_of_a_tube_is_taken_back_one_by_one(shelf: Any) -> None:
    """Given away, empty, counted, opened, bought: each by --undo, the last one first."""
    shelf("tubes", "--buy", "moon", "--size", "8/0", "--beads", "100")

    def moon() -> list[tuple[float, bool]]:
        return [(t["held"], t["opened"]) for t in tubes_of(shelf) if t["name"] == "moon"]

    seen = [moon()]
    for word in ("--open", "--count", "--give-away", "--empty"):
        beads = ("--beads", "40") if word in ("--count", "--give-away") else ()
        assert shelf("tubes", word, "moon", *beads).status == 0
        seen.append(moon())
    assert seen == [[(100, False)], [(100, True)], [(40, True)], [(0, True)], [(0, True)]]
    for before in (*seen[-2::-1], []):
        done = shelf("tubes", "--undo", "moon", "--json").json["done"]
        assert "taken back" in done[0]
        assert moon() == before
    tube = next(t["tube"] for t in tubes_of(shelf) if t["held"] == 300)
    load(shelf, tube, 24)
    refused = shelf("tubes", "--undo", tube[:8])
    assert (refused.status, "pieces are loaded from it" in refused.err) == (1, True)
    for words in (("--count", ""), ("--open", "")):
        assert shelf("tubes", *words).status == 1


def test_a_dye_lot_is_put_in_afterwards(shelf: Any) -> None:
    """With number and price; another wins over it, and it is taken back like all else."""
    shelf("tubes", "--buy", "moon", "--size", "8/0", "--beads", "100")

    def moon() -> tuple[str, str, str | None, str]:
        (tube,) = (t for t in tubes_of(shelf) if t["name"] == "moon")
        return tube["dye_lot"], tube["number"], tube["price"], tube["shop"]

    shelf("tubes", "--label", "moon", "--dye-lot", "P7", "--price", "3.5", "--number", "D1")
    shelf("tubes", "--label", "moon", "--dye-lot", "P8", "--number", "")
    assert moon() == ("P8", "", "3.50", "")
    shelf("tubes", "--undo", "moon")
    assert moon() == ("P7", "D1", "3.50", "")
    for words, says in (((), "say what stands on it"), (("--dye-lot", "7" * 500), "at most")):
        refused = shelf("tubes", "--label", "moon", *words)
        assert (refused.status, says in refused.err) == (1, True)


def test_no_more_is_opened_than_was_bought(shelf: Any) -> None:
    """A tube that is open already is not opened again; two of one name are told apart by ids."""
    shelf("tubes", "--buy", "moon", "--size", "8/0", "--beads", "100", "--tubes", "2")
    refused = shelf("tubes", "--open", "8/0 moon")
    assert (refused.status, "is more than one tube" in refused.err) == (1, True)
    ids = [t["tube"][:6] for t in tubes_of(shelf) if t["name"] == "moon"]
    for tube in ids:
        assert shelf("tubes", "--open", tube).status == 0
    for tube in ids:
        refused = shelf("tubes", "--open", tube)
        assert (refused.status, refused.err.count("\n")) == (1, 1)
        assert "is open already" in refused.err


def test_the_recipe_of_a_sample_and_what_is_different_by_now(shelf: Any, tmp_path: Any) -> None:
    """Dye lot and maker's number come from the tubes loaded from; a changed pattern is told."""
    shelf("tubes", "--buy", "clear drop", "--size", "6/0", "--grams", "2", "--dye-lot", "31",
          "--number", "D-131")  # fmt: skip
    tube = next(t["tube"] for t in tubes_of(shelf) if t["dye_lot"] == "31")
    piece = load(shelf, tube, 24, "Eaves, grey")
    refused = shelf("recipe", "stair-window", "Eaves, grey")
    assert (refused.status, "no piece of 'Eaves, grey' is made yet" in refused.err) == (1, True)
    with Journal.open(shelf.home / "journal.db", write=True) as journal:
        Braid(journal, piece).finish("good")
    shelf("inspect", "stair-window", "--piece", piece[:8], "--good", "--sample", "--length", "61")
    said = shelf("recipe", "stair-window", "Eaves, grey", "--html", "r.html", "--json").json
    drop = next(bead for bead in said["beads"] if bead["name"] == "clear drop")
    assert (drop["dye_lots"], drop["numbers"], drop["count"]) == (["31"], ["D-131"], 24)
    assert said["length_mm"] == 61
    assert said["differs"][0] == (
        "6/0 clear drop: of dye lot 31 6 are left; of dye lot 27, another one, 660 are left;"
        " 24 are needed"
    )
    assert any("not enough in stock: 15/0 rain grey" in line for line in said["differs"])
    assert "no. D-131" in (tmp_path / "r.html").read_text("utf-8")
    own = shelf.home / "patterns" / "silver-eaves.toml"
    own.parent.mkdir()
    text = Library(shelf.home).pattern_path("silver-eaves").read_text("utf-8")
    own.write_text(text.replace("plain_end = 4", "plain_end = 8"), "utf-8")
    out = shelf("recipe", "stair-window", "Eaves, grey").out
    assert "another version by now: plain end" in " ".join(out.split())
    assert max(map(len, out.splitlines())) <= 80


def test_again_a_year_later(shelf: Any) -> None:
    """A recipe begins an order without a day, made like the sample, and tells what it lacks."""
    tube = tubes_of(shelf)[0]["tube"]
    piece = load(shelf, tube, 24, "Eaves, grey")
    with Journal.open(shelf.home / "journal.db", write=True) as journal:
        Braid(journal, piece).finish("good")
    words = ("recipe", "stair-window", "Eaves, grey", "--again", "next-window", "--pieces", "40")
    said = shelf(*words, "--json").json
    assert (said["begun"], said["pieces"]) == ("next-window", 40)
    assert any("dye lot 27" in line and "960 are needed" in line for line in said["differs"])
    new = shelf("commission", "next-window", "--json").json
    (lot,) = new["lots"]
    assert (lot["pattern"], lot["pieces"], lot["price"], new["whom"]) == (
        "silver-eaves", 40, None, "",
    )  # fmt: skip
    assert new["versions"][0]["reason"] == "as Eaves, grey of stair-window"
    assert lot["like"] == "Eaves, grey of Rain curtain for the stair window"
    for wrong, says in (
        (("--again", "next-window"), "there is a commission of that name"),
        (("--again", "a", "--pieces", "0"), "--pieces takes a number from 1"),
    ):
        refused = shelf("recipe", "stair-window", "Eaves, grey", *wrong)
        assert (refused.status, says in refused.err) == (1, True)


def test_a_dye_lot_promised_twice_is_told(shelf: Any) -> None:
    """Two accepted orders whose beads come from one dye lot are told where it is not enough."""
    (shelf.home / "settings.toml").write_text("format = 1\n[work]\nhourly_rate = 20\n", "utf-8")
    for name, pieces in (("one", "16"), ("two", "14")):
        shelf("commission", name, "--new", "--lot", "Eaves", "--pattern", "silver-eaves",
              "--pieces", pieces)  # fmt: skip
    assert not shelf("tubes", "--json").json["warnings"]
    for name in ("one", "two"):
        shelf("offer", name, "--accept", "--on", "2024-01-05")
    (said,) = (w for w in shelf("tubes", "--json").json["warnings"] if "promised" in w)
    assert said.startswith("6/0 clear drop, dye lot 27: promised to 'one' (4")
    assert "'two' (3" in said
    assert any("promised" in w for w in shelf("needs", "two", "--json").json["warnings"])
    shelf("commission", "one", "--cancel", "--because", "the house is sold")
    assert not any("promised" in w for w in shelf("tubes", "--json").json["warnings"])
    shelf("commission", "one", "--go-on")
    assert any("promised" in w for w in shelf("tubes", "--json").json["warnings"])
    shelf("account", "one", "--undo", "accepted")
    assert not any("promised" in w for w in shelf("tubes", "--json").json["warnings"])


def test_the_shopping_list_goes_by_shop_and_kind(shelf: Any, tmp_path: Any) -> None:
    """A page to tick: shops in order, beads before thread, those without a shop by themselves."""
    text = STOCK.replace('lot = "27"', 'lot = "27"\nshop = "Glass & Co"').replace(
        "spools = 1", 'spools = 0\nshop = "Glass & Co"'
    )
    (shelf.home / "stock.toml").write_text(text.replace("tubes = 2", "tubes = 0"), "utf-8")
    words = ("needs", "stair-window", "--stock", str(shelf.home / "stock.toml"))
    said = shelf(*words, "--list", "buy.html", "--json").json
    assert said["list"] == "buy.html"
    assert {item["shop"] for item in said["buy"]} == {"", "Glass & Co"}
    page = (tmp_path / "buy.html").read_text("utf-8")
    assert page.count('class="tick"') == len(said["buy"])
    in_shop = page[page.index("Glass &amp; Co") :]
    assert in_shop.index("clear drop") < in_shop.index("gel-spun")


def test_a_decimal_comma_in_a_csv_is_refused(shelf: Any) -> None:
    """A CSV with decimal commas is one clear sentence, and nothing is taken in."""
    (shelf.home / "other.csv").write_text("size,name,grams\n8/0,pale,1,5\n", "utf-8")
    said = shelf("tubes", "--take-in", str(shelf.home / "other.csv"))
    assert said.status == 1
    assert "write 1.5, not 1,5" in said.err
