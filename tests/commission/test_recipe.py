"""The card of a sample says what made it what it was, whatever the settings are by now."""

from __future__ import annotations

from decimal import Decimal

from bench.answers.recipe import DyeLotLeft, RecipeAnswer, RecipeBead
from bench.commission.again import as_before, beads_differ, begun_again
from bench.commission.book import keep
from bench.commission.changing import with_lot, with_terms, with_values
from bench.commission.commission_answer import commission_answer
from bench.commission.origin import like_of
from bench.commission.pieces import read_pieces
from bench.commission.pieces_answer import pieces_answer
from bench.commission.recipe import card_of, read_recipe
from bench.documents.settings import Settings
from bench.journal.commission_payloads import SampleApproved
from bench.journal.inspection_payloads import Inspected
from bench.journal.payloads import Measured, WeightsHung
from bench.making.braid import Braid
from bench.making.set_up_steps import SetUp
from bench.making.worked_pattern import WorkedPattern
from bench.pace.model import fit
from bench.sheets.commission import commission_lines
from bench.sheets.recipe import recipe_lines
from tests.support.two_benches import DAY, Bench, Benches

THEN = Settings.model_validate(
    {"format": 1, "stand": {"tama_g": 70.0, "weights_g": [200.0, 50.0, 20.0, 10.0], "bag_g": 5.0}}
)


def card(bench: Bench) -> RecipeAnswer:
    """The card of the door's lot, by settings that are others than those of then."""
    book = bench.book("door")
    lot = book.commission.lots[0]
    return read_recipe(bench.journal, bench.library, Settings(), book, lot, fit([]))


def facts(found: RecipeAnswer) -> str:
    """The card as it is printed, in one line."""
    return " ".join(" ".join(recipe_lines(found)).split())


def begun(bench: Bench, number: int) -> Braid:
    """A piece of the door's lot, set up step by step and braided to its first mark."""
    book = bench.book("door")
    made = WorkedPattern.from_library(bench.library, THEN, "silver-eaves")
    braid = Braid.start(
        *(bench.journal, made), stage="set_up", commission="door", lot="Lot 1", number=number,
        commission_id=book.id, lot_id=book.commission.lots[0].id,
    )  # fmt: skip
    set_up = SetUp.of(braid, THEN)
    while set_up.step_on():
        pass
    set_up.step_back()
    set_up.step_on()
    braid.end_stage()
    while braid.mark_due is None:
        braid.cross()
    braid.mark_done()
    return braid


def test_the_card_keeps_what_hung(benches: Benches) -> None:
    """Tama and weights are those of the set-up; core, plain crosses, marks and approval stand."""
    bench, _ = benches
    door = bench.begin("door", "silver-eaves")
    spoilt, sample = begun(bench, 1), begun(bench, 2)
    spoilt.give_up("a broken bead")
    sample.see_point("high")
    sample.finish("good")
    sample.measure({"length_mm": 61.0}, sample=True)
    bench.journal.append(SampleApproved(sample.piece, "2027-03-02"), pieces=door)
    (first, *_, hung) = [said for _, said in bench.journal.each(WeightsHung, sample.piece)]
    assert first == hung
    assert hung.tama_g == (70.0,) * 8
    assert hung.counterweight_g == sum(hung.weights_g) + 5.0
    found = card(bench)
    assert (found.tama_g, found.counterweight_g, found.weights_g, found.as_hung) == (
        hung.tama_g, hung.counterweight_g, hung.weights_g, True,
    )  # fmt: skip
    assert (found.plain_start, found.plain_end) == (4, 4)
    assert found.core is not None
    assert (found.core.on, found.core.beads) == ("wire", "8a 8b 7c 5b 1a")
    assert [(one.after_cross, one.done) for one in found.on_the_way][:2] == [(16, True), (16, True)]
    assert not found.on_the_way[-1].done
    assert (found.signed_off is not None, found.approved) == (True, "2027-03-02")
    said = facts(found)
    for part in (
        "approved by the customer on 2027-03-02",
        "on a wire",
        "4 plain, 64 with beads, 4 plain: 72 in all",
        f"counterweight {hung.counterweight_g:g} g (200 + 50 + 10 + the bag's 5)",
        "EACH STRAND 3a 3b 3c 3d 2c 1b 1a",
        "as hung",
        "after cross 16: point of braiding too high",
        "Lot 1 1, given up: a broken bead",
        "as it was on",
    ):
        assert part in said, part


def test_a_piece_that_was_not_set_up_here_goes_by_the_settings(benches: Benches) -> None:
    """What did not hang by the program's word is told as of today; a spoilt piece by its reason."""
    bench, _ = benches
    bench.begin("door", "silver-eaves")
    bench.make("door", "Lot 1")
    other = bench.make("door", "Lot 1")
    bench.journal.append(Inspected("spoilt", "glue bloom"), pieces=other)
    found = card(bench)
    assert (found.as_hung, found.approved, found.not_good[0].reason) == (False, None, "glue bloom")
    assert "as your settings are today" in facts(found)


