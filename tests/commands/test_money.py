"""`offer` and `account`: asked, accepted, changed, paid."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from bench.documents.library import Library
from bench.documents.settings import Settings
from bench.journal.store import Journal
from bench.making.braid import Braid
from bench.making.worked_pattern import WorkedPattern
from tests.support.curtain import CURTAIN
from tests.support.whole_html import unclosed

SETTINGS = """format = 1
[work]
hourly_rate = 20
[shop]
tax_percent = 20
tax_name = "VAT"
round_to = 0.50
deposit_percent = 25
least_price = 12
"""


@pytest.fixture
def curtain(call: Any) -> Any:
    """A maker with a commission of 24 drops and a rope, and prices for them."""
    (call.home / "commissions").mkdir(parents=True)
    (call.home / "commissions" / "curtain.toml").write_text(CURTAIN, "utf-8")
    (call.home / "settings.toml").write_text("format = 1\n[work]\nhourly_rate = 20\n", "utf-8")
    return call


def good(curtain: Any, pieces: int) -> None:
    """Good pieces of the plum lot, in the journal."""
    made = WorkedPattern.from_library(Library(curtain.home), Settings(), "silver-eaves")
    with Journal.open(curtain.home / "journal.db", write=True) as journal:
        for number in range(1, pieces + 1):
            Braid.start(
                journal, made, stage="finish", commission="curtain", lot="Plum", number=number
            ).finish("good")  # fmt: skip


def test_from_the_asking_to_what_is_still_to_pay(curtain: Any) -> None:
    """Accepted at 840.00, 280.00 received; three fewer and three more: the same is due.

    Of the plum pieces seven are made, two more than it would have: they go to finished stock.
    """
    assert curtain("offer", "curtain", "--accept", "--on", "2024-11-02").status == 0
    curtain("account", "curtain", "--deposit", "280.00", "--on", "2024-11-03")
    good(curtain, 7)
    for words in (
        ("--lot", "Plum", "--pieces", "-3", "--made-more", "stock"),
        ("--lot", "Eaves", "--pieces", "+3", "--due", "2199-05-01"),
    ):
        assert curtain("commission", "curtain", *words).status == 0
    said = curtain("account", "curtain", "--json").json
    assert (said["offered"], said["due"], said["received"], said["to_pay"]) == (
        *("840.00", "840.00", "280.00"),
        "560.00",
    )
    assert [(line["name"], line["change"]) for line in said["lines"]] == [
        *(("Plum", "-90.00"), ("Eaves", "90.00")),
        ("Rope", "0.00"),
    ]
    assert said["to_stock"] == 2
    out = curtain("account", "curtain").out
    assert "TO PAY" in out
    assert "560.00 EUR" in out
    assert "ask your tax office" in out


def test_an_accepted_offer_is_frozen(curtain: Any) -> None:
    """Another rate changes nothing of it; it cannot be accepted twice, but be taken back."""
    curtain("offer", "curtain", "--accept", "--on", "2024-11-02")
    (curtain.home / "settings.toml").write_text(SETTINGS, "utf-8")
    curtain("commission", "curtain", "--lot", "Rope", "--price", "150")
    said = curtain("offer", "curtain", "--json").json
    assert (said["gross"], said["accepted"]) == ("840.00", "2024-11-02")
    again = curtain("offer", "curtain", "--accept")
    assert (again.status, again.err.count("\n")) == (1, 1)
    curtain("account", "curtain", "--undo", "accepted")
    assert curtain("offer", "curtain", "--json").json["net"] == "870.00"


def test_prices_come_from_hours_when_none_is_agreed(curtain: Any) -> None:
    """Rounded as set, never below the least; tax and deposit on the whole.

    The hours of the whole are those of the forecast before anything is made, where all lots are
    drawn together.
    """
    text = CURTAIN.replace("price = 30.00\n", "")
    (curtain.home / "commissions" / "curtain.toml").write_text(text, "utf-8")
    (curtain.home / "settings.toml").write_text(SETTINGS, "utf-8")
    curtain("record", "silver-eaves", "--minutes", "80")
    said = curtain("offer", "curtain", "--json").json
    plum, _, rope = said["lots"]
    assert Decimal(plum["each"]) % Decimal("0.50") == 0
    assert Decimal(plum["each"]) >= 12
    assert (rope["each"], rope["agreed"], plum["agreed"]) == ("120.00", True, False)
    net = sum(Decimal(lot["price"]) for lot in said["lots"])
    assert Decimal(said["net"]) == net
    assert Decimal(said["tax"]) == net / 5
    assert Decimal(said["deposit"]) * 4 == pytest.approx(
        Decimal(said["gross"]), abs=Decimal("0.05")
    )
    assert said["hours"]["level"] == 0.8
    assert said["hours"] == curtain("forecast", "curtain", "--json").json["to_come"]
    assert "beads and thread" in said["unpriced"]
    curtain("commission", "curtain", "--holds-until", "2198-01-31")
    assert curtain("offer", "curtain", "--json").json["holds_until"] == "2198-01-31"


def test_the_customers_sheet_tells_no_hours(curtain: Any, tmp_path: Any) -> None:
    """Text and HTML have one price, the day, deposit and end of the offer, and nothing of hours."""
    title = 'title = "Curtain <b>& Co</b>"'
    text = CURTAIN.replace('title = "Curtain"', title)
    (curtain.home / "commissions" / "curtain.toml").write_text(text, "utf-8")
    settings = f'{SETTINGS}maker = "Ada Example; 1 Mill Lane"\n'
    (curtain.home / "settings.toml").write_text(settings, "utf-8")
    day = ("--on", "2024-11-02")
    said = curtain("offer", "curtain", *day, "--html", "o.html", "--text", "o.txt")
    assert said.status == 0
    for name, ending in (("o.html", "html"), ("o.txt", "txt")):
        shown = (tmp_path / name).read_text("utf-8")
        for part in ("1008.00 EUR", "VAT 20 %", "252.00", "8 May 2199", "holds until"):
            assert part in shown, ending
        for part in ("Ada Example", "1 Mill Lane", "2 November 2024", "Silver Eaves"):
            assert part in shown, ending
        assert "hour" not in shown
    assert "<b>" not in (tmp_path / "o.html").read_text("utf-8")
    assert "FOR YOU ALONE" in said.out


def test_a_changed_order_is_agreed_on_anew(curtain: Any) -> None:
    """The sheet has what was changed and a line to sign; agreed, it is told no more, until anew."""
    refused = curtain("account", "curtain", "--agreed")
    assert (refused.status, "nothing is to be agreed on anew" in refused.err) == (1, True)
    curtain("offer", "curtain", "--accept")
    curtain("commission", "curtain", "--lot", "Plum", "--pieces", "-3", "--due", "2199-05-01")
    told = curtain("account", "curtain", "--html", "a.html", "--json").json
    assert (told["due"], told["changed"], told["agreed"]) == ("750.00", True, None)
    assert (told["offered_ready"], told["ready"]) == ("2199-05-08", "2199-05-01")
    assert "has to be agreed on with the customer" in told["warnings"][0]
    page = Path("a.html").read_text("utf-8")
    for said in ("due on 1 May 2199 in place of 8 May 2199", "Plum: 5 in place of 8", "-90.00"):
        assert said in page, said
    assert "agreed: ____" in page
    curtain("account", "curtain", "--agreed", "--on", "2024-11-05")
    told = curtain("account", "curtain", "--json").json
    assert (told["agreed"], told["warnings"]) == ("2024-11-05", [])
    out = curtain("account", "curtain").out
    assert "CHANGED    agreed on 5 November 2024; due on 1 May 2199" in out
    curtain("commission", "curtain", "--lot", "Plum", "--rename", "Dark plum", "--before", "last")
    assert curtain("account", "curtain", "--json").json["agreed"] == "2024-11-05"
    curtain("commission", "curtain", "--lot", "Dark plum", "--rename", "Plum")
    curtain("commission", "curtain", "--lot", "Plum", "--pieces", "6")
    assert curtain("account", "curtain", "--json").json["agreed"] is None
    curtain("commission", "curtain", "--lot", "Plum", "--pieces", "5")
    assert curtain("account", "curtain", "--json").json["agreed"] == "2024-11-05"
    assert curtain("account", "curtain", "--undo", "agreed", "--json").json["agreed"] is None


def test_a_new_offer_has_what_was_charged(curtain: Any) -> None:
    """Agreed anew after a count was lowered, the pieces that are charged are in what is offered."""
    curtain("offer", "curtain", "--accept")
    good(curtain, 7)
    curtain("commission", "curtain", "--lot", "Plum", "--pieces", "5", "--made-more", "charged")
    curtain("account", "curtain", "--undo", "accepted")
    assert curtain("offer", "curtain", "--json").json["lots"][0]["pieces"] == 7
    curtain("offer", "curtain", "--accept")
    told = curtain("account", "curtain", "--json").json
    assert (told["offered"], told["due"], told["warnings"]) == ("810.00", "810.00", [])


def test_an_offer_takes_the_hours_of_the_forecast(curtain: Any) -> None:
    """Before anything is made each lot takes in the offer what the forecast has to come of it."""
    offered = curtain("offer", "curtain", "--json").json
    ahead = curtain("forecast", "curtain", "--json").json
    for lot, line in zip(offered["lots"], ahead["lots"], strict=True):
        assert lot["hours"] == line["to_come"]
    assert offered["hours"] == ahead["to_come"]


@pytest.mark.parametrize(
    ("goes", "due", "promised", "to_stock"),
    [("charged", "690.00", 3, 0), ("stock", "630.00", 1, 2)],
)
def test_a_lot_that_is_taken_out_loses_no_piece(
    curtain: Any, goes: str, due: str, promised: int, to_stock: int
) -> None:
    """What is charged of it is packed and handed over; what is at the customer's is no stock."""
    curtain("offer", "curtain", "--accept")
    good(curtain, 3)
    curtain("pack", "curtain", "Plum 1", "--deliver")
    out = ("commission", "curtain", "--lot", "Plum", "--out", "--made-more", goes)
    assert curtain(*out).status == 0
    told = curtain("account", "curtain", "--json").json
    assert (told["due"], told["to_stock"]) == (due, to_stock)
    lot = curtain("pack", "curtain", "--json").json["lots"][-1]
    assert (lot["lot"], lot["promised"]) == ("Plum (taken out)", promised)
    assert lot["counts"] == {"made": 2, "delivered": 1}
    assert len(curtain("finished", "--json").json["pieces"]) == to_stock
    assert curtain("pack", "curtain", "Plum 2", "--tray", "A").status == 0


