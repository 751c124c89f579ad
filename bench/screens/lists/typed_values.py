"""Values as they are typed on the pages of an order, and how they are asked for."""

from __future__ import annotations

import contextlib
import datetime as dt
import re

from bench.craft.text import Fault

DAY_ASKS = "A day as 2027-05-01, 1 May or “in 8 weeks”; “none” takes it away."
AMOUNT_ASKS = "An amount as 30.50; “none” takes it away."


def _day(text: str, today: dt.date) -> dt.date | None:
    ahead = re.fullmatch(r"(?:in )?(\d{1,4}) (day|week)s?", text.strip())
    if ahead is not None:
        return today + int(ahead[1]) * dt.timedelta(days=7 if ahead[2] == "week" else 1)
    for form in ("%Y-%m-%d", "%d %b %Y", "%d %B %Y"):
        with contextlib.suppress(ValueError):
            return dt.datetime.strptime(text, form).date()
        with contextlib.suppress(ValueError):
            day = dt.datetime.strptime(f"{text} {today.year}", form).date()
            return day if day >= today else day.replace(year=today.year + 1)
    return None


def day_to_come(text: str) -> dt.date | None:
    """A typed day; None for none. Raises Fault for no day, and for one that is past.

    A day without its year, as the lists write it, is the next one of that name.
    """
    if text == "none":
        return None
    today = dt.date.today()
    day = _day(text, today)
    if day is None:
        raise Fault(f"'{text}' is no day; write it as 2027-05-01, 1 May or “in 8 weeks”")
    if day < today:
        raise Fault(f"{day} is past; give a day to come, or none")
    return day


def day_that_was(text: str) -> dt.date:
    """A typed day, today's or an earlier one. Raises Fault for no day, and for one to come."""
    today = dt.date.today()
    day = _day(text, today)
    if day is None:
        raise Fault(f"'{text}' is no day; write it as 2027-05-01 or 1 May")
    if day > today and str(day.year) not in text:
        day = day.replace(year=day.year - 1)
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