def test_an_empty_dye_lot_is_told_with_what_is_left() -> None:
    """Of a bead whose dye lot ran out it is said, with what there is of others, and the need."""

    def said(*left: tuple[str, int, bool]) -> list[str]:
        lots = tuple(DyeLotLeft(dye_lot=lot, left=held, used=used) for lot, held, used in left)
        bead = RecipeBead(
            letter="c", size="8/0", shape="round", name="cloud", colour="#ffffff", count=10,
            core=0, dye_lots=(), numbers=(), left=lots,
        )  # fmt: skip
        return list(beads_differ([bead], 4))

    assert not said(("P11", 40, True), ("P12", 9, False))
    assert not said(("", 3, True))
    assert said(("P11", 0, True), ("P12", 50, True)) == [
        "8/0 cloud: dye lot P11 is empty; of dye lot P12 50 are left"
    ]
    assert said(("P11", 0, True), ("P12", 30, False), ("P13", 0, False)) == [
        "8/0 cloud: dye lot P11 is empty; of dye lot P12, another one, 30 are left; 40 are needed"
    ]
    assert said(("P11", 1, True)) == ["8/0 cloud: of dye lot P11 1 is left; 40 are needed"]


def test_once_more_keeps_customer_price_terms_and_the_card(benches: Benches) -> None:
    """The new order's file has all of it; its own card is that of the piece until one is made."""
    bench, _ = benches
    bench.begin("door", "silver-eaves")
    bench.change("door", "Lot 1", price="34.00", due=DAY)
    book = bench.book("door")
    terms = {"deposit_percent": "30", "tax_percent": "20", "holds_until": "2027-03-09",
             "design_hours": 3.0}  # fmt: skip
    order = with_terms(with_values(book.commission, whom="M. Ashgrove"), terms)
    bench.journal.append_many(keep(book, order, DAY))
    bench.make("door", "Lot 1")
    book = bench.book("door")
    (lot,) = book.commission.lots
    card_of_it = card_of(bench.journal, bench.library, book, lot)
    like = lot.model_copy(update={"like": like_of(card_of_it.piece, card_of_it.book)})
    assert as_before(book, like) == (
        "made like Lot 1 1 of Door; as then: for M. Ashgrove, 34.00 a piece, deposit 30 %,"
        " tax 20 %; its day, and until when an offer holds, are new"
    )
    new = begun_again(bench.library, book, like, "porch", "Porch")
    bench.journal.append_many(keep(new, new.commission, DAY))
    again = bench.book("porch")
    (own,) = again.commission.lots
    assert again.commission.whom == "M. Ashgrove"
    assert (own.price, own.like) == (lot.price, like.like)
    assert own.id != lot.id, "the new lot is another one"
    assert lot.due is not None
    assert (own.due, again.commission.due) == (None, None)
    assert again.id != book.id
    assert again.commission.terms.tax_percent == Decimal(20)
    assert again.commission.terms.deposit_percent == Decimal(30)
    assert again.commission.terms.holds_until is None
    assert not again.commission.terms.design_hours
    told = commission_answer(again, again.commission, (), waits=False)
    assert "LIKE Lot 1: as Lot 1 1 of Door" in " ".join(" ".join(commission_lines(told)).split())
    found = read_recipe(bench.journal, bench.library, Settings(), again, own, fit([]))
    assert (found.commission, found.piece, found.like) == ("door", "Lot 1 1", "Lot 1 1 of Door")
    assert "BEGUN LIKE Lot 1 1 of Door" in facts(found)
    made = bench.make("porch", "Lot 1")
    found = read_recipe(bench.journal, bench.library, Settings(), again, own, fit([]))
    assert (found.commission, found.like) == ("porch", "Lot 1 1 of Door")
    assert with_lot(again.commission, own.name, {"pieces": 5}).lots[0].like == own.like
    assert with_lot(again.commission, own.name, {"pattern": "cistern"}).lots[0].like is None
    for piece, length in ((card_of_it.piece.state.uuid, 60.0), (made, 50.0)):
        bench.journal.append(Measured(False, length_mm=length), pieces=piece)
    again = bench.book("porch")
    (line,) = pieces_answer(
        again, read_pieces(bench.journal, again), Settings().shop, (), waits=False
    ).pieces
    assert line.off == ("length -10.0 mm (±1.8 allowed)",), "held against the old one"


def test_weights_that_change_on_the_way_are_kept(benches: Benches) -> None:
    """Of a long rope the card says what hung at first, and from after which cross what hung."""
    bench, _ = benches
    made = WorkedPattern.from_library(bench.library, Settings(), "stair-rope")
    assert made.weighing is not None
    steps = made.weighing.steps
    braid = Braid.start(bench.journal, made, stage="set_up")
    set_up = SetUp.of(braid, Settings())
    while set_up.step_on():
        pass
    ((_, hung),) = bench.journal.each(WeightsHung, braid.piece)
    assert [hung.counterweight_g, *(one.counterweight_g for one in hung.later)] == [
        step.counterweight_g for step in steps
    ]
    assert [one.cross for one in hung.later] == [step.cross for step in steps[1:]]
    assert hung.later