def test_a_lot_with_pieces_becomes_no_other_one(curtain: Any) -> None:
    """Another pattern is another lot; with a piece in hand it is not taken out."""
    good(curtain, 1)
    made = WorkedPattern.from_library(Library(curtain.home), Settings(), "silver-eaves")
    with Journal.open(curtain.home / "journal.db", write=True) as journal:
        braid = Braid.start(journal, made, stage="braid", commission="curtain", lot="Plum")
    plum = ("commission", "curtain", "--lot", "Plum")
    for words, says in (
        (("--pattern", "cistern"), "'Plum' has 2 pieces already: another pattern"),
        (("--colourway", "dusk"), "another pattern, size or colourway is another lot"),
        (("--out", "--made-more", "stock"), "1 piece of 'Plum' in hand: finish or give up"),
    ):
        said = curtain(*plum, *words)
        assert (said.status, said.err.count("\n"), says in said.err) == (1, 1, True), said.err
    with Journal.open(curtain.home / "journal.db", write=True) as journal:
        Braid(journal, braid.piece).finish("second")
    assert curtain(*plum, "--out", "--made-more", "stock").status == 0


def test_money_of_another_currency_is_not_added(curtain: Any) -> None:
    """A deposit in EUR counts for nothing in an order of USD, and is told."""
    curtain("account", "curtain", "--deposit", "100")
    settings = curtain.home / "settings.toml"
    settings.write_text(settings.read_text("utf-8") + 'currency = "USD"\n', "utf-8")
    curtain("offer", "curtain", "--accept")
    told = curtain("account", "curtain", "--json").json
    assert (told["received"], told["to_pay"], told["currency"]) == ("0.00", "840.00", "USD")
    assert "deposit of 100.00 EUR" in told["warnings"][0]
    curtain("account", "curtain", "--payment", "900")
    assert "TO GIVE BACK" in curtain("account", "curtain").out


