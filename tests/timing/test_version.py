"""What is kept of the pace goes with the program that worked it out."""

from __future__ import annotations

import hashlib
import json
from pathlib import Path
from typing import Any

from bench.documents.library import Library
from bench.documents.settings import Settings
from bench.journal.store import Journal
from bench.making.braid import Braid
from bench.making.worked_pattern import WorkedPattern
from bench.timing.fitted_pace import FittedPace
from bench.timing.kept_figures import VERSION
from bench.timing.pace_service import PaceService
from tests.support.clock import ManualClock

FINGERPRINTS = {
    9: "b8a0f105254f9a52",
    10: "b8a0f105254f9a52",
    11: "b8a0f105254f9a52",
    12: "b8a0f105254f9a52",
    13: "b8a0f105254f9a52",
    14: "b8a0f105254f9a52",
}
"""By version, of what the pieces below add up to. Where one changes, raise `VERSION` and add it."""


def rounded(value: Any) -> Any:
    """Numbers to five digits, which every machine gives alike."""
    if isinstance(value, float):
        return float(f"{value:.5g}") if abs(value) > 1e-9 else 0.0
    if isinstance(value, dict):
        return {key: rounded(part) for key, part in value.items()}
    return [rounded(part) for part in value] if isinstance(value, list) else value


def made(folder: Path) -> FittedPace:
    """Three pieces of two patterns, with a cross taken back and a break, and their fit."""
    library, clock = Library(folder), ManualClock(wall=1_750_000_000.0)
    with Journal.open(folder / "journal.db", write=True, clock=clock) as journal:
        for number, name in enumerate(["silver-eaves", "cistern", "silver-eaves"]):
            braid = Braid.start(journal, WorkedPattern.from_library(library, Settings(), name))
            while braid.state.stage == "braid":
                clock.advance(900.0 if braid.made == 20 else 18.0 + braid.made % (7 + number))
                if braid.mark_due is not None:
                    braid.mark_done()
                elif braid.made < braid.plan.crosses:
                    braid.cross()
                else:
                    braid.end_stage()
                if braid.made == 11 and number == 1:
                    braid.take_back()
                    number = 3
            while braid.end_stage() is not None:
                clock.advance(600.0)
            braid.finish("good")
        service = PaceService(folder / "journal.db", library, keep=False)
        return service.fitted(journal, clock.now().wall)


def test_the_version_goes_with_what_pieces_add_up_to(tmp_path: Path) -> None:
    """Whoever changes the clock of a piece or the fit must raise the version of what is kept."""
    found = made(tmp_path)
    figures = json.loads(found.figures.to_text())
    del figures["mark"]
    text = json.dumps(rounded([figures, json.loads(found.to_text())]), sort_keys=True)
    assert FINGERPRINTS.get(VERSION) == hashlib.sha256(text.encode()).hexdigest()[:16]
