"""Edit scripts of a strand that was read off, against rapidfuzz."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st
from rapidfuzz.distance import Levenshtein

from bench.slips.edits import EXTRA, MISSING, WRONG, edits

LOADS = st.text("abcd", max_size=30)


@given(LOADS, LOADS)
def test_the_weight_is_the_least(planned: str, actual: str) -> None:
    """No cheaper script is found by rapidfuzz with these weights for insert, delete, replace."""
    least = Levenshtein.distance(planned, actual, weights=(EXTRA, MISSING, WRONG))
    weights = {"missing": MISSING, "extra": EXTRA, "wrong": WRONG}
    assert sum(weights[edit.kind] for edit in edits(planned, actual)) == least


@given(LOADS, LOADS)
def test_the_script_makes_what_hangs_there(planned: str, actual: str) -> None:
    """Carried out on the plan by hand, the edits give what was read off."""
    beads = list(planned)
    for edit in reversed(edits(planned, actual)):
        if edit.kind == "missing":
            assert beads.pop(edit.at) == edit.bead
        elif edit.kind == "extra":
            beads.insert(edit.at, edit.actual or "")
        else:
            assert beads[edit.at] == edit.bead
            beads[edit.at] = edit.actual or ""
    assert "".join(beads) == actual
