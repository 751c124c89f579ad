"""What several commands take: a pattern, the maker's stock, numbers."""

from __future__ import annotations

import argparse
import datetime as dt
from pathlib import Path
from typing import TYPE_CHECKING

from bench.craft.text import Fault, cleaned
from bench.session import Session

if TYPE_CHECKING:
    from bench.documents.stock import Shelf


def pattern_arguments(parser: argparse.ArgumentParser, *, optional: bool = False) -> None:
    """Declare what every command about a pattern takes."""
    parser.add_argument(
        "pattern",
        metavar="PATTERN",
        nargs="?" if optional else None,
        help="a pattern's name in the library, or its file",
    )
    parser.add_argument("--size", metavar="SIZE", help="one of the pattern's sizes")
    parser.add_argument("--colourway", metavar="COLOURWAY", help="one of its colourways")


def shelf_of(session: Session, file: str | None) -> Shelf:
    """The maker's stock: the file asked for, else the one in the data folder."""
    from bench.documents.stock import read_stock

    return read_stock(session.home, Path(file) if file is not None else None)


def stock_at_hand(session: Session) -> Shelf:
    """The maker's stock as it stands: by the journal's tubes, and the file for what has none."""
    from bench.commission.stock_tubes import read_shelf

    with session.reading() as journal:
        return read_shelf(journal, session.library)


def number(text: str, what: str) -> float:
    """Return a number that is not below zero. Raises Fault with what was found."""
    try:
        value = float(text)
        if not 0 <= value < 1e9:
            raise ValueError
    except ValueError:
        hint = " (write 1.5, not 1,5)" if "," in text else ""
        raise Fault(
            f"--{what} takes a number not below zero; found '{cleaned(text, 20)}'{hint}"
        ) from None
    return value


def grams_list(text: str, what: str) -> tuple[float, ...]:
    """Return grams that are parted by commas. Raises Fault with what was found."""
    values = []
    for word in filter(None, (word.strip() for word in text.split(","))):
        try:
            values.append(float(word))
        except ValueError:
            raise Fault(
                f"--{what} takes grams parted by commas, such as 5,10,20;"
                f" found '{cleaned(word, 20)}'"
            ) from None
    return tuple(values)


def day_to_come(text: str | None, option: str) -> dt.date | None:
    """As `day_of`, but a day that is past is refused."""
    day = day_of(text, option)
    if day is not None and day < dt.date.today():
        raise Fault(f"--{option} {day} is past; give a day to come, or none")
    return day


def day_that_was(text: str | None, option: str) -> dt.date:
    """The day on which something happened, as `day_of`: today if none is said, or an earlier one.

    Raises Fault for one to come.
    """
    today = dt.date.today()
    day = day_of(text, option) or today
    if day > today:
        raise Fault(f"--{option} {day} is yet to come; give today or an earlier day")
    return day


def day_of(text: str | None, option: str) -> dt.date | None:
    """The day that was written; None for none. Raises Fault for anything else."""
    if text is None or text == "none":
        return None
    try:
        return dt.datetime.strptime(text, "%Y-%m-%d").date()
    except ValueError:
        found = cleaned(text, 40)
        raise Fault(
            f"--{option} takes a day that there is, written as 2027-03-01; found '{found}'"
        ) from None
