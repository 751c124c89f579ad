"""The numbers of a lot's pieces."""

from __future__ import annotations

import re
from collections.abc import Iterable

_NUMBER = re.compile(r" (\d{1,6})(?: of \d+)?$")
"""A piece's number in its lot, in its title: 'Silver Eaves 3 of 16'."""


def next_number(titles: Iterable[str]) -> int:
    """The number for a lot's next piece, by the titles of all that were ever begun.

    No number is given twice: it means one piece, also when that is given up.
    """
    taken = [0]
    for count, title in enumerate(titles, 1):
        found = _NUMBER.search(title)
        taken += [count, int(found[1]) if found is not None else 0]
    return max(taken) + 1