def test_like_pieces_have_one_price(curtain: Any) -> None:
    """Lots that differ in their colourway alone cost the customer the same, a piece for a piece."""
    for lot, way, pieces in (("Plum", "none", "5"), ("Eaves", "dusk", "4"), ("Rope", "none", "1")):
        curtain(
            *("commission", "curtain", "--lot", lot, "--colourway", way),
            *("--pieces", pieces, "--price", "none"),
        )
    told = curtain("offer", "curtain", "--json").json
    plum, eaves, rope = told["lots"]
    assert plum["each"] == eaves["each"] != rope["each"]
    assert plum["cost"]["median"] != eaves["cost"]["median"]
    assert abs(Decimal(told["gross"]) - Decimal(told["cost"]["median"])) <= Decimal("0.10")
    assert "lots of one pattern and size have one" in curtain("offer", "curtain").out


def test_a_cancelled_order_is_due_with_what_is_charged(curtain: Any) -> None:
    """What is made is charged or goes to stock; no more is due, promised or to be made."""
    good(curtain, 3)
    curtain("commission", "curtain", "--design-hours", "2", "--notions", "12")
    curtain("offer", "curtain", "--accept")
    curtain("account", "curtain", "--deposit", "100")
    words = ("commission", "curtain", "--cancel", "--because", "the house is sold")
    asked = curtain(*words)
    assert (asked.status, asked.err.count("\n")) == (1, 1)
    assert "3 of 'Plum' are made: say whether they are charged" in asked.err
    for goes, due, to_pay in (("charged", "130.00", "30.00"), ("stock", "0.00", "-100.00")):
        assert curtain(*words, "--made-more", goes).status == 0
        told = curtain("account", "curtain", "--json").json
        assert (told["due"], told["to_pay"]) == (due, to_pay)
        assert "the house is sold" in told["warnings"][0]
        plum = curtain("forecast", "curtain", "--json").json["lots"][0]
        assert (plum["done"], plum["to_make"]) == (3, 0)
        lot = curtain("pack", "curtain", "--json").json["lots"][0]
        assert (lot["promised"], lot["counts"]) == (3 if goes == "charged" else 0, {"made": 3})
        for command in ("offer", "needs", "closing", "tags", "forecast", "notes"):
            assert "cancelled" in curtain(command, "curtain").err, command
        assert "is cancelled since" in curtain(*words).err
        assert curtain("commission", "curtain", "--go-on").status == 0
    assert curtain("account", "curtain", "--json").json["due"] == "892.00"


