from __future__ import annotations

from itertools import combinations
from pathlib import Path

import pytest

from bench.documents.errors import DocumentError
from bench.documents.reading import read_document
from bench.documents.settings import SHAPES, Settings
from bench.screens.kit.canvas import Canvas
from bench.screens.kit.large_letters import HEIGHT, big

BEADS = "ABCDEFGHIJKLMNPRSTUXYZ"


def dots(sign: str) -> list[str]:
    """A sign's dots, one by one, in a field of five by five."""
    canvas = Canvas(5, HEIGHT)
    big(canvas, 0, 0, sign, "")
    return [ch for row in canvas.rows for ch, _ in row]


def test_letters_that_one_confuses_are_drawn_unlike() -> None:
    """B and D, C and G, H and A differ in a third of a letter's dots, any two in some of them.

    How many dots tell letters apart from a metre: a rule of thumb, no source.
    """
    differ = {
        one + other: sum(a != b for a, b in zip(dots(one), dots(other), strict=True))
        for one, other in combinations(BEADS, 2)
    }
    assert min(differ["BD"], differ["CG"], differ["AH"]) >= 6
    assert min(differ.values()) >= 3, min(differ, key=lambda pair: differ[pair])
    signs = [dots(sign) for sign in SHAPES.values()]
    assert all(one != other for one, other in combinations(signs, 2))
    assert dots("?") not in signs


def test_the_maker_sets_another_letter_or_a_shape(tmp_path: Path) -> None:
    """A letter, a figure or a shape by its name is taken; anything else is refused with its key."""
    path = tmp_path / "settings.toml"
    path.write_text('format = 1\n[signs]\nd = "triangle"\nb = "x"\n')
    assert read_document(path, Settings).signs == {"d": "▲", "b": "x"}
    path.write_text('format = 1\n[signs]\nd = "moon"\n')
    with pytest.raises(DocumentError, match="circle, triangle"):
        read_document(path, Settings)
