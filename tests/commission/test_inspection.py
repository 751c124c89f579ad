"""Measures against the sample: the tolerance, and beside it the maker's own scatter."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bench.answers.pieces import SampleLine
from bench.commission.inspection import (
    LEAST_FOR_SCATTER,
    Measures,
    deviations,
    judged,
    scatter,
    scatters,
)
from bench.commission.pieces import read_pieces
from bench.commission.pieces_answer import pieces_answer
from bench.documents.settings import ShopSettings
from bench.journal.payloads import Measured
from bench.sheets.pieces import sample_said
from tests.support.two_benches import Benches


@given(st.lists(st.floats(1.0, 500.0), max_size=12))
def test_the_scatter_is_that_of_a_sample(values: list[float]) -> None:
    """From five known values on it is numpy's standard deviation with one degree taken off."""
    found = scatter([*values, None])
    if len(values) < LEAST_FOR_SCATTER:
        assert found is None
    else:
        assert found == pytest.approx(np.std(values, ddof=1), abs=1e-9)


def test_a_measure_stands_beside_its_tolerance_and_the_scatter() -> None:
    """What is within the tolerance is judged too; the scatter is told of each that five have."""
    sample, shop = Measures(60.0, 7.0, 6.0), ShopSettings()
    five = [Measures(59.0 + k, 7.0 + k / 10, 6.0 if k else None) for k in range(5)]
    own = scatters(five)
    assert own.weight_g is None
    piece = Measures(62.5, 7.1, 6.2)
    held = {one.what: one.held for one in judged(piece, sample, shop, own)}
    assert held == {
        "length": "±1.8 allowed, yours scatter by 1.6",
        "thickness": "±0.3 allowed, yours scatter by 0.2",
        "weight": "±0.30 allowed",
    }
    (off,) = deviations(piece, sample, shop, own)
    assert off.says == "length +2.5 mm (±1.8 allowed, yours scatter by 1.6)"
    assert not judged(Measures(), sample, shop, own)


def test_the_scatter_of_all_measures_is_told_of_the_sample(benches: Benches) -> None:
    """`inspect` tells it of length, thickness and weight, once five good pieces are measured."""
    bench, _ = benches
    bench.begin("door", "silver-eaves", pieces=6)

    def sample() -> SampleLine:
        book = bench.book("door")
        found = read_pieces(bench.journal, book)
        return pieces_answer(book, found, ShopSettings(), (), waits=False).samples[0]

    for number in range(5):
        assert sample().scatter_length_mm is None
        piece = bench.make("door", "Lot 1")
        said = Measured(not number, 60.0 + number, 7.0, weight_g=6.0 + number / 10)
        bench.journal.append(said, pieces=piece)
    assert sample().scatter_length_mm == pytest.approx(1.581)
    assert "scatter by 1.6 mm of length, 0.00 mm of thickness, 0.16 g" in sample_said(sample())
