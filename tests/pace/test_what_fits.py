"""What can be finished in the time at hand."""

from __future__ import annotations

import math
import random
from collections.abc import Sequence
from dataclasses import replace
from itertools import permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bench.pace.bench_order import StagesAhead, best_order, starts_of
from bench.pace.evening_plan import PieceAhead
from bench.pace.guess import guess
from bench.pace.model import Model, fit
from bench.pace.predictive import Job, by_stage, forecast
from bench.pace.records import Outcome, PieceRecord, StageTime, Work
from bench.pace.what_fits import Schedule, what_fits

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


def test_no_time_and_no_stand() -> None:
    """No time, no stand, and pieces that cannot be told apart are refused."""
    with pytest.raises(ValueError, match="some time"):
        what_fits(GOOD, waiting(1), 0.0)
    with pytest.raises(ValueError, match="stand"):
        what_fits(GOOD, waiting(1), 60.0, stands=0)
    with pytest.raises(ValueError, match="name"):
        what_fits(GOOD, waiting(1) * 2, 60.0)


def keeps_the_turn(
    pieces: Sequence[StagesAhead], order: Sequence[int], starts: Sequence[float]
) -> bool:
    """Whether no stage is done before an earlier piece's, nor a dry one left while one loads."""
    done = [0] * len(pieces)
    dry = [piece.ready_s if piece.braided else math.inf for piece in pieces]
    clock = 0.0
    for n, start in zip(order, starts, strict=True):
        stage, seconds = pieces[n].stages[done[n]]
        for m, other in enumerate(pieces[:n]):
            left = [name for name, _ in other.stages[done[m] :]]
            is_dry = left == ["finish"] and dry[m] <= clock
            if stage in left and (stage != "finish" or is_dry):
                return False
            if stage == "load" and left == ["finish"] and other.braided and other.ready_s <= 0:
                return False
        done[n] += 1
        clock = start + seconds
        if stage == "braid":
            dry[n] = clock + pieces[n].dry_s
    return True


def brute_end_s(pieces: Sequence[StagesAhead], stands: int) -> float:
    """The earliest end over every order of the stages there is, none left out, that is in turn."""
    numbers = [n for n, piece in enumerate(pieces) for _ in piece.stages]
    ends = [math.inf]
    for order in set(permutations(numbers)):
        laid = starts_of(pieces, stands, order, 1.0)
        if laid is not None and keeps_the_turn(pieces, order, laid[0]):
            ends.append(laid[1])
    return min(ends)


@given(
    st.lists(
        st.tuples(st.sampled_from([300.0, 900.0, 2000.0]), st.sampled_from([60.0, 1200.0])),
        min_size=1,
        max_size=2,
    ),
    st.integers(1, 2),
    st.sampled_from([None, 0.0, 100.0, 1500.0]),
)
@settings(max_examples=25, deadline=None)
def test_no_order_is_better_than_the_best(
    kinds: list[tuple[float, float]], stands: int, drying_s: float | None
) -> None:
    """The order that is chosen ends as early as the best of all that keep the turn, each tried."""
    dries = StagesAhead("dries", (("finish", 700.0),), True, 0.0, drying_s or 0.0, True)
    pieces = [
        StagesAhead(
            f"{n}",
            (("load", 0.4 * unit), ("set_up", 0.3 * unit), ("braid", unit), ("finish", 500.0)),
            braided=False,
            dry_s=dry_s,
            ready_s=0.0,
            on_stand=False,
        )
        for n, (unit, dry_s) in enumerate(kinds)
    ]
    if drying_s is not None:
        pieces.insert(0, dries)
    order = best_order(pieces, stands)
    assert order is not None
    laid = starts_of(pieces, stands, order, 1.0)
    assert laid is not None
    assert keeps_the_turn(pieces, order, laid[0])
    assert laid[1] == pytest.approx(brute_end_s(pieces, stands))


@pytest.mark.parametrize("hours", [1.75, 2.0, 2.25, 2.5, 3.0, 3.5])
def test_the_chance_told_is_the_share_of_evenings_that_it_fits(hours: float) -> None:
    """Of evenings drawn from the pace, laid out in the best order each, so many hold the plan."""
    found = what_fits(GOOD, waiting(4, 1800.0), hours * 3600)
    rng, evenings = random.Random(int(hours * 4)), 150
    for more, told in ((0, found.chance), (1, found.one_more)):
        count = len(found.finished) + more
        if not count or told is None or told in (0.0, 0.001, 0.999):
            continue
        work, stages = forecast(GOOD, [JOB] * count), by_stage(GOOD, JOB)
        fits = 0
        for _ in range(evenings):
            half = work.degrees_of_freedom / 2
            slow = math.exp(
                work.log_sd * rng.gauss(0, 1) / math.sqrt(rng.gammavariate(half, 1 / half))
            )
            piece = tuple((stage, slow * said.quantile(0.5)) for stage, said in stages.items())
            ahead = [StagesAhead(f"{n}", piece, False, 1800.0, 0.0, False) for n in range(count)]
            order = best_order(ahead, 1)
            assert order is not None
            laid = starts_of(ahead, 1, order, 1.0)
            fits += laid is not None and laid[1] <= hours * 3600
        error = math.sqrt(max(0.02, told * (1 - told)) / evenings)
        assert fits / evenings == pytest.approx(told, abs=3 * error + 0.01)


