"""The order of lots against every order there is, and the published rule of earliest due date."""

from __future__ import annotations

import datetime as dt
from itertools import permutations

from hypothesis import given, settings
from hypothesis import strategies as st

from bench.commission.turns import LotAhead, in_turn, shortfalls

TODAY = dt.date(2027, 3, 1)
LOTS = st.lists(
    st.builds(
        LotAhead,
        st.sampled_from("abcdefgh"), st.integers(1, 9), st.integers(1, 30).map(float),
        st.integers(1, 60).map(lambda days: TODAY + dt.timedelta(days=days)),
    ),
    min_size=1, max_size=5, unique_by=lambda lot: lot.name,
)  # fmt: skip


def lateness(order: list[LotAhead], hours_a_day: float) -> float:
    """The greatest lateness in days, the lots done one after the other."""
    done, worst = 0.0, float("-inf")
    for lot in order:
        done += lot.hours
        assert lot.due is not None
        worst = max(worst, done / hours_a_day - (lot.due - TODAY).days)
    return worst


@settings(max_examples=80, deadline=None)
@given(LOTS)
def test_no_order_is_less_late(lots: list[LotAhead]) -> None:
    """Earliest due date first: the greatest lateness is the least of all orders (Jackson 1955)."""
    found = [turn.lot for turn in in_turn(lots)]
    best = min(lateness(list(order), 2.0) for order in permutations(lots))
    assert lateness(found, 2.0) <= best + 1e-9


@settings(max_examples=80, deadline=None)
@given(LOTS, st.integers(1, 40))
def test_a_day_holds_just_when_its_hours_are_there(lots: list[LotAhead], a_week: int) -> None:
    """Short by the hours of all that is promised by then, less those until then; with choices."""
    turns = in_turn(lots)
    for day in shortfalls(turns, TODAY, a_week):
        promised = sum(lot.hours for lot in lots if lot.due is not None and lot.due <= day.due)
        there = a_week * ((day.due - TODAY).days + 1) / 7
        assert abs(day.short_h - max(0.0, promised - there)) < 1e-9
        assert len(day.choices) == (3 if day.short_h > 0 else 0)


def test_a_sample_comes_first_and_says_why() -> None:
    """The lot whose sample is awaited leads; who leaves the order of the lots says why."""
    may = dt.date(2027, 5, 1)
    lots = [
        LotAhead("Rope", 1, 9.0),
        LotAhead("Plum", 8, 10.0, may),
        LotAhead("Eaves", 16, 20.0, may + dt.timedelta(days=7), sample=True),
        LotAhead("Done", 0, 0.0, may),
    ]
    turns = in_turn(lots)
    assert [turn.lot.name for turn in turns] == ["Eaves", "Plum", "Rope"]
    assert turns[0].why == "before Rope, Plum: its sample is waited for"
    assert turns[1].why == "before Rope: it is promised for 2027-05-01"
    assert turns[2].why == ""
