from __future__ import annotations

from pathlib import Path

from bench.craft.structure import Structure
from bench.documents.library import Library


def test_the_place_beside_lies_on_the_same_side() -> None:
    """On the stand of eight the place beside one is the other of its pair.

    Where no side is named, both places beside it are.
    """
    library = Library(Path("nowhere"))
    eight = library.plan(library.pattern_path("gutter-pearl")).structure
    assert eight.sides[:2] == ("top", "top")
    for place in range(1, 9):
        (other,) = eight.beside(place)
        assert other != place
        assert eight.sides[other - 1] == eight.sides[place - 1]
    bare = Structure.model_validate(
        {
            "format": 1,
            "title": "bare",
            "places": ["a", "b", "c", "d"],
            "round": [{"call": "turn", "clockwise": [[1, 2], [2, 3], [3, 4], [4, 1]]}],
        }
    )
    assert bare.beside(1) == (2, 4)
