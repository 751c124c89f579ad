"""The pace fitted to all finished pieces, and what is said of the pieces that it rests on."""

from __future__ import annotations

import contextlib
import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from bench.documents.errors import DocumentError
from bench.documents.library import Library
from bench.documents.writing import write_file
from bench.journal.regular_file import read_regular
from bench.pace.model import Model, fit
from bench.pace.own_times import by_pattern, own_times
from bench.pace.predictive import stage_predictive
from bench.pace.records import PieceRecord, Variant, Work
from bench.pace.stage_predictive import StagePredictive
from bench.timing.finished_pieces import FinishedPieces
from bench.timing.kept_figures import (
    FILE,
    MOST_BYTES,
    JournalMark,
    KeptFigures,
    checked,
    read_kept_figures,
    with_check,
)
from bench.timing.kept_model import model_from_json, model_to_json
from bench.timing.piece_records import loose_of, named_work, work_days

DAY_S = 86_400.0


@dataclass(frozen=True, eq=False)
class FittedPace:
    """The fit, its figures, and the pieces behind them.

    Attributes:
        model: the fit, the same all day.
        figures: what is read without it.
        commissions: each one's finished pieces, by its id, or its name where they say no id.
        loose: how many good pieces were started for no commission.
        lost: patterns that times were typed in for and that are not in the library.
        left_out: how many pieces have no time, and why; "" if none.
        days: seconds at the bench by UTC day since 1970.

    """

    model: Model
    figures: KeptFigures
    commissions: Mapping[str, Sequence[str]]
    loose: Mapping[Variant, int]
    lost: Sequence[str]
    left_out: str
    days: Mapping[int, float]

    @classmethod
    def of(cls, finished: FinishedPieces, mark: JournalMark, now_s: float) -> FittedPace:
        """Fit the pieces that were read, of which this is the journal's mark, at UTC seconds."""
        pieces, records = finished.pieces.values(), finished.records
        commissions: dict[str, list[str]] = {}
        for times in pieces:
            if times.commission is not None and not times.trial:
                order = times.commission_id or times.commission
                commissions.setdefault(order, []).append(times.piece)
        model = fit(records, today=now_s // DAY_S, untimed=finished.untimed)
        return cls(
            model=model,
            figures=figures_of(model, records, mark),
            commissions=commissions,
            loose=loose_of(pieces),
            lost=finished.lost,
            left_out=finished.left_out,
            days=work_days(pieces),
        )

    def to_text(self) -> str:
        """All but the figures as one line of JSON."""
        said = {
            "model": model_to_json(self.model),
            "commissions": self.commissions,
            "loose": [[variant, count] for variant, count in self.loose.items()],
            "lost": self.lost,
            "left_out": self.left_out,
            "days": [*self.days.items()],
        }
        return json.dumps(said)

    @classmethod
    def from_text(cls, text: bytes, figures: KeptFigures) -> FittedPace:
        """Raises ValueError, KeyError or TypeError where that is no fit."""
        said = json.loads(text)
        return cls(
            model=model_from_json(said["model"]),
            figures=figures,
            commissions=said["commissions"],
            loose={Variant(*variant): count for variant, count in said["loose"]},
            lost=said["lost"],
            left_out=said["left_out"],
            days=dict(said["days"]),
        )


def figures_of(model: Model, records: Sequence[PieceRecord], mark: JournalMark) -> KeptFigures:
    """Take out of a fit of these records what is read without it."""
    predicted: dict[tuple[str | None, ...], StagePredictive] = {(): stage_predictive(model)}
    predicted |= {(pattern,): stage_predictive(model, pattern) for pattern in model.patterns}
    predicted |= {variant: stage_predictive(model, variant) for variant in model.variants}
    return KeptFigures(
        mark=mark,
        pieces=model.pieces,
        own={name: own_times(made, name) for name, made in by_pattern(records).items()},
        predicted=predicted,
    )


# The file: the figures, then what else the fit rests on, then the fit; one line each.


def read_fitted(
    journal: Path, library: Library, mark: JournalMark, now_s: float
) -> FittedPace | None:
    """Read the fit that was kept; None if it is lost, broken, or of other pieces or another day."""
    figures = read_kept_figures(journal)
    with contextlib.suppress(OSError, ValueError, KeyError, TypeError, RecursionError):
        kept = read_regular(journal.with_name(FILE), MOST_BYTES)
        _, basis, fitted = kept.splitlines()
        day, works = json.loads(checked(basis))
        if not figures.is_stale(mark) and day == now_s // DAY_S and works == _works(library, works):
            return FittedPace.from_text(checked(fitted), figures)
    return None


def keep_fitted(
    found: FittedPace, finished: FinishedPieces, journal: Path, library: Library, now_s: float
) -> None:
    """Write a fit beside the journal, where that can be done."""
    typed = {times.pattern for times in finished.pieces.values() if times.recorded}
    basis = json.dumps([now_s // DAY_S, _works(library, typed)])
    lines = (found.figures.to_text(), basis, found.to_text())
    file = journal.with_name(FILE)
    with contextlib.suppress(DocumentError):
        write_file(file, "".join(map(with_check, lines)), file.suffix)


def _works(library: Library, patterns: Iterable[str]) -> dict[str, list[int] | None]:
    """The work in a piece of each pattern, None where there is no such pattern."""
    found: dict[str, Work | None] = {name: named_work(library, name) for name in patterns}
    return {n: None if w is None else [w.beads, w.strands, w.crosses] for n, w in found.items()}
