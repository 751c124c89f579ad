"""Thread and needle of a piece: what is cut, what passes, and what is warned about."""

from __future__ import annotations

from pathlib import Path

import pytest

from bench.craft.beads import BeadSize
from bench.craft.cutting import cut_for, passing, passing_findings
from bench.craft.pattern import Pattern
from bench.craft.plan import Plan
from bench.craft.thread import Hang
from bench.documents.library import Library
from bench.documents.settings import Settings
from bench.making.worked_pattern import WorkedPattern, check_file


def worked_up(name: str, size: str | None = None) -> WorkedPattern:
    """A shipped pattern, worked up with the usual settings."""
    return WorkedPattern.from_library(Library(Path("nowhere")), Settings(), name, size)


def with_finish(made: WorkedPattern, **changes: object) -> Plan:
    """The plan of a pattern with another finish or thread."""
    data = made.pattern.model_dump()
    data["finish"] |= {k: v for k, v in changes.items() if k != "diameter_mm"}
    if "diameter_mm" in changes:
        data["threads"] |= {"diameter_mm": changes["diameter_mm"], "tex": None}
    return Plan(Pattern.model_validate(data), made.structure)


def test_a_drop_takes_four_double_lengths_of_a_metre_and_a_quarter() -> None:
    """60 to 65 cm a strand, 1.25 m a double length, 5 m a drop: common practice, no source."""
    made = worked_up("silver-eaves")
    found = cut_for(made.plan, made.growth.length_mm, Hang(), 1.7)
    (cut,) = found.cuts
    assert (cut.lengths, cut.strands_each, cut.cut_mm) == (4, 2, 1250)
    assert found.total_m == pytest.approx(5)
    assert 90 <= found.worked_in_mm <= 110
    assert found.findings == ()


def test_long_double_lengths_are_warned_about() -> None:
    """A rope on double lengths tangles; the finding says what to write instead."""
    made = worked_up("silver-eaves")
    (finding,) = cut_for(made.plan, 1000, Hang(), 1.7).findings
    assert "double_lengths = []" in finding


def test_a_drop_is_loaded_and_dressed_with_different_needles() -> None:
    """One pass takes a stout needle, six passes of the ends a fine one."""
    made = worked_up("silver-eaves")
    found = passing(made.plan, made.sizes)
    assert found is not None
    assert found.load_with == "needle no. 12"
    assert found.needles == "needle no. 12 to load, no. 16 for the ends"
    assert found.avoid == ()


def test_a_rope_is_loaded_with_its_stiffened_end() -> None:
    """Cord of 0.5 mm takes no needle through an 11/0; its own end passes."""
    made = worked_up("stair-rope")
    found = passing(made.plan, made.sizes)
    assert found is not None
    assert found.load_with == "a stiffened thread end"
    assert found.finish is None


def test_the_small_size_names_the_bead_to_keep_out_of_the_ends() -> None:
    """A 13/0 hole does not take the passes: its letter is named, and it is no fault."""
    made = worked_up("silver-eaves", "small")
    found = passing(made.plan, made.sizes)
    assert found is not None
    assert found.avoid == ("b",)
    assert found.smallest == "a"


def test_too_many_passes_are_warned_about() -> None:
    """When the smallest bead cannot be passed so often, it is said with bead, hole and count."""
    made = worked_up("silver-eaves")
    (finding,) = passing_findings(with_finish(made, threads=3, passes=4), made.sizes)
    assert "bead a (15/0, hole 0.7 mm)" in finding
    assert "12 in all" in finding


def test_an_end_bead_too_narrow_is_warned_about() -> None:
    """The end bead must go over the glued end: 0.5 mm does not."""
    made = worked_up("silver-eaves")
    (finding,) = passing_findings(with_finish(made, end_bead_hole_mm=0.5), made.sizes)
    assert finding.startswith("the end bead")


def test_a_braid_without_beads_passes_nothing() -> None:
    """No beads: no needle, no finding."""
    cord = worked_up("landing-cord")
    sizes: dict[str, BeadSize] = {}
    assert passing(cord.plan, sizes) is None
    assert list(passing_findings(cord.plan, sizes)) == []


@pytest.mark.parametrize("name", [entry.name for entry in Library(Path("nowhere")).patterns()])
def test_shipped_patterns_are_without_warnings(name: str) -> None:
    """In every size, thread, needle, ends, core and loads of what is shipped are sound."""
    library = Library(Path("nowhere"))
    assert check_file(library, Settings(), library.pattern_path(name)) == []