def test_a_plan_far_from_the_limit_is_told_as_good_as_sure() -> None:
    """A piece that needs a third of the time is not told with the chance that was asked for."""
    need_s = forecast(GOOD, [JOB]).quantile(0.5)
    found = what_fits(GOOD, waiting(1, 600.0), 3 * need_s)
    assert found.finished == ("drop 1",)
    assert found.chance > 0.99
    assert found.one_more is None


def test_a_piece_too_many_is_told_with_its_small_chance() -> None:
    """Where one piece fits and a second hardly, the second one's chance is told beside it."""
    found = what_fits(GOOD, waiting(3, 600.0), 0.97 * forecast(GOOD, [JOB] * 2).quantile(0.5))
    assert len(found.finished) == 1
    assert found.one_more is not None
    assert 0.1 < found.one_more < 0.6


LONG = Work(1024, 8, 1024)
ROPE = Job("Stair Rope", None, None, LONG)
OTHER = Job("Downpipe", None, None, DROP)


def pieces_of(n: int, job: Job, lot: str) -> list[PieceAhead]:
    """So many pieces of a lot, not begun."""
    return [PieceAhead(f"{lot} {i + 1}", job, 1800.0, lot=lot) for i in range(n)]


@given(
    st.permutations(["rope", "drops", "others"]), st.floats(0.25, 5.0), st.integers(1, 2),
    st.booleans(),
)  # fmt: skip
@settings(max_examples=12, deadline=None)
def test_the_evening_goes_by_the_turn(
    lots: list[str], hours: float, stands: int, begun: bool
) -> None:
    """The first load is the first lot's; no lot's is loaded before an earlier one's; it is full.

    Nothing is done of a later piece before the first piece, but in the time that it cannot use.
    """
    kinds = {"rope": (ROPE, 1), "drops": (JOB, 3), "others": (OTHER, 9)}
    pieces = [p for lot in lots for p in pieces_of(kinds[lot][1], kinds[lot][0], lot)]
    if begun:
        half = replace(ROPE, shares=(("braid", 0.7), ("finish", 1.0)))
        pieces = [
            replace(p, job=half, on_stand=True) if p.lot == "rope" else p for p in pieces
        ]  # fmt: skip
    found = what_fits(GOOD, pieces, hours * 3600, stands=stands)
    check(found, pieces, hours * 3600, stands)
    place = {piece.name: n for n, piece in enumerate(pieces)}
    loads = [place[step.name] for step in found.steps if step.stage == "load"]
    assert loads == sorted(loads)
    turn = sorted(pieces, key=lambda piece: (not piece.on_stand, place[piece.name]))
    assert found.steps[0].name == turn[0].name
    assert hours * 3600 - found.end_s < 1800.0 + 900.0
    for step in found.steps:
        if step.part is not None:
            assert 0 < step.part.units < step.part.left <= step.part.whole


def test_a_long_braid_is_gone_on_with_in_part() -> None:
    """Three hours of a rope of ten are a third of its crosses, as the last and only step."""
    half = replace(ROPE, shares=(("braid", 0.5), ("finish", 1.0)))
    rope = PieceAhead("Rope 1", half, 0.0, on_stand=True, lot="rope")
    need_s = by_stage(GOOD, half)["braid"].quantile(0.8)
    (step,) = what_fits(GOOD, [rope, *waiting(9)], need_s / 3).steps
    assert (step.name, step.stage) == ("Rope 1", "braid")
    assert step.part is not None
    assert (step.part.left, step.part.whole) == (512, 1024)
    assert step.part.units == pytest.approx(512 / 3, rel=0.03)
    assert step.end_s <= need_s / 3


def test_glue_is_not_left_half_done() -> None:
    """Where nothing is left but to finish a piece, and that does not fit, there is no step."""
    left = PieceAhead("drop 1", replace(JOB, shares=(("finish", 1.0),)), 0.0)
    assert what_fits(GOOD, [left], 60.0).steps == ()