def test_what_was_handed_over_on_a_day_has_its_own_figures(curtain: Any, tmp_path: Any) -> None:
    """What is due for it with tax, what of the deposit pays it, what is to come; repaired or not.

    Five drops of 30.00 and 20 % tax are 180.00; of 252.00 the second part has the 72.00 left over.
    """
    (curtain.home / "settings.toml").write_text(SETTINGS, "utf-8")
    refused = curtain("account", "curtain", "--part", "2024-12-01")
    assert "no offer is accepted yet" in refused.err
    curtain("offer", "curtain", "--accept", "--on", "2024-11-02")
    curtain("account", "curtain", "--deposit", "252.00", "--on", "2024-11-03")
    made = WorkedPattern.from_library(Library(curtain.home), Settings(), "silver-eaves")
    with Journal.open(curtain.home / "journal.db", write=True) as journal:
        for number in range(1, 9):
            Braid.start(
                journal, made, stage="finish", commission="curtain", lot="Plum", number=number
            ).finish("good")  # fmt: skip
    first = [f"Plum {number}" for number in (1, 2, 3, 5, 8)]
    curtain("pack", "curtain", *first, "--deliver", "--on", "2024-11-10")
    curtain("pack", "curtain", "Plum 4", "Plum 6", "Plum 7", "--deliver", "--on", "2024-11-12")
    curtain("pack", "curtain", "Plum 1", "--back", "a loose end", "--on", "2024-11-13")
    parts = curtain("account", "curtain", "--json").json["parts"]
    keys = ("day", "due", "tax", "paid", "to_pay", "to_come")
    assert [tuple(part[key] for key in keys) for part in parts] == [
        ("2024-11-10", "180.00", "30.00", "180.00", "0.00", "828.00"),
        ("2024-11-12", "108.00", "18.00", "72.00", "36.00", "720.00"),
    ]
    part = ("account", "curtain", "--part", "2024-11-10")
    shown = curtain(*part, "--html", "p.html").out
    assert "no. 1 to 3, 5, 8" in shown
    page = (tmp_path / "p.html").read_text("utf-8")
    assert "Handed over on 10 November 2024" in page
    assert "5 × Plum" in page
    curtain(*part, "--csv", "p.csv")
    rows = (tmp_path / "p.csv").read_text("utf-8").splitlines()
    assert rows[1:] == ["Plum,5,30.00,150.00,EUR", "VAT 20 %,1,30.00,30.00,EUR"]
    assert "there is: 2024-11-10, 2024-11-12" in curtain(*part[:-1], "2024-11-11").err
    assert "say --part" in curtain("account", "curtain", "--csv", "x.csv").err
    assert "of which day" in curtain("account", "curtain", "--part", "none").err
    curtain("pack", "curtain", "Plum 1", "--mended")
    curtain("pack", "curtain", "Plum 1", "--deliver", "--on", "2026-11-20")
    curtain("pack", "curtain", "Plum 1", "--not-delivered")
    assert curtain("account", "curtain", "--json").json["parts"][0]["due"] == "180.00"
    file = curtain.home / "commissions" / "curtain.toml"
    file.write_text(file.read_text("utf-8").replace("2199-05-08", "2024-11-10"), "utf-8")
    plum = curtain("closing", "curtain", "--json").json["lots"][0]
    out_of = ("handed_over", "first_out", "last_out", "late_days")
    assert [plum[key] for key in out_of] == [8, "2024-11-10", "2024-11-12", 2]
    out = " ".join(curtain("closing", "curtain").out.split())
    assert "8 handed over 2024-11-10 to 2024-11-12, 2 days after it was due" in out


