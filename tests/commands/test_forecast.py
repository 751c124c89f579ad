"""The forecast of a commission: its lots, its price, and whose pieces count for it."""

from __future__ import annotations

import datetime as dt
import time
from typing import Any

import pytest

from bench.documents.library import Library
from bench.documents.settings import Settings
from bench.journal.clock import SystemClock
from bench.journal.store import Journal
from bench.making.braid import Braid
from bench.making.worked_pattern import WorkedPattern
from tests.support.clock import ManualClock

COMMISSION = """format = 1
title = "Two lots"
[[lots]]
name = "eaves"
pattern = "silver-eaves"
pieces = 3
due = 2199-01-01
[[lots]]
name = "cisterns"
pattern = "cistern"
pieces = 2
"""
RATE = "format = 1\n[work]\nhourly_rate = 20\nmargin = 0.5\ncurrency = 'EUR'\n"
STOCK = """format = 1
currency = "{currency}"
[[threads]]
name = "gel-spun 0.13 mm"
spool_m = 100
price = 20
"""


@pytest.fixture
def two(call: Any) -> Any:
    """A maker with a commission of two lots."""
    (call.home / "commissions").mkdir(parents=True)
    (call.home / "commissions" / "two.toml").write_text(COMMISSION, encoding="utf-8")
    (call.home / "settings.toml").write_text(RATE, encoding="utf-8")
    return call


def begin(call: Any, *, lot: str = "eaves", end: str = "", commission: str | None = "two") -> None:
    """Begin a Silver Eaves a while ago, make some crosses, and end it as told."""
    clock = ManualClock(wall=SystemClock().now().wall - 86_400)
    made = WorkedPattern.from_library(Library(call.home), Settings(), "silver-eaves")
    with Journal.open(call.home / "journal.db", write=True, clock=clock) as journal:
        braid = Braid.start(journal, made, commission=commission, lot=lot if commission else None)
        while braid.made < 40:
            clock.advance(20.0)
            if braid.mark_due is None:
                braid.cross()
            else:
                braid.mark_done()
        if end == "given up":
            braid.give_up("frayed")
        elif end:
            braid.finish("good" if end == "good" else "second")


def lots_of(call: Any) -> dict[str, Any]:
    """The lots of the forecast by name."""
    return {lot["lot"]: lot for lot in call("forecast", "two", "--json").json["lots"]}


def test_seconds_and_given_up_pieces_are_made_again(two: Any) -> None:
    """A good piece and one in the making count towards the lot; spoilt ones do not."""
    for end in ("good", "second", "given up", ""):
        begin(two, end=end)
    eaves = lots_of(two)["eaves"]
    counts = (eaves["pieces"], eaves["done"], eaves["in_the_making"], eaves["to_make"])
    assert counts == (3, 1, 1, 1)
    assert lots_of(two)["cisterns"]["to_make"] == 2


def test_a_begun_piece_leaves_less_to_do(two: Any) -> None:
    """What was braided of a piece in the making is not to come any more; it is in the hours done.

    The maker's pace stays a guess until something is finished, so that nothing else changes.
    """
    before = two("forecast", "two", "--json").json
    begin(two)
    after = two("forecast", "two", "--json").json
    assert (before["done_h"], after["done_h"] > 0) == (0, True)
    assert after["to_come"]["median_h"] < before["to_come"]["median_h"]
    assert after["lots"][1]["to_come"] == before["lots"][1]["to_come"]


def test_late_is_the_chance_of_being_late(two: Any) -> None:
    """Hardly any for a day far off, nearly certain for today; nothing is said of a guess."""
    assert [lot["late"] for lot in lots_of(two).values()] == [None, None]
    begin(two, end="good")
    assert lots_of(two)["eaves"]["late"] <= 0.002
    file = two.home / "commissions" / "two.toml"
    today = dt.date.today().isoformat()
    file.write_text(file.read_text("utf-8").replace("2199-01-01", today), "utf-8")
    assert lots_of(two)["eaves"]["late"] > 0.9


def test_what_is_begun_beyond_the_count_is_not_waited_for(two: Any) -> None:
    """Of a lot of three, three begun pieces are to come, however many are in hand."""
    for _ in range(3):
        begin(two)
    three = lots_of(two)["eaves"]["to_come"]
    begin(two)
    assert lots_of(two)["eaves"]["to_come"] == three


