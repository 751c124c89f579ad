"""Values as they are typed on the pages of an order, and how they are asked for."""

from __future__ import annotations

import datetime as dt

from bench.craft.text import Fault

DAY_ASKS = "A day as 2027-05-01; “none” takes it away."
AMOUNT_ASKS = "An amount as 30.50; “none” takes it away."


def day_to_come(text: str) -> dt.date | None:
    """A typed day; None for none. Raises Fault for no day, and for one that is past."""
    if text == "none":
        return None
    try:
        day = dt.date.fromisoformat(text)
    except ValueError:
        raise Fault(f"'{text}' is no day; write it as 2027-05-01") from None
    if day < dt.date.today():
        raise Fault(f"{day} is past; give a day to come, or none")
    return day
