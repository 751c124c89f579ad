"""Values as they are typed on the pages of an order, and how they are asked for."""

from __future__ import annotations

import contextlib
import datetime as dt
import re
from collections.abc import Iterable, Iterator

from bench.craft.text import Fault

DAY_ASKS = "A day as 2027-05-01, 1 May or “in 8 weeks”; “none” takes it away."
AMOUNT_ASKS = "An amount as 30.50; “none” takes it away."


FULL = ("%Y-%m-%d", "%d %b %Y", "%d %B %Y")
NEXT_LEAP = 9
"""Within so many years every day has come once, 29 February too."""


def _in_full(text: str) -> dt.date | None:
    """A day with its year."""
    for form in FULL:
        with contextlib.suppress(ValueError):
            return dt.datetime.strptime(text, form).date()
    return None


def _of_that_name(text: str, years: Iterable[int]) -> Iterator[dt.date]:
    """The days of a name without its year, in years one after the other."""
    for year in years:
        day = _in_full(f"{text} {year}")
        if day is not None:
            yield day


def day_to_come(text: str) -> dt.date | None:
    """A typed day; None for none. Raises Fault for no day, and for one that is past.

    A day without its year, as the lists write it, is the next one of that name.
    """
    if text == "none":
        return None
    today = dt.date.today()
    ahead = re.fullmatch(r"(?:in )?(\d{1,4}) (day|week)s?", text.strip())
    if ahead is not None:
        return today + int(ahead[1]) * dt.timedelta(days=7 if ahead[2] == "week" else 1)
    named = _of_that_name(text, range(today.year, today.year + NEXT_LEAP))
    day = _in_full(text) or next((day for day in named if day >= today), None)
    if day is None:
        raise Fault(f"'{text}' is no day; write it as 2027-05-01, 1 May or “in 8 weeks”")
    if day < today:
        raise Fault(f"{day} is past; give a day to come, or none")
    return day


def day_that_was(text: str, today: dt.date | None = None) -> dt.date:
    """A typed day, today's or an earlier one. Raises Fault for no day, and for one to come.

    A day without its year is the last one of that name.
    """
    today = today or dt.date.today()
    named = _of_that_name(text, range(today.year, today.year - NEXT_LEAP, -1))
    day = _in_full(text) or next((day for day in named if day <= today), None)
    if day is None:
        raise Fault(f"'{text}' is no day; write it as 2027-05-01 or 1 May")
    if day > today:
        raise Fault(f"{day} is yet to come")
    return day


def typed_number(text: str, what: str) -> float:
    """A number that was typed. Raises Fault for anything below zero, and for no number."""
    try:
        value = float(text)
    except ValueError:
        value = -1.0
    if not 0 <= value < 1e9:
        hint = " (write 1.5, not 1,5)" if "," in text else ""
        raise Fault(f"{what} takes a number; '{text}' is none{hint}")
    return value
