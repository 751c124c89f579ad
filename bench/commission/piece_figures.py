"""What a piece comes to before it is begun: beads, measures, time, price, what the stock lacks."""

from __future__ import annotations

from dataclasses import dataclass

from bench.commission.materials import materials_of, priced_by
from bench.commission.needs import WorkedLot, needs_of
from bench.craft.stages import HANDS_ON
from bench.craft.words import length_said, thickness_said
from bench.documents.settings import Settings
from bench.documents.stock import Shelf
from bench.journal.frozen import work_of
from bench.making.worked_pattern import WorkedPattern
from bench.pace.intervals import LEVEL, Interval
from bench.pace.piece_in_hand import stages_of_piece
from bench.pace.price import Price, price
from bench.pace.records import Variant
from bench.timing.kept_figures import KeptFigures


@dataclass(frozen=True)
class PieceFigures:
    """The figures of one piece.

    Attributes:
        beads: on the strands, the core left out.
        grams: what these beads weigh.
        length: in words, as a range.
        length_low_mm: the least that the rules of length say, in mm, plain ends included.
        length_high_mm: the most.
        thickness: in words.
        diameter_mm: how thick it gets.
        hands_on: seconds with their range.
        level: how often that range holds; None for a guess, without a timed piece.
        price: with its range; None without an hourly rate.
        currency: of the price.
        price_says: what is in the price, or why there is none.
        lacks: what the stock has too little of, one each; all that is used up without a stock.

    """

    beads: int
    grams: float
    length: str
    length_low_mm: float
    length_high_mm: float
    thickness: str
    diameter_mm: float
    hands_on: Interval
    level: float | None
    price: Price | None
    currency: str
    price_says: str
    lacks: tuple[str, ...]


def piece_figures(
    made: WorkedPattern, shelf: Shelf, figures: KeptFigures, settings: Settings
) -> PieceFigures:
    """Work out the figures of one piece of a pattern, by the maker's own times, rate and stock."""
    growth, work = made.growth, settings.work
    strung = [letter for load in made.plan.loads for letter in load if letter in made.masses_g]
    needs = needs_of(made.pattern.title, [WorkedLot(made.name, made, 1)], shelf, settings)
    expected = figures.next_piece(Variant(made.name, made.size, made.colourway))
    hands_on = stages_of_piece(expected, work_of(made.plan), HANDS_ON)
    materials = materials_of(needs, shelf.stock, settings.thumb)
    counted = materials is not None and materials.currency == work.currency
    without = priced_by(settings.shop)
    says = f"{without}; the stock has no price for the materials"
    if materials is not None:
        amount = f"{materials.amount:,.2f}"
        says = priced_by(settings.shop, amount)
        if not counted:
            says = f"{without}; materials on top, {amount} {materials.currency}"
        elif materials.unpriced:
            says += f", without {', '.join(materials.unpriced)}"
    if work.hourly_rate is None:
        said, says = None, "no hourly rate is set"
    else:
        cost = materials.amount if materials is not None and counted else 0.0
        said = price(
            hands_on,
            per_hour=work.hourly_rate,
            materials=cost,
            overhead=settings.shop.overhead,
            margin=work.margin,
        )
    return PieceFigures(
        beads=len(strung),
        grams=sum(made.masses_g[letter] for letter in strung),
        length=length_said(growth.low_mm, growth.high_mm),
        length_low_mm=growth.low_mm,
        length_high_mm=growth.high_mm,
        thickness=thickness_said(growth.diameter_mm, growth.diameter_at_most),
        diameter_mm=growth.diameter_mm,
        hands_on=hands_on.interval(),
        level=LEVEL if figures.pieces else None,
        price=said,
        currency=work.currency,
        price_says=says,
        lacks=needs.short if needs.stock is not None else tuple(one.what for one in needs.buy),
    )
