"""The order of lots against every order there is, and the published rule of earliest due date."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import chain, permutations

from hypothesis import given, settings
from hypothesis import strategies as st

from bench.commission.turns import LotAhead, Turn, comes_next, in_turn, shortfalls

TODAY = dt.date(2027, 3, 1)
LOTS = st.lists(
    st.builds(
        LotAhead,
        st.sampled_from("abcdefgh"), st.integers(1, 9), st.integers(1, 30).map(float),
        st.integers(1, 60).map(lambda days: TODAY + dt.timedelta(days=days)),
        st.booleans(), st.sampled_from(["", "", "Two"]),
    ).map(lambda lot: replace(lot, sample=lot.sample and not lot.order)),
    min_size=1, max_size=5, unique_by=lambda lot: (lot.name, lot.order),
).map(lambda lots: sorted(lots, key=lambda lot: not lot.order))  # fmt: skip
"""Lots with a day, some with a sample to be made, some of another order; those first."""


def lateness(order: Sequence[Turn], hours_a_day: float) -> float:
    """The greatest lateness in days, the turns taken one after the other."""
    done, worst = 0.0, float("-inf")
    for turn in order:
        done += turn.lot.hours * turn.pieces / turn.lot.pieces
        assert turn.lot.due is not None
        worst = max(worst, done / hours_a_day - (turn.lot.due - TODAY).days)
    return worst


@settings(max_examples=80, deadline=None)
@given(LOTS)
def test_no_order_is_less_late(lots: list[LotAhead]) -> None:
    """Earliest due date first: the greatest lateness is the least of all orders (Jackson 1955).

    Of all orders in which the samples come first, each lot's piece by piece in one turn or two.
    """
    found = in_turn(lots)
    samples = [turn for turn in found if turn.sample]
    assert list(found[: len(samples)]) == samples
    assert sum(turn.pieces for turn in found) == sum(lot.pieces for lot in lots)
    assert {turn.lot for turn in samples} == {lot for lot in lots if lot.sample}
    best = min(
        lateness([*first, *rest], 2.0)
        for first in permutations(samples)
        for rest in permutations(found[len(samples) :])
    )
    assert lateness(found, 2.0) <= best + 1e-9


def piece_by_piece(lots: Sequence[LotAhead]) -> Iterator[tuple[LotAhead, float]]:
    """Every piece with its hours: first the samples, then by day, other orders first."""
    by_day = sorted(lots, key=lambda lot: (lot.due or dt.date.max, not lot.order))
    samples = ((lot, lot.hours / lot.pieces) for lot in by_day if lot.sample)
    rest = (
        (lot, lot.hours / lot.pieces)
        for lot in by_day
        for _ in range(lot.pieces - lot.sample)
    )  # fmt: skip
    return chain(samples, rest)


def done_after(lots: Sequence[LotAhead], wanted: Sequence[LotAhead]) -> float:
    """Hours until the last piece of some lots is made."""
    clock, last = 0.0, 0.0
    for lot, hours in piece_by_piece(lots):
        clock += hours
        last = clock if lot in wanted else last
    return last


def until(day: dt.date, a_week: int) -> float:
    """Hours from today up to the end of a day."""
    return a_week * ((day - TODAY).days + 1) / 7


@settings(max_examples=150, deadline=None)
@given(LOTS, st.integers(1, 40))
def test_a_day_holds_just_when_its_hours_are_there(lots: list[LotAhead], a_week: int) -> None:
    """Short by what its last piece, made in its turn, comes too late; the choices hold."""
    own = [lot for lot in lots if not lot.order]
    days = shortfalls(lots, TODAY, a_week)
    assert [day.due for day in days] == sorted({lot.due for lot in own if lot.due is not None})
    for day in days:
        promised = [lot for lot in own if lot.due is not None and lot.due <= day.due]
        needed, there = done_after(lots, promised), until(day.due, a_week)
        assert abs(day.hours - needed) < 1e-9
        assert abs(day.short_h - max(0.0, needed - there)) < 1e-9
        assert sum(hours for _, hours in day.others) <= day.hours + 1e-9
        if day.short_h <= 1e-9:
            continue
        *more, part, later = day.choices
        for said in more:
            if said.startswith("let"):
                without = [replace(lot, sample=lot.sample and lot in promised) for lot in lots]
                assert done_after(without, promised) <= there + 1e-9
            else:
                assert float(said.split()[1]) * there / a_week >= needed - 1e-9
        clock, count = 0.0, 0
        for lot, hours in piece_by_piece(lots):
            clock += hours
            count += lot in promised and clock <= there + 1e-9
        assert part == f"hand over {count} of {sum(x.pieces for x in promised)} pieces by then"
        assert later == f"agree on {first_day(lots, promised, day.due, a_week)} for all of it"


def first_day(
    lots: Sequence[LotAhead], promised: Sequence[LotAhead], day: dt.date, a_week: int
) -> dt.date:
    """Try one day after the other: the first one that holds for what was promised for another."""
    while True:
        moved = {lot: LotAhead(lot.name, lot.pieces, lot.hours, day, lot.sample)
                 for lot in promised}  # fmt: skip
        other = [moved.get(lot, lot) for lot in lots]
        if done_after(other, list(moved.values())) <= until(day, a_week) + 1e-9:
            return day
        day += dt.timedelta(days=1)


def test_a_sample_comes_first_and_says_why() -> None:
    """The sample that is awaited leads, the rest of its lot has its turn by its day."""
    may = dt.date(2027, 5, 1)
    lots = [
        LotAhead("Rope", 1, 9.0),
        LotAhead("Plum", 8, 10.0, may),
        LotAhead("Eaves", 16, 20.0, may + dt.timedelta(days=7), sample=True),
        LotAhead("Done", 0, 0.0, may),
    ]
    turns = in_turn(lots)
    assert [(turn.lot.name, turn.pieces) for turn in turns] == [
        ("Eaves", 1), ("Plum", 8), ("Eaves", 15), ("Rope", 1),
    ]  # fmt: skip
    assert turns[0].why == "before Rope, Plum: a sample comes first"
    assert turns[1].why == "before Rope: 2027-05-01 comes first"
    assert turns[3].why == ""


def test_an_awaited_sample_takes_its_own_hours_of_an_earlier_day_alone() -> None:
    """Eight hours due in six days hold, though a lot of next winter waits for its sample."""
    lots = [
        LotAhead("Plum", 8, 8.0, TODAY + dt.timedelta(days=6)),
        LotAhead("Eaves", 100, 100.0, TODAY + dt.timedelta(days=200), sample=True),
    ]
    soon, far = shortfalls(lots, TODAY, 10.0)
    assert (soon.hours, soon.short_h) == (9.0, 0.0)
    assert far.hours == 108.0
    lots[1] = replace(lots[1], pieces=20)
    (soon, _) = shortfalls(lots, TODAY, 10.0)
    assert soon.short_h == 3.0
    assert soon.choices[1] == "let what is promised later wait with its sample: Eaves"


def test_another_order_takes_its_hours_first() -> None:
    """What is promised earlier, or for the same day, in another order comes off before."""
    day = TODAY + dt.timedelta(days=13)
    own = LotAhead("Plum", 12, 24.0, day)
    for late, hours in ((0, 48.0), (-3, 48.0), (1, 24.0)):
        other = LotAhead("Plum", 12, 24.0, day + dt.timedelta(days=late), order="Two")
        (found,) = shortfalls([other, own], TODAY, 10.0)
        assert found.hours == hours
        assert (found.others == (("Two", 24.0),)) == (hours > 24)
        assert found.lots == ("Plum",)
        first = comes_next([other, own])
        assert ("'Two' comes first" in first) == (late < 0)
        assert ("same day" in first) == (late == 0)
        assert first.startswith("this order comes before 'Two'") == (late > 0)
    assert comes_next([own]) == ""


def test_no_day_of_the_calendar_is_said() -> None:
    """Work for thousands of years is told, and no week has more than its hours."""
    lots = [LotAhead("Plum", 20_000, 20_000.0, TODAY)]
    ((*_, part, later),) = (day.choices for day in shortfalls(lots, TODAY, 0.01))
    assert re.fullmatch(r"hand over 0 of 20000 pieces by then", part)
    assert "no day of this calendar" in later
