"""Structures: the places round the rim and the crosses of one round, as data."""

from __future__ import annotations

from functools import cached_property
from typing import Annotated, Literal

from pydantic import Field, field_validator, model_validator

from bench.craft.fields import DocumentPart, PlainLine, Title
from bench.craft.text import Fault

Pair = tuple[int, int]
Way = Literal["clockwise", "anticlockwise"]
MAX_PLACES = 32


class Cross(DocumentPart):
    """The transfers made together with both hands, as pairs (from place, to place)."""

    call: Annotated[Title, Field(description="What the maker says: 'top and bottom'.")]
    clockwise: tuple[Pair, ...] = Field((), description="Strands carried clockwise.")
    anticlockwise: tuple[Pair, ...] = Field((), description="Strands carried anticlockwise.")
    slide: tuple[Pair, ...] = Field((), description="Neighbours that slide to even out.")

    @field_validator("call")
    @classmethod
    def _can_be_said(cls, call: str) -> str:
        if call.startswith("-"):
            raise Fault("a call begins with a word: a program that speaks takes '-' for an option")
        return call

    @property
    def carried(self) -> tuple[tuple[int, int, Way], ...]:
        """Every carried strand as (from place, to place, way)."""
        return (
            *((start, end, "clockwise") for start, end in self.clockwise),
            *((start, end, "anticlockwise") for start, end in self.anticlockwise),
        )


class Structure(DocumentPart):
    """A braid structure: its places, seen from above and numbered clockwise, and its round."""

    format: Literal[1]
    title: Title
    places: Annotated[tuple[Title, ...], Field(min_length=3, max_length=MAX_PLACES)]
    angles: tuple[float, ...] | None = Field(
        None, description="Degrees clockwise from the top, one for each place; even by default."
    )
    columns: Annotated[int, Field(ge=3, le=24)] | None = Field(
        None, description="Spiralling columns of beads round the braid, where known."
    )
    turn: Annotated[float, Field(ge=-180, le=180)] | None = Field(
        None, description="Degrees that the braid turns at each cross, clockwise counted positive."
    )
    source: PlainLine = ""
    confirmed: PlainLine = ""
    round: Annotated[tuple[Cross, ...], Field(min_length=1, max_length=64)]

    @model_validator(mode="after")
    def _sound(self) -> Structure:
        if self.angles is not None:
            self._check_angles(self.angles)
        if self.columns is not None and self.turn is None:
            raise Fault("columns are given without turn; give the degrees per cross too", "columns")
        for number, cross in enumerate(self.round):
            self._check_cross(number, cross)
        return self

    def _check_angles(self, angles: tuple[float, ...]) -> None:
        if len(angles) != len(self.places):
            raise Fault(f"{len(angles)} angles for {len(self.places)} places", "angles")
        turned = [(angle - angles[0]) % 360 for angle in angles]
        if turned != sorted(turned) or len(set(turned)) != len(turned):
            raise Fault("the angles do not go round clockwise from the first place", "angles")

    def _check_cross(self, number: int, cross: Cross) -> None:
        places = len(self.places)
        left: set[int] = set()
        taken: set[int] = set()
        for kind in ("clockwise", "anticlockwise", "slide"):
            for index, (start, end) in enumerate(getattr(cross, kind)):
                key = ("round", number, kind, index)
                for place in (start, end):
                    if not 1 <= place <= places:
                        raise Fault(
                            f"there is no place {place}; places go from 1 to {places}", *key
                        )
                if start == end:
                    raise Fault(f"place {start} is both start and end of one move", *key)
                if start in left:
                    raise Fault(f"two moves start from place {start}", *key)
                if end in taken:
                    raise Fault(f"two moves end on place {end}", *key)
                left.add(start)
                taken.add(end)
        if not cross.carried:
            raise Fault("no strand is carried in this cross", "round", number)
        if left != taken:
            odd = min(left ^ taken)
            word = "is left empty" if odd in left else "gets a second strand"
            raise Fault(
                f"place {odd} {word} by this cross; each place must end with exactly one strand",
                "round",
                number,
            )

    @cached_property
    def sides(self) -> tuple[str, ...]:
        """The side of each place, which its name says before a comma: "top, left of the two"."""
        return tuple(place.partition(",")[0] for place in self.places)

    def beside(self, place: int) -> tuple[int, ...]:
        """The places beside one, numbered from 1: on the same side if there is any, else both."""
        n = len(self.places)
        both = (place % n + 1, (place - 2) % n + 1)
        return tuple(p for p in both if self.sides[p - 1] == self.sides[place - 1]) or both

    @property
    def strands(self) -> int:
        """How many strands the structure takes: one for each place."""
        return len(self.places)

    @cached_property
    def place_angles(self) -> tuple[float, ...]:
        """Degrees clockwise from the top of each place; even steps unless the file sets them.

        Evenly spread places begin half a step to the left of the top when the count is even and
        the first place is the left one of a top pair; four places begin at the top itself.
        """
        if self.angles is not None:
            return tuple(angle % 360 for angle in self.angles)
        step = 360 / self.strands
        first = 0.0 if self.strands <= 4 else -step / 2
        return tuple((first + step * place) % 360 for place in range(self.strands))
