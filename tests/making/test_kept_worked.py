"""Patterns are worked up once, and anew as soon as anything that they rest on has changed."""

from __future__ import annotations

import os
from pathlib import Path

from bench.documents.library import Library
from bench.documents.settings import Settings
from bench.making.calibration import Calibration
from bench.making.kept_worked import kept_worked
from bench.pace.records import Variant


def test_what_has_not_changed_is_not_worked_up_again(tmp_path: Path) -> None:
    """Another file, size, setting or calibration gives another one; the same gives the same."""
    library, usual = Library(tmp_path), Settings()
    file = tmp_path / "patterns" / "mine.toml"
    file.parent.mkdir()
    text = library.pattern_path("silver-eaves").read_text("utf-8")
    file.write_text(text, "utf-8")
    kind = Variant("mine")
    first = kept_worked(library, usual, "mine", kind, Calibration())
    assert kept_worked(library, Settings(), "mine", kind, Calibration()) is first
    small = kept_worked(library, usual, "mine", Variant("mine", "small"), Calibration())
    assert small.sizes != first.sizes
    thumb = usual.thumb.model_copy(update={"take_up": 1.5})
    other = usual.model_copy(update={"thumb": thumb})
    assert kept_worked(library, other, "mine", kind, Calibration()) is not first
    measured = kept_worked(library, usual, "mine", kind, Calibration(sample="Mine 1"))
    assert measured.calibration.sample == "Mine 1"
    file.write_text(text.replace("plain_end = 4", "plain_end = 8"), "utf-8")
    os.utime(file, (1, 1))
    changed = kept_worked(library, usual, "mine", kind, Calibration())
    assert changed.pattern.plain_end == 8
