"""Cautions stand where the work can hurt."""

from pathlib import Path

import pytest

from bench.craft.cautions import GLASS, GLUE, REST, WEIGHTS, WIRE, cautions_for
from bench.craft.growth import sizes_of
from bench.documents.library import Library

LIBRARY = Library(Path("nowhere"))


@pytest.mark.parametrize("name", [entry.name for entry in LIBRARY.patterns()])
def test_a_piece_has_the_cautions_of_its_work(name: str) -> None:
    """Wire is spoken of where there is one, glue where it dries; weights and rest always."""
    plan = LIBRARY.plan(LIBRARY.pattern_path(name))
    said = cautions_for(plan, sizes_of(plan.pattern))
    core = plan.pattern.core
    assert (WIRE in said) == (core is not None and core.on == "wire")
    assert (GLUE in said) == (plan.pattern.finish.dry_minutes > 0)
    assert (GLASS in said) == any(plan.loads)
    assert {WEIGHTS, REST} <= set(said)


def test_each_caution_is_written_once() -> None:
    """No other file repeats the text of a caution."""
    texts = {path: path.read_text() for path in Path("bench").rglob("*.py")}
    for words in ("advice, not proof", "Clear up every splinter", "Wire ends are sharp"):
        holders = [path.name for path, text in texts.items() if words in text]
        assert holders == ["cautions.py"], words
