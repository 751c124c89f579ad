"""Days and amounts of an event are what their names say, or the event is not understood."""

from __future__ import annotations

from typing import get_type_hints

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bench.journal.commission_payloads import AgreedLot
from bench.journal.payloads import kinds
from bench.journal.typed_json import Limits
from bench.journal.typed_texts import Amount, Day, DayText, DecimalText, Percent

DAYS = ("", "\n", "x" * 5000, "NaN", "-5", "2027-13-45", "20270104", "2027-W01-1", "[b]x[/b]")
NUMBERS = (
    "",
    "\n",
    "x" * 5000,
    "NaN",
    "Infinity",
    "-5",
    "1e30",
    "1e-300",
    "2027-01-04",
    "[b]1[/b]",
)


@pytest.mark.parametrize("text", DAYS)
def test_what_is_no_day_is_none(text: str) -> None:
    """A day is written as ISO 8601 writes it with dashes, and lies in the calendar."""
    assert not DayText().holds(text)


@pytest.mark.parametrize("limits", [DecimalText(10**9), DecimalText(100)])
@pytest.mark.parametrize("text", NUMBERS)
def test_what_is_no_amount_is_none(text: str, limits: Limits) -> None:
    """An amount is a number from nothing to its most that a calculation can go on with."""
    assert not limits.holds(text)


@given(st.dates(), st.decimals(0, 100, places=4))
def test_days_and_amounts_as_the_program_writes_them_are_taken(day: object, number: object) -> None:
    """Every day, and every amount of four places or fewer, as text."""
    assert DayText().holds(str(day))
    assert DecimalText(100).holds(str(number))


def test_a_days_and_an_amounts_field_is_typed_so_in_every_kind() -> None:
    """No event can bring a day or an amount that its readers cannot reckon with."""
    money = {"amount", "price", "each", "design", "notions", "deposit", "materials"}
    wanted = {**dict.fromkeys(("day", "due"), Day), **dict.fromkeys(money, Amount)}
    wanted |= {"discount_percent": Percent, "tax_percent": Percent}
    seen = set()
    for model in (*kinds().values(), AgreedLot):
        for name, form in get_type_hints(model, include_extras=True).items():
            if name in wanted:
                assert form in (wanted[name], wanted[name] | None), (model, name)
                seen.add(name)
    assert seen == set(wanted)
