"""Proving a loaded half: the way that can tell, and what it says."""

from __future__ import annotations

from pathlib import Path

import pytest

from bench.craft.proof import BeadMass, from_table
from bench.craft.proving import Proving, prove_all, scale_says, smallest_bead
from bench.craft.stringing import string_up
from bench.library import Library
from bench.settings import Settings
from bench.workup import Workup, work_up


def worked_up(name: str) -> Workup:
    """A shipped pattern, worked up with the usual settings."""
    return work_up(Library(Path("nowhere")), Settings(), name)


def proved(name: str, resolution_g: float = 0.1) -> tuple[Proving, ...]:
    """How the halves of a shipped pattern are proved."""
    made = worked_up(name)
    masses = {letter: from_table(bead) for letter, bead in made.sizes.items()}
    return prove_all(string_up(made.plan), made.sizes, masses, resolution_g)


def test_drops_are_laid_side_by_side() -> None:
    """Every change of bead is named; the scale is not trusted with 4 mg."""
    first = proved("silver-eaves", 0.01)[0]
    assert first.how == "side by side"
    assert first.levels == (
        ("a", "b", 3), ("b", "c", 6), ("c", "d", 9), ("d", "c", 12), ("c", "b", 14), ("b", "a", 15),
    )  # fmt: skip
    assert "a|b b|c c|d d|c c|b b|a" in first.says
    assert first.weighed is not None
    assert "a" in first.weighed.blind_to
    assert "cannot tell one bead" in scale_says(first.weighed)


def test_an_accent_of_the_same_size_is_said() -> None:
    """Halves that differ in colour only lie level, and the difference is told."""
    assert all(one.how == "side by side" for one in proved("cistern"))
    assert any("colours differ" in one.says for one in proved("cistern"))


def test_ropes_are_measured() -> None:
    """A long half goes along a ruler, by the lengths of its beads."""
    first = proved("stair-rope")[0]
    assert first.how == "length"
    assert first.strung_mm == pytest.approx(8 * 1.5 + 246 * 2.2)
    assert "553 mm" in first.says


def test_weight_is_used_only_where_it_tells() -> None:
    """With well-known heavy beads and a fine scale a single strand is weighed, else not."""
    made = worked_up("stair-rope")
    known = {letter: BeadMass(0.03, 0.0, 0.0002, "weighed") for letter in made.sizes}
    threads = string_up(made.plan)
    assert prove_all(threads, made.sizes, known, 0.001)[0].how == "weight"
    assert prove_all(threads, made.sizes, known, 0.1)[0].how == "length"


def test_the_smallest_bead_is_found() -> None:
    """By thickness, not by hole or letter."""
    made = work_up(Library(Path("nowhere")), Settings(), "silver-eaves", "small")
    assert smallest_bead(made.plan, made.sizes) == "a"
    cord = worked_up("landing-cord")
    assert smallest_bead(cord.plan, cord.sizes) is None