def test_every_page_of_the_shop_closes_what_it_opens(curtain: Any, tmp_path: Any) -> None:
    """No tag of any sheet is left open or closed twice."""
    good(curtain, 3)
    curtain("offer", "curtain", "--accept")
    curtain("account", "curtain", "--deposit", "10")
    curtain("inspect", "curtain", "--piece", "Plum 3", "--second", "dull", "--failed", "no gaps")
    curtain("pack", "curtain", "Plum 1", "--deliver", "--on", "2024-11-10")
    for number, words in enumerate((
        ("offer",), ("account",), ("account", "--part", "2024-11-10"), ("closing",), ("pack",),
        ("inspect",), ("tags",), ("hang", "--evenly", "20", "--width", "900"), ("tonight",),
        ("hang", "--shape", "window", "--places", "0:40,0:200"), ("recipe", "Plum"),
    )):  # fmt: skip
        command, *rest = words
        said = curtain(command, "curtain", *rest, "--html", f"{number}.html")
        assert said.status == 0, said.err
        assert unclosed((tmp_path / f"{number}.html").read_text("utf-8")) == [], words


def test_the_closing_sheet_holds_the_offer_against_the_fact(curtain: Any, tmp_path: Any) -> None:
    """The invoice's lines add up to what is due; hours and earnings follow from pieces made."""
    (curtain.home / "settings.toml").write_text(SETTINGS, "utf-8")
    curtain("offer", "curtain", "--accept", "--on", "2024-11-02")
    curtain("account", "curtain", "--deposit", "252.00")
    made = WorkedPattern.from_library(Library(curtain.home), Settings(), "silver-eaves")
    with Journal.open(curtain.home / "journal.db", write=True) as journal:
        for end in ("good", "second"):
            braid = Braid.start(journal, made, stage="finish", commission="curtain", lot="Plum")
            braid.finish("good" if end == "good" else "second")
    said = curtain("closing", "curtain", "--csv", "c.csv", "--json").json
    assert (said["due"], said["received"], said["to_pay"]) == ("1008.00", "252.00", "756.00")
    assert sum(Decimal(line["amount"]) for line in said["invoice"]) == Decimal(said["due"])
    plum = said["lots"][0]
    assert (plum["good"], plum["seconds"], plum["spoilt"], plum["due"]) == (1, 1, 0, "2199-05-08")
    assert said["offered_h"] > 0
    assert (plum["each_h"], plum["timed"], said["earned_per_hour"]) == (None, 0, None)
    assert Decimal(said["next_cost"]) > 0
    rows = (tmp_path / "c.csv").read_text("utf-8").splitlines()
    assert rows[0] == "what,count,each,amount,currency"
    assert rows[1] == "Plum,8,30.00,240.00,EUR"
    curtain("closing", "curtain", "--html", "c.html")
    assert "For the invoice" in (tmp_path / "c.html").read_text("utf-8")
    out = curtain("closing", "curtain").out
    assert "VAT 20 %" in out
    assert max(map(len, out.splitlines())) <= 80


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("account", "curtain", "--deposit", "1,50"), "write 30.50, not 30,50"),
        (("account", "curtain", "--deposit", "-5"), "an amount such as 30.50"),
        (("account", "curtain", "--payment", "nan"), "an amount such as 30.50"),
        (("account", "curtain", "--refund", "1.005"), "an amount such as 30.50"),
        (("account", "curtain", "--deposit", "1e5"), "an amount such as 30.50"),
        (("account", "curtain", "--deposit", "5", "--on", "2199-01-01"), "is yet to come"),
        (("offer", "curtain", "--accept", "--on", "2199-01-01"), "is yet to come"),
        (("account", "curtain", "--undo", "deposit"), "there is no 'deposit' to take back"),
        (("account", "nowhere"), "there is no commission 'nowhere'"),
        (("commission", "curtain", "--due", "2020-01-01"), "is past"),
    ],
)
def test_money_that_cannot_be(curtain: Any, words: tuple[str, ...], says: str) -> None:
    """Status 1 and one sentence; nothing is written."""
    said = curtain(*words)
    assert (said.status, said.err.count("\n")) == (1, 1)
    assert says in said.err
    assert not (curtain.home / "journal.db").exists()


