"""Places to hang at as a maker says them: evenly, one by one, with drops in turn; in mm."""

from __future__ import annotations

import math
from collections.abc import Sequence

from bench.craft.text import Fault, cleaned
from bench.documents.commission import Millimetres

MOST_PLACES = 1000

Places = tuple[tuple[Millimetres, Millimetres], ...]
"""Each with where it is along the rail, or round the hoop, and how far down a piece begins."""


def places_of(text: str) -> Places:
    """Places parted by blanks or commas, as 0:40 30:80. Raises Fault with the one that is wrong."""
    found = tuple(place_of(word) for word in text.replace(",", " ").split())
    if not found:
        raise Fault("say where each place is and how far down, as 0:40 30:80")
    return checked(found)


def place_of(text: str) -> tuple[float, float]:
    """One place, as 120:80. Raises Fault for one without its height, or without its place."""
    x, colon, drop = text.strip().partition(":")
    said = cleaned(text.strip(), 20)
    if not colon or not drop.strip():
        raise Fault(f"a place is how far along and how far down, as 120:80; '{said}' has no height")
    if not x.strip():
        raise Fault(f"a place is how far along and how far down, as 120:80; '{said}' is nowhere")
    return _mm(x, "along"), _mm(drop, "down")


def drops_of(text: str) -> tuple[float, ...]:
    """How far down, parted by blanks or commas. Raises Fault with what was found."""
    found = tuple(_mm(word, "down") for word in text.replace(",", " ").split())
    if not found:
        raise Fault("say how far down pieces begin, as 40,80,120")
    return found


def even_places(count: int, length_mm: float, drops: Sequence[float], *, ring: bool) -> Places:
    """So many places at equal distances, the drops in turn.

    ring: round a hoop of so long a round; else along a rail so long, from end to end. Raises
    Fault for a number of places that cannot be, and for no length.
    """
    if not 1 <= count <= MOST_PLACES:
        raise Fault(f"there can be 1 to {MOST_PLACES} places; found {count}")
    if length_mm <= 0 and count > 1:
        raise Fault("say the hoop's diameter" if ring else "say how wide the rail is")
    step = length_mm / (count if ring else max(1, count - 1))
    return with_drops([(round(at * step, 1), 0.0) for at in range(count)], drops)


def with_drops(places: Sequence[tuple[float, float]], drops: Sequence[float]) -> Places:
    """The same places with drops in turn, from left to right."""
    order = sorted(range(len(places)), key=lambda at: (places[at][0], at))
    rank = {at: number for number, at in enumerate(order)}
    return tuple((x, drops[rank[at] % len(drops)]) for at, (x, _) in enumerate(places))


def round_of(diameter_mm: float) -> float:
    """The whole round of a hoop."""
    return math.pi * diameter_mm


def checked(places: Places) -> Places:
    """The same places. Raises Fault for one that is said twice, or too many."""
    if len(places) > MOST_PLACES:
        raise Fault(f"there can be 1 to {MOST_PLACES} places; found {len(places)}")
    for number, place in enumerate(places, 1):
        first = places.index(place) + 1
        if first < number:
            x, drop = place
            raise Fault(f"place {number} is where place {first} is: {x:g} along, {drop:g} down")
    return places


def _mm(text: str, what: str) -> float:
    try:
        value = float(text)
    except ValueError:
        value = -1.0
    if not 0 <= value <= 100_000:
        said = cleaned(text.strip(), 20)
        raise Fault(f"how far {what} takes millimetres from 0 to 100000; found '{said}'")
    return value