def test_pieces_of_no_lot_are_named(two: Any) -> None:
    """Pieces made for no commission, or for a lot that is gone, are told, not counted."""
    begin(two, commission=None, end="good")
    begin(two, lot="gone", end="good")
    said = two("forecast", "two")
    assert "1 finished piece of its patterns is in no lot" in said.err
    assert "1 piece belongs to a lot that the commission no longer has, and counts for" in said.err
    assert lots_of(two)["eaves"]["done"] == 0


def test_the_price_takes_the_materials_in(two: Any) -> None:
    """Thread with a price raises the price by its share and the margin; another currency's not."""
    bare = two("forecast", "two", "--json").json["price"]
    assert "materials come on top" in bare["says"]
    stock = two.home / "stock.toml"
    stock.write_text(STOCK.format(currency="EUR"), encoding="utf-8")
    full = two("forecast", "two", "--json").json["price"]
    metres = two("needs", "two", "--json").json["thread_m"]
    assert full["amount"] - bare["amount"] == pytest.approx(1.5 * 0.2 * metres, rel=0.01)
    assert "no price in your stock" in full["says"]
    stock.write_text(STOCK.format(currency="CHF"), encoding="utf-8")
    apart = two("forecast", "two", "--json").json["price"]
    assert apart["amount"] == bare["amount"]
    assert "CHF" in apart["says"]


def test_a_finished_commission_has_nothing_to_come(two: Any) -> None:
    """When every lot has its good pieces no hours are left, and the sheet says so."""
    text = COMMISSION.partition('[[lots]]\nname = "cisterns"')[0].replace(
        "pieces = 3", "pieces = 1"
    )
    (two.home / "commissions" / "two.toml").write_text(text, encoding="utf-8")
    begin(two, end="good")
    assert two("forecast", "two", "--json").json["to_come"]["high_h"] == 0
    out = two("forecast", "two").out
    assert "nothing; every lot has its pieces" in out
    assert "2199-01-01, done" in out


def test_a_trial_changes_no_price(two: Any) -> None:
    """A piece of a lot that was given up and is marked as a trial leaves hours and price alone."""
    for _ in range(3):
        two("record", "silver-eaves", "--minutes", "80")
    before = two("forecast", "two", "--json").json
    begin(two, end="given up")
    spoilt = two("forecast", "two", "--json").json
    assert spoilt["price"]["amount"] != before["price"]["amount"]
    with Journal.open(two.home / "journal.db", write=False) as journal:
        (piece,) = [p for p in journal.ended() if journal.state(p).commission == "two"]
    said = two("trial", piece, "--json").json
    assert (said["piece"], said["trial"]) == (piece, True)
    assert two("forecast", "two", "--json").json == before
    two("trial", piece, "--counts")
    assert two("forecast", "two", "--json").json["price"] == spoilt["price"]


def test_a_piece_that_is_not_there_is_no_trial(two: Any) -> None:
    """An id that no piece has: status 1, one sentence, nothing written."""
    said = two("trial", "nobody")
    assert (said.status, said.err.count("\n")) == (1, 1)
    assert "there is no piece 'nobody'" in said.err


def test_before_the_first_piece_nothing_has_a_level(two: Any) -> None:
    """A guess is called so, in pace and forecast; with the first timed piece 8 in 10 is said."""
    for words in (("pace", "cistern"), ("forecast", "two")):
        said, sheet = two(*words, "--json").json, two(*words).out
        interval = said["next_piece"] if words[0] == "pace" else said["to_come"]
        assert interval["level"] is None
        assert "a guess" in sheet
        assert "8 in 10" not in sheet
    two("record", "cistern", "--minutes", "70")
    assert two("pace", "cistern", "--json").json["next_piece"]["level"] == 0.8
    assert "8 in 10" in two("forecast", "two").out


def test_dates_go_by_the_set_hours_until_the_weeks_are_known(two: Any) -> None:
    """With five weeks at the bench dates go by them, and say so; hours that are asked for win."""
    assert "if you keep to 10 hours a week" in two("forecast", "two").out
    today = SystemClock().now().wall
    for week in range(5):
        day = time.strftime("%Y-%m-%d", time.localtime(today - 86_400 * (3 + 7 * week)))
        for _ in range(1 + week % 2):
            two("record", "cistern", "--minutes", "120", "--on", day)
    said = two("forecast", "two", "--json").json
    assert said["weeks"] == 4
    assert said["hours_per_week"] == pytest.approx(3.0)
    assert "as your last 4 weeks went, 3 hours a week on average" in two("forecast", "two").out
    asked = two("forecast", "two", "--hours-per-week", "6", "--json").json
    assert (asked["weeks"], asked["hours_per_week"]) == (0, 6.0)
    assert asked["finish"]["high"] < said["finish"]["high"]
