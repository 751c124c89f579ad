"""Records and the simple use of them."""

from __future__ import annotations

import math

import pytest

from bench.pace.guess import guess, guess_whole_s
from bench.pace.own_times import own_times
from bench.pace.records import Outcome, PieceRecord, StageTime, Work

WORK = Work(128, 8, 72)


def piece(seconds: float, outcome: Outcome = "good", colourway: str = "rain") -> PieceRecord:
    """Give a finished piece known by its whole time."""
    return PieceRecord(
        "Silver Eaves", "as drawn", colourway, WORK, whole_s=seconds, outcome=outcome
    )


@pytest.mark.parametrize("seconds", [0.0, -5.0, math.nan, math.inf])
def test_times_that_cannot_be(seconds: float) -> None:
    """Zero, negative and endless times are refused, for stages and whole pieces."""
    with pytest.raises(ValueError, match="seconds"):
        StageTime("braid", 72, seconds)
    with pytest.raises(ValueError, match="seconds"):
        piece(seconds)


def test_records_that_say_nothing_or_twice() -> None:
    """A record needs a time, and each stage once."""
    with pytest.raises(ValueError, match="needs the time"):
        PieceRecord("x", "", "", WORK)
    twice = (StageTime("load", 3, 5.0), StageTime("load", 3, 5.0))
    with pytest.raises(ValueError, match="once"):
        PieceRecord("x", "", "", WORK, stages=twice)
    with pytest.raises(ValueError, match="unknown stage"):
        StageTime("dry", 1, 5.0)  # type: ignore[arg-type]


@pytest.mark.parametrize("counts", [(-1, 8, 4), (0, 0, 4), (0, 8, 0)])
def test_counts_that_cannot_be(counts: tuple[int, int, int]) -> None:
    """A piece without strands or crosses is refused."""
    with pytest.raises(ValueError, match="at least one"):
        Work(*counts)


def test_the_whole_is_known_when_all_stages_are() -> None:
    """Stages add up to a whole only if none that has work is missing."""
    some = (StageTime("set_up", 8, 600.0), StageTime("braid", 60, 900.0))
    every = (*some, StageTime("finish", 1, 1000.0))
    assert PieceRecord("x", "", "", Work(0, 8, 60), stages=every).total_s == 2500.0
    assert PieceRecord("x", "", "", Work(0, 8, 60), stages=some).total_s is None
    assert PieceRecord("x", "", "", WORK, stages=every).total_s is None


def test_own_times_step_by_step() -> None:
    """Nothing before a finished piece, then its time, from three on the median and spread."""
    records = [piece(4000.0, "given_up")]
    assert own_times(records, "Silver Eaves").median_s is None
    records.append(piece(4800.0))
    one = own_times(records, "Silver Eaves")
    assert (one.pieces, one.median_s, one.fastest_s) == (1, 4800.0, None)
    records += [piece(4500.0, "second"), piece(5400.0, colourway="dusk")]
    three = own_times(records, "Silver Eaves")
    assert (three.median_s, three.fastest_s, three.slowest_s) == (4800.0, 4500.0, 5400.0)
    assert own_times(records, "Cistern").pieces == 0


def test_guess_grows_with_the_counts() -> None:
    """More beads, strands or crosses never make the guess smaller; no beads, no loading."""
    base = guess_whole_s(WORK)
    assert guess_whole_s(Work(129, 8, 72)) > base
    assert guess_whole_s(Work(128, 12, 72)) > base
    assert guess_whole_s(Work(128, 8, 80)) > base
    assert guess(Work(0, 16, 400))["load"] == 0
