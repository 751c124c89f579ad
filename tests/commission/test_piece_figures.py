"""The figures of a piece before it is begun agree with what the commands say of it."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest

from bench.commission.needs import WorkedLot, needs_of
from bench.commission.piece_figures import PieceFigures, piece_figures
from bench.documents.settings import Settings, ShopSettings, WorkSettings
from bench.documents.stock import Shelf, Stock, StockBead
from bench.journal.frozen import work_of
from bench.making.worked_pattern import WorkedPattern
from bench.pace.stage_predictive import guess_predictive
from bench.timing.kept_figures import KeptFigures
from tests.support.boards import library

EMPTY = Shelf(Stock(), None)


def worked(name: str = "silver-eaves") -> WorkedPattern:
    """A shipped pattern."""
    return WorkedPattern.from_library(library(), Settings(), name)


def figures(shelf: Shelf = EMPTY, overhead: int = 0, **work: object) -> PieceFigures:
    """Its figures without a piece recorded."""
    shop = ShopSettings(overhead_percent=Decimal(overhead))
    settings = Settings(work=WorkSettings.model_validate(work), shop=shop)
    return piece_figures(worked(), shelf, KeptFigures(), settings)


def test_a_plan_that_is_in_no_file_is_worked_up_alike() -> None:
    """A sheet's plan gives what the pattern's file gives."""
    from_file = worked()
    plan = library().plan(library().pattern_path("silver-eaves"))
    made = WorkedPattern.of_plan("silver-eaves", plan, Settings())
    assert (made.growth, made.marks, made.findings) == (
        from_file.growth, from_file.marks, from_file.findings,
    )  # fmt: skip


def test_beads_time_and_length_are_those_of_the_pattern() -> None:
    """Counts by the loads, the length's range by the growth, the guess without a level."""
    made, found = worked(), figures()
    assert found.beads == sum(map(len, made.plan.loads)) == 128
    assert (found.length_low_mm, found.length_high_mm) == (made.growth.low_mm, made.growth.high_mm)
    assert found.length == "60 to 63 mm"
    assert found.level is None
    assert found.hands_on.median_s == pytest.approx(
        guess_predictive().median_s(work_of(made.plan)), rel=1e-6
    )
    assert (found.price, found.price_says) == (None, "no hourly rate is set")


def test_a_price_is_hours_materials_overhead_and_margin() -> None:
    """By hand: the hours at the rate and the share of each priced tube, what comes on both."""
    made = worked()
    bead = made.pattern.beads["a"]
    stock = Stock(beads=(StockBead(size=bead.size, name=bead.name, tubes=1, tube_g=5, price=4.0),))
    found = figures(Shelf(stock, Path("stock.toml")), hourly_rate=20, margin=0.5)
    needs = needs_of("x", [WorkedLot("x", made, 1)], Shelf(stock, None), Settings())
    grams = next(one.grams for one in needs.beads if one.bead == "a")
    materials = grams / 5 * 4.0
    assert found.price is not None
    assert found.price.median == pytest.approx(
        (found.hands_on.median_s / 3600 * 20 + materials) * 1.5
    )
    assert found.price.low < found.price.median < found.price.high
    assert found.price_says.startswith(f"hours, materials ({materials:.2f}) and margin, without")
    dear = figures(Shelf(stock, Path("stock.toml")), overhead=10, hourly_rate=20, margin=0.5)
    assert dear.price is not None
    assert dear.price.median == pytest.approx(1.1 * found.price.median)
    assert dear.price_says.startswith(f"hours, materials ({materials:.2f}), overhead and margin")
    other = Stock(currency="JPY", beads=stock.beads)
    apart = figures(Shelf(other, Path("stock.toml")), hourly_rate=20, margin=0.5)
    assert apart.price is not None
    assert apart.price.median < found.price.median
    assert "on top" in apart.price_says


def test_what_the_stock_lacks_is_told() -> None:
    """With a stock what is short; without one all that is used up."""
    assert len(figures().lacks) >= 4
    stock = Stock(
        beads=tuple(
            StockBead(size=bead.size, name=bead.name, grams=100)
            for letter, bead in worked().pattern.beads.items()
            if letter != "b"
        )
    )
    lacks = figures(Shelf(stock, Path("stock.toml"))).lacks
    assert [one for one in lacks if "wet slate" in one]
    assert not [one for one in lacks if "rain grey" in one]
