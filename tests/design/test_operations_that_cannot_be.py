"""Operations that cannot be done are told in one sentence, and none does silently nothing."""

from __future__ import annotations

import json

import pytest

from bench.craft.pattern import Core
from bench.craft.text import Fault
from bench.design.operation import Desk
from bench.design.operations import read_operation
from tests.support.boards import board, library

DESK = Desk(library().structure)
LOOK = {"colour": "#112233", "name": "ink"}


@pytest.mark.parametrize(
    ("operation", "says"),
    [
        ({"kind": "merge", "bead": "a", "into": "a"}, "cannot become one with itself"),
        ({"kind": "cure", "changes": [[["title", "x"], 1]]}, "this cure does not fit"),
        ({"kind": "cure", "changes": [[["title", "x", "y"], 1]]}, "this cure does not fit"),
        ({"kind": "cure", "changes": [[["marks", 99, "after_cross"], 1]]}, "does not fit"),
        ({"kind": "cure", "changes": [[[], 1]]}, "this cure does not fit"),
        ({"kind": "recolour", "colourway": "x", "looks": {"z": LOOK}}, "there is no bead 'z'"),
        ({"kind": "resize", "steps": -1, "size": "x", "beads": {"z": "11/0"}}, "no bead 'z'"),
        ({"kind": "core", "beads": "3z"}, "there is no bead 'z'"),
        ({"kind": "load", "strand": 30, "beads": "3a"}, "there is no strand 30"),
        ({"kind": "replace", "bead": "z", "by": "a"}, "there is no bead 'z'"),
        ({"kind": "appearance", "cells": [0] * 8, "beads": ["a"], "first": 5, "last": 2},
         "there are no rows 5 to 2"),
        ({"kind": "bead", "bead": "a", "size": "8/0", "shown": "x"}, "has no size 'x'"),
        ({"kind": "bead", "bead": "a", **LOOK, "colourway": "x"}, "has no colourway 'x'"),
        ({"kind": "bead", "bead": "a", "size": "banana"}, "size banana of shape round"),
        ({"kind": "new bead", "bead": {"size": "banana", **LOOK}}, "size banana of shape round"),
        ({"kind": "paint colour", **LOOK, "shown": "x"}, "has no colourway 'x'"),
        ({"kind": "paint colour", **LOOK, "strands": [30]}, "there is no strand 30"),
        ({"kind": "paint size", "size": "8/0", "shown": "x"}, "has no size 'x'"),
        ({"kind": "paint size", "size": "banana"}, "size banana of shape round"),
    ],
)  # fmt: skip
def test_what_cannot_be_done_is_one_sentence(operation: dict[str, object], says: str) -> None:
    """An unknown bead, strand, row, size or colourway is a fault that names it."""
    with pytest.raises(Fault, match=says):
        read_operation(json.dumps(operation)).on(board(), DESK)


def test_a_sheet_that_is_no_pattern_says_why() -> None:
    """A core of beads that there are not: what is wrong with it, as reading its file says it."""
    odd = board().with_pattern(core=Core(beads="3z", down_after_cross=1))
    with pytest.raises(Fault, match=r"^there is no bead 'z' in \[beads\]"):
        odd.to_pattern()
