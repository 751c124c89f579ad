"""Values as they are typed on the pages of an order."""

from __future__ import annotations

import datetime as dt

import pytest

from bench.craft.text import Fault
from bench.screens.lists.typed_values import day_that_was, day_to_come


def test_a_day_is_taken_as_the_lists_write_it() -> None:
    """With a year, or without one: then it is the next day of that name."""
    today = dt.date.today()
    far = today + dt.timedelta(days=200)
    assert day_to_come(far.isoformat()) == far
    assert day_to_come(f"{far.day} {far:%b %Y}") == far
    for days in (0, 40, 300):
        day = today + dt.timedelta(days=days)
        found = day_to_come(f"{day.day} {day:%b}")
        assert found == day


@pytest.mark.parametrize("text", ["soon", "31 Feb", "2020-01-01", "1 May 2020"])
def test_what_is_no_day_to_come_is_told(text: str) -> None:
    """No day, and one that is past, are told in a sentence."""
    with pytest.raises(Fault):
        day_to_come(text)


def test_a_day_that_was_is_the_last_of_its_name() -> None:
    """Without its year it is the last one of that name; one to come, and a span, are told."""
    today = dt.date(2028, 1, 10)
    assert day_that_was("1 Dec", today) == dt.date(2027, 12, 1)
    assert day_that_was("10 Jan", today) == today
    assert day_that_was("29 Feb", today) == dt.date(2024, 2, 29)
    for text in ("2028-01-11", "11 Jan 2028", "in 8 weeks", "3 days", "soon"):
        with pytest.raises(Fault):
            day_that_was(text, today)
