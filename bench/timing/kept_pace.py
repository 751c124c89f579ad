"""What all finished pieces say of the maker's pace, kept beside the journal.

Working it out reads every finished piece. It stands in a file next to the journal, with a mark of
the pieces that it rests on, of the day, of the library's patterns and of the program that worked it
out; while all of these are the same nothing need be read. The file may be lost, broken or thrown
away at any time.
"""

from __future__ import annotations

import contextlib
import json
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from bench.documents.errors import DocumentError
from bench.documents.library import Library
from bench.documents.writing import write_file
from bench.journal.store import Journal
from bench.pace.model import Model
from bench.pace.own_times import by_pattern, own_times
from bench.pace.predictive import stage_predictive
from bench.pace.records import PieceRecord, Variant, Work
from bench.pace.stage_predictive import StagePredictive
from bench.timing.finished_pieces import DAY_S, TimeBook
from bench.timing.kept_figures import (
    FILE,
    KeptFigures,
    Mark,
    checked,
    read_kept_figures,
    with_check,
)
from bench.timing.kept_model import model_from_json, model_to_json
from bench.timing.piece_records import loose_of, named_work


@dataclass(frozen=True)
class PaceBook:
    """The fitted pace, and what is said of the pieces that it rests on.

    `figures`: what is kept of it. `commissions`: each one's finished pieces, by id.
    `loose`: how many good pieces were started for none. `lost`: patterns that times were typed in
    for and that are not in the library. `left_out`: how many pieces have no time, and why.
    """

    model: Model
    figures: KeptFigures
    commissions: Mapping[str, Sequence[str]]
    loose: Mapping[Variant, int]
    lost: Sequence[str]
    left_out: str

    @classmethod
    def of(cls, book: TimeBook, mark: Mark, now_s: float) -> PaceBook:
        """Sum up the finished pieces of a book that was read, with their mark, at UTC seconds."""
        pieces = book.pieces.values()
        commissions: dict[str, list[str]] = {}
        for times in pieces:
            if times.commission is not None:
                commissions.setdefault(times.commission, []).append(times.piece)
        model = book.fit(now_s)
        return cls(
            model=model,
            figures=_figures(model, book.records, mark),
            commissions=commissions,
            loose=loose_of(pieces),
            lost=book.lost,
            left_out=book.left_out,
        )


def pace_book(
    journal: Journal,
    library: Library,
    book: TimeBook,
    now_s: float,
    tell: Callable[[int], object] = lambda _: None,
) -> PaceBook:
    """Return what the finished pieces say at UTC seconds; `book` is read only if it must be."""
    file = journal.path.with_name(FILE)
    mark, day = journal.mark_of_ended(), now_s // DAY_S
    figures = read_kept_figures(journal.path)
    with contextlib.suppress(OSError, ValueError, KeyError, TypeError):
        _, line = file.read_bytes().split(b"\n", 1)
        said = json.loads(checked(line))
        known = said["works"] == _works(library, said["works"])
        if [said["mark"], said["day"]] == [mark, day] and known and not figures.is_stale(mark):
            return _from_json(said, figures)
    book.read_all(journal, tell=tell)
    found = PaceBook.of(book, mark, now_s)
    if book.keep and mark:
        typed = {times.pattern for times in book.pieces.values() if times.recorded}
        whole = {"mark": mark, "day": day, "works": _works(library, typed), **pace_to_json(found)}
        parts = (found.figures.to_text(), json.dumps(whole))
        with contextlib.suppress(DocumentError):
            text = "".join(with_check(part) for part in parts)
            write_file(file, text, file.suffix)
    return found


def _works(library: Library, patterns: Iterable[str]) -> dict[str, list[int] | None]:
    """The work in a piece of each pattern, None where there is no such pattern."""
    found: dict[str, Work | None] = {name: named_work(library, name) for name in patterns}
    return {n: None if w is None else [w.beads, w.strands, w.crosses] for n, w in found.items()}


def _figures(model: Model, records: Sequence[PieceRecord], mark: Mark) -> KeptFigures:
    made = by_pattern(records)
    predicted: dict[tuple[str | None, ...], StagePredictive] = {(): stage_predictive(model)}
    predicted |= {(pattern,): stage_predictive(model, pattern) for pattern in model.patterns}
    predicted |= {variant: stage_predictive(model, variant) for variant in model.variants}
    return KeptFigures(
        mark=mark,
        pieces=model.pieces,
        own={pattern: own_times(times, pattern) for pattern, times in made.items()},
        predicted=predicted,
    )


def pace_to_json(book: PaceBook) -> dict[str, Any]:
    """All but the figures."""
    return {
        "model": model_to_json(book.model),
        "commissions": book.commissions,
        "loose": [[kind, count] for kind, count in book.loose.items()],
        "lost": book.lost,
        "left_out": book.left_out,
    }


def _from_json(said: dict[str, Any], figures: KeptFigures) -> PaceBook:
    return PaceBook(
        model=model_from_json(said["model"]),
        figures=figures,
        commissions=said["commissions"],
        loose={Variant(*variant): count for variant, count in said["loose"]},
        lost=said["lost"],
        left_out=said["left_out"],
    )