def test_pieces_without_hours_make_nothing_cheaper(curtain: Any) -> None:
    """Finished without a timed stage, pieces cost what they take by the pace; nothing is earned."""
    before = curtain("forecast", "curtain", "--json").json["price"]["amount"]
    curtain("offer", "curtain", "--accept")
    pattern = WorkedPattern.from_library(Library(curtain.home), Settings(), "silver-eaves")
    with Journal.open(curtain.home / "journal.db", write=True) as journal:
        for number in range(1, 4):
            Braid.start(
                journal, pattern, stage="finish", commission="curtain", lot="Plum", number=number
            ).finish("good")
    said = curtain("forecast", "curtain", "--json").json
    assert said["price"]["amount"] == pytest.approx(before, rel=0.03)
    assert any("of 3 good pieces no hours are known" in line for line in said["warnings"])
    closed = curtain("closing", "curtain")
    assert "of 3 good pieces no hours are known: these are too few" in closed.out
    assert "EARNED" not in closed.out


def test_terms_changed_after_acceptance_are_told(curtain: Any) -> None:
    """The accepted price and terms hold, and the account says that others were written since."""
    curtain("commission", "curtain", "--notions", "12")
    curtain("offer", "curtain", "--accept")
    assert "boxes, findings, post" in curtain("account", "curtain").out
    assert not curtain("account", "curtain", "--json").json["warnings"]
    for words in (("--discount", "10"), ("--lot", "Plum", "--price", "25")):
        curtain("commission", "curtain", *words)
        said = curtain("account", "curtain", "--json").json
        assert said["due"] == "852.00"
        assert any("the accepted ones hold" in line for line in said["warnings"])


def test_without_a_rate_only_agreed_prices_are_offered(curtain: Any) -> None:
    """Where a price has to be worked out, one sentence says where the hourly rate is set."""
    (curtain.home / "settings.toml").write_text("format = 1\n", "utf-8")
    said = curtain("offer", "curtain", "--json").json
    assert (said["gross"], said["cost"], said["lots"][0]["cost"]) == ("840.00", None, None)
    assert curtain("closing", "curtain").status == 0
    curtain("commission", "curtain", "--lot", "Rope", "--price", "none")
    refused = curtain("offer", "curtain")
    assert refused.status == 1
    assert "hourly_rate under [work]" in refused.err


@pytest.mark.parametrize(
    "words",
    [
        ("offer", "curtain", "--text"), ("closing", "curtain", "--csv"),
        ("tags", "curtain", "--html"), ("needs", "curtain", "--list"),
    ],
)  # fmt: skip
def test_a_sheet_written_onto_a_link_says_where(
    curtain: Any, tmp_path: Any, words: tuple[str, ...]
) -> None:
    """What is written where a link leads says which file that is."""
    ending = {"--text": "txt", "--csv": "csv"}.get(words[-1], "html")
    (tmp_path / f"l.{ending}").symlink_to(f"behind.{ending}")
    (curtain.home / "settings.toml").write_text(SETTINGS, "utf-8")
    said = curtain(*words, f"l.{ending}", "--json")
    assert f"behind.{ending} was written" in " ".join(said.json["warnings"])
    assert (tmp_path / f"behind.{ending}").read_text("utf-8")
