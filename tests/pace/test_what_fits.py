"""What can be finished in the time at hand."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bench.pace.guess import guess
from bench.pace.model import Model, fit
from bench.pace.predictive import Job
from bench.pace.records import Outcome, PieceRecord, StageTime, Work
from bench.pace.what_fits import PieceAhead, Schedule, what_fits

DROP = Work(128, 8, 72)
JOB = Job("Silver Eaves", "as drawn", "rain", DROP)


def maker(outcomes: list[Outcome]) -> Model:
    """Fit a maker at the guessed speed whose pieces came out so."""
    stages = tuple(StageTime(s, DROP.units(s), t) for s, t in guess(DROP).items())
    return fit(
        [
            PieceRecord("Silver Eaves", "as drawn", "rain", DROP, float(i), stages, outcome=o)
            for i, o in enumerate(outcomes)
        ]
    )


GOOD = maker(["good"] * 20)


def waiting(n: int, dry_s: float = 1800.0) -> list[PieceAhead]:
    """So many pieces not begun."""
    return [PieceAhead(f"drop {i + 1}", JOB, dry_s) for i in range(n)]


def check(found: Schedule, pieces: list[PieceAhead], seconds: float, stands: int) -> None:
    """Check the laws that every plan keeps, read off its steps."""
    assert found.end_s <= seconds
    by_name = {p.name: p for p in pieces}
    last_end = 0.0
    braided, held = {}, []
    for step in found.steps:
        assert step.start_s >= last_end - 1e-6  # one pair of hands
        last_end = step.end_s
        if step.stage == "set_up":
            held.append((step.name, step.start_s))
        if step.stage == "braid":
            braided[step.name] = step.end_s
        if step.stage == "finish" and step.name in braided:
            assert step.start_s >= braided[step.name] + by_name[step.name].dry_s - 1e-6
    for _, start in held:
        busy = sum(
            1
            for other, begun in held
            if begun <= start
            and not (other in braided and braided[other] + by_name[other].dry_s <= start + 1e-6)
        )
        assert busy <= stands
    for name in found.finished:
        assert [s.stage for s in found.steps if s.name == name][-1] == "finish"


@given(st.integers(1, 8), st.floats(0.2, 9.0), st.integers(1, 3), st.floats(0.0, 7200.0))
@settings(max_examples=30)
def test_plans_keep_the_laws_of_the_bench(n: int, hours: float, stands: int, dry_s: float) -> None:
    """One pair of hands, no more pieces on stands than stands, nothing finished before dry."""
    pieces = waiting(n, dry_s)
    check(what_fits(GOOD, pieces, hours * 3600, stands=stands), pieces, hours * 3600, stands)


def test_drying_keeps_the_only_stand() -> None:
    """With a long drying a second stand lets more be finished in the same time."""
    pieces = waiting(8, 3 * 3600.0)
    one = what_fits(GOOD, pieces, 8 * 3600.0, stands=1)
    two = what_fits(GOOD, pieces, 8 * 3600.0, stands=2)
    assert len(one.finished) < len(two.finished)


def test_a_piece_that_dries_takes_the_stand_and_is_finished_first() -> None:
    """The stand is free, and the piece on it can be finished, only once it is dry."""
    left = replace(JOB, shares=(("finish", 1.0),))
    drying = PieceAhead("on the stand", left, 1800.0, drying_s=2400.0, on_stand=True)
    found = what_fits(GOOD, [*waiting(3), drying], 2 * 3600.0)
    assert found.finished == ("on the stand",)
    assert (found.steps[0].name, found.steps[0].stage) == ("drop 1", "load")
    assert {s.stage for s in found.steps if s.start_s < 2400.0} == {"load"}


def test_surer_means_less() -> None:
    """Asked for 95 % instead of 50 % no more is promised."""
    likely = what_fits(GOOD, waiting(8, 0.0), 5 * 3600.0, chance=0.5)
    sure = what_fits(GOOD, waiting(8, 0.0), 5 * 3600.0, chance=0.95)
    assert len(sure.finished) <= len(likely.finished)
    assert sure.steps[0].end_s > likely.steps[0].end_s


def test_no_time_and_no_stand() -> None:
    """No time, no stand, and pieces that cannot be told apart are refused."""
    with pytest.raises(ValueError, match="some time"):
        what_fits(GOOD, waiting(1), 0.0)
    with pytest.raises(ValueError, match="stand"):
        what_fits(GOOD, waiting(1), 60.0, stands=0)
    with pytest.raises(ValueError, match="name"):
        what_fits(GOOD, waiting(1) * 2, 60.0)
