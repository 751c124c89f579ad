"""What was kept of the pace is read without a fit, and says when it is old."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from bench.cli import main
from bench.pace.model import fit
from bench.pace.predictive import Job, forecast, stage_predictive
from bench.pace.records import PieceRecord, StageTime, Variant, Work
from bench.pace.stage_predictive import guess_predictive
from bench.timing.kept_figures import FILE, KeptFigures, read_kept_figures, with_check

DROP = Work(128, 8, 72)


def records() -> list[PieceRecord]:
    """Five timed drops of two patterns."""
    return [
        PieceRecord(f"eaves {n % 2}", None, "rain", DROP, 3.0 * n, (braid,))
        for n in range(5)
        for braid in [StageTime("braid", 72, 1500.0 + 90 * n)]
    ]


def test_the_guess_before_any_piece_is_that_of_the_fit() -> None:
    """Worked out from the prior alone, mean and covariance are those of a fit without pieces."""
    said, fitted = guess_predictive(), stage_predictive(fit([]))
    assert said.mean == pytest.approx(fitted.mean)
    for row, other in zip(said.covariance, fitted.covariance, strict=True):
        assert row == pytest.approx(other)
    assert said.degrees_of_freedom == fitted.degrees_of_freedom


def test_the_kept_median_is_that_of_the_forecast() -> None:
    """Of a kind that was made, another kind of its pattern and a new pattern alike."""
    model = fit(records())
    for kind, job in {
        Variant("eaves 0", None, "rain"): Job("eaves 0", None, "rain", DROP),
        "eaves 0": Job("eaves 0", "small", "rain", DROP),
        None: Job("other", None, None, DROP),
    }.items():
        kept = stage_predictive(model, kind).median_s(DROP)
        assert kept == pytest.approx(forecast(model, [job]).quantile(0.5), rel=1e-4)


def test_figures_come_back_from_their_file(tmp_path: Path) -> None:
    """What is read is what was written; a broken or missing file reads as no figures."""
    journal = tmp_path / "journal.db"
    assert read_kept_figures(journal) == KeptFigures()
    model = fit(records())
    rain = Variant("eaves 0", None, "rain")
    predicted = {(): stage_predictive(model), rain: stage_predictive(model, rain)}
    kept = KeptFigures(["bench", 5, 60, "last"], 5, {}, predicted)
    line = with_check(kept.to_text())
    (tmp_path / FILE).write_text(line + "anything")
    assert read_kept_figures(journal) == kept
    assert not read_kept_figures(journal).is_stale(["bench", 5, 60, "last"])
    assert read_kept_figures(journal).is_stale(["bench", 6, 71, "later"])
    (tmp_path / FILE).write_text(line.replace("eaves", "raves"))
    assert read_kept_figures(journal) == KeptFigures()


def test_reading_figures_loads_no_fit() -> None:
    """Nothing of numpy or of the fit is loaded to read them, or to time a piece in hand."""
    code = (
        "import sys, bench.timing.kept_figures, bench.pace.piece_in_hand;"
        "print(' '.join(sys.modules))"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, timeout=60
    )
    found = set(done.stdout.split())
    assert "bench.timing.kept_figures" in found
    assert not {"numpy", "bench.pace.model", "bench.pace.predictive", "sqlite3", "pydantic"} & found


KEY_AT_THE_BENCH = """
import asyncio, sys
from pathlib import Path
from bench.screens.app import BenchApp

async def go():
    app = BenchApp(Path(sys.argv[1]))
    async with app.run_test(size=(80, 24)) as pilot:
        while not (app.is_ready and app.pace.known):
            await pilot.pause(0.01)
        for key in ("enter", "space", "space"):
            await pilot.press(key)
            await pilot.pause(0.1)
        print(type(app.screen).__name__, app.pace.figures.pieces, "numpy" in sys.modules)

asyncio.run(go())
"""


def test_a_used_home_needs_no_fit_at_the_bench(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Where figures were kept, the list and keys at the bench go by them, and numpy stays away."""
    for command in (["record", "cistern", "--minutes", "70"], ["list"]):
        assert main([*command, "--home", str(tmp_path)]) == 0
    assert "predicted" in capsys.readouterr().out
    done = subprocess.run(
        [sys.executable, "-c", KEY_AT_THE_BENCH, str(tmp_path)],
        capture_output=True, text=True, check=True, timeout=60,
    )  # fmt: skip
    assert done.stdout.split() == ["BenchScreen", "1", "False"]


def test_the_list_says_that_its_times_are_old(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Once the journal has pieces that nothing was worked out of, `list` says so until `pace`."""

    def said(*command: str) -> str:
        assert main([*command, "--home", str(tmp_path)]) == 0
        return capsys.readouterr().err

    said("record", "cistern", "--minutes", "70")
    assert said("list") == ""
    (tmp_path / FILE).unlink()
    assert "braid-bench pace" in said("list")
    said("pace")
    assert said("list") == ""
