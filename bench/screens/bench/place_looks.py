"""The looks that find a place, one after the other, by keys."""

from __future__ import annotations

from dataclasses import dataclass, field

from bench.craft.finding_place import Answer, PlaceLook, PlaceSearch, calls
from bench.craft.growth import Growth
from bench.documents.key_names import DIGITS
from bench.making.braid import Braid

MOST_DIGITS = 4


@dataclass
class PlaceLooks:
    """The looks so far, the one that is asked for, and the places that fit, the likeliest first."""

    braid: Braid
    growth: Growth | None = None
    digits: str = ""
    picked: int = 0
    search: PlaceSearch = field(init=False)

    def __post_init__(self) -> None:
        self.search = PlaceSearch(self.braid.plan, self.braid.made, self.growth)

    @property
    def look(self) -> PlaceLook | None:
        """What is asked for; None once a place is found."""
        return self.search.next_look

    @property
    def found(self) -> tuple[int, ...]:
        """Counts of crosses that fit the looks so far."""
        return self.search.found

    @property
    def choices(self) -> list[str]:
        """The answers to choose from in the look that is asked for; none where one counts."""
        look, places = self.look, self.braid.structure.places
        if look is None or look.kind not in {"call", "where"}:
            return []
        if look.kind == "call":
            return list(calls(self.braid.plan))
        return [
            "  and  ".join(places[place - 1] for place in option) or "at no place"
            for option in look.options
        ]

    def press(self, key: str) -> int | None:
        """Take a key. Returns the count to set once it is agreed to."""
        look = self.look
        if key == "backspace":
            self._back()
        elif look is None:
            return self._agree(key)
        elif self.choices:
            self._choose(look, key)
        elif key in DIGITS and len(self.digits) < MOST_DIGITS:
            self.digits += key
        elif key in {"enter", "space"}:
            self._answer(look, int(self.digits) if self.digits else None)
        return None

    def _agree(self, key: str) -> int | None:
        if key in {"down", "up"} and self.found:
            self.picked = (self.picked + (1 if key == "down" else -1)) % len(self.found)
        elif key in {"enter", "space"} and self.found:
            return self.found[self.picked]
        return None

    def _choose(self, look: PlaceLook, key: str) -> None:
        if key in {"0", "enter"}:
            self._answer(look, None)
        elif key in DIGITS and 1 <= int(key) <= len(self.choices):
            at = int(key) - 1
            self._answer(look, self.choices[at] if look.kind == "call" else look.options[at])

    def _answer(self, look: PlaceLook, answer: Answer) -> None:
        self.digits, self.picked = "", 0
        self.search = self.search.answered(look, answer)

    def _back(self) -> None:
        """The last digit off, or one look back; the one that is asked for again is open anew."""
        if self.digits:
            self.digits = self.digits[:-1]
        elif self.search.answers:
            self.picked = 0
            self.search = self.search.back()
