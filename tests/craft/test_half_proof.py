"""Proving a loaded half: the way that can tell, and what it says."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from bench.craft.half_proof import HalfProof, prove_all, scale_says
from bench.craft.pattern import Pattern
from bench.craft.plan import Plan
from bench.craft.stringing import string_up
from bench.craft.weight_proof import BeadMass, from_table
from bench.documents.library import Library
from bench.documents.settings import Settings
from bench.making.worked_pattern import WorkedPattern


def worked_up(name: str) -> WorkedPattern:
    """A shipped pattern, worked up with the usual settings."""
    return WorkedPattern.from_library(Library(Path("nowhere")), Settings(), name)


def proved(name: str, resolution_g: float = 0.1) -> tuple[HalfProof, ...]:
    """How the halves of a shipped pattern are proved."""
    made = worked_up(name)
    masses = {letter: from_table(bead) for letter, bead in made.sizes.items()}
    return prove_all(string_up(made.plan), made.sizes, masses, resolution_g)


def test_drops_are_laid_side_by_side() -> None:
    """Every change of bead is named; the scale is not trusted with 4 mg."""
    first = proved("silver-eaves", 0.01)[0]
    assert first.how == "side by side"
    levels = "a|b after 3, b|c after 6, c|d after 9, d|c after 12, c|b after 14, b|a after 15"
    assert levels in first.says
    assert first.weighed is not None
    assert "a" in first.weighed.blind_to
    assert "cannot tell one bead" in scale_says(first.weighed)


def test_an_accent_of_the_same_size_is_said() -> None:
    """Halves that differ in colour only lie level, and the difference is told."""
    assert all(one.how == "side by side" for one in proved("cistern"))
    assert any("colours differ" in one.says for one in proved("cistern"))


def test_ropes_are_laid_beside_one_another() -> None:
    """A long half is as long as the next with its load; no ruler's figure is given."""
    first = proved("stair-rope")[0]
    assert first.how == "length"
    assert first.strung_mm == pytest.approx(8 * 1.5 + 246 * 2.2)
    assert "lay them side by side: exactly as long" in first.says
    assert "mm" not in first.says


def test_a_long_half_without_its_like_is_counted() -> None:
    """No ruler is laid against one strand alone: over 246 beads its figure is a dozen beads off."""
    made = worked_up("stair-rope")
    data = made.pattern.model_dump()
    data["loads"] = {"all": "100h", "1": "200h"}
    plan = Plan(Pattern.model_validate(data), made.structure)
    known = {letter: from_table(bead) for letter, bead in made.sizes.items()}
    first, second, *_ = prove_all(string_up(plan), made.sizes, known, 0.1)
    assert first.how == "count"
    assert second.how == "length"


def rope(load: str, **threads: object) -> tuple[HalfProof, ...]:
    """How a rope of one load is proved, with well-known beads on a scale of 1 mg."""
    made = worked_up("stair-rope")
    data = made.pattern.model_dump()
    data["loads"] = {"all": load}
    data["threads"] |= threads
    pattern = Pattern.model_validate(data)
    known = {letter: BeadMass(0.03, 0.0, 0.0002, "weighed") for letter in made.sizes}
    return prove_all(string_up(Plan(pattern, made.structure)), made.sizes, known, 0.001)


def test_weight_proves_equal_beads_on_a_single_strand_only() -> None:
    """Where the order matters or two halves share a thread, no weight stands for the look."""
    letter = min(worked_up("stair-rope").sizes)
    first = rope(f"150{letter}")[0]
    assert first.how == "weight"
    assert "zeroed with a bare thread" in first.says
    pairs = [(1, 6), (2, 5), (3, 8), (4, 7)]
    assert rope(f"150{letter}", double_lengths=pairs)[0].how == "length"


def test_a_weight_does_not_stand_for_the_order() -> None:
    """Of a load of two beads the scale may tell the count; it is measured and looked at."""
    one, two = sorted(worked_up("stair-rope").sizes)[:2]
    first = rope(f"30(3{one} 2{two})")[0]
    assert first.how == "length"
    assert "every change level" in first.says
    assert first.weighed is not None
    assert first.weighed.proof.tells
    assert "not their order" in scale_says(first.weighed)


def test_what_a_scale_tells_is_told_with_its_chance() -> None:
    """How often one bead is noticed is said, and that it rests on how single beads differ."""
    weighed = rope("9g")[0].weighed
    assert weighed is not None
    says = scale_says(weighed)
    assert "one bead too few 99 times in 100" in says
    assert "if single beads differ by 6%" in says


def test_zeroing_the_thread_out_rounds_once_more() -> None:
    """The thread is zeroed out, so the scale's rounding counts twice in what passes."""
    first = rope("9g")[0]
    assert first.weighed is not None
    sd = first.weighed.proof.expected.sd_g
    assert sd == pytest.approx(math.sqrt(9 * 0.0002**2 + 0.001**2 / 12))
