"""The one pace service: what the finished pieces of a journal say, for app and commands alike.

It owns two files beside the journal: each piece's sums (`times.cache`), and the fit with its
figures (`pace.cache`). They hold while the journal's finished pieces, the program's `VERSION`, the
day, and the work of patterns whose times were typed in are the same; lost, broken or thrown away
at any time, they are made again. Nothing of the fit is loaded before one is asked for.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from bench.documents.library import Library
from bench.journal.clock import Clock
from bench.journal.piece_times import PieceTimes
from bench.journal.store import Journal
from bench.pace.records import PieceRecord
from bench.timing.finished_pieces import FinishedPieces
from bench.timing.kept_figures import JournalMark, KeptFigures, read_kept_figures
from bench.timing.piece_records import record_of

if TYPE_CHECKING:
    from bench.pace.model import Model
    from bench.pace.predictive import Job
    from bench.timing.fitted_pace import FittedPace

REST_S = 0.001
"""A pause after each piece that is read in the background, for the hands at the keys."""


class PaceService:
    """The pace of the journal at a path; `keep`: its files may be written.

    finished: the pieces that were read so far, with their sums.
    """

    def __init__(self, path: Path, library: Library, *, keep: bool) -> None:
        self.finished = FinishedPieces(path, library, keep=keep)
        self._path, self._library = path, library

    def fitted(
        self, journal: Journal, now_s: float, tell: Callable[[int], object] = lambda _: None
    ) -> FittedPace:
        """Return the fit at UTC seconds, as it was kept or made anew from all pieces.

        tell: told how many pieces have to be read for it.
        """
        from bench.timing.fitted_pace import read_fitted

        mark = journal.mark_of_ended()
        kept = read_fitted(self._path, self._library, mark, now_s)
        if kept is not None:
            return kept
        self.finished.read_all(journal, tell=tell)
        return self._fit(mark, now_s)

    def _fit(self, mark: JournalMark, now_s: float) -> FittedPace:
        """Fit the pieces that were read; an empty mark keeps the fit from being written."""
        from bench.timing.fitted_pace import FittedPace, keep_fitted

        found = FittedPace.of(self.finished, mark, now_s)
        if self.finished.keep and mark:
            keep_fitted(found, self.finished, self._path, self._library, now_s)
        return found


@dataclass(frozen=True)
class WorkedOut:
    """What another thread has found: the records by piece, the figures, and the fit if wanted."""

    records: dict[str, PieceRecord]
    figures: KeptFigures
    model: Model | None


@dataclass(frozen=True)
class Wanted:
    """What another thread is asked for.

    Attributes:
        changed: whether what was kept no longer holds, a piece having been read anew since.
        settled: whether everything that was done to a piece is read, and in the journal's file.
        fit: whether the fit itself is wanted.

    """

    changed: bool
    settled: bool
    fit: bool


class LivePace(PaceService):
    """The pace while pieces are made: worked out aside, brought up to date piece by piece.

    `work_out` may be called by another thread, with what `ask` has returned before; all else
    belongs to the one that holds this.

    Attributes:
        figures: as last worked out; of no piece before.
        known: whether every finished piece was read.
        stale: whether there is something to work out.
        just_finished: what `renew` found finished last, until its next call.

    """

    def __init__(
        self, journal: Journal | None, clock: Clock, library: Library, *, keep: bool
    ) -> None:
        path = library.home / "journal.db" if journal is None else journal.path
        super().__init__(path, library, keep=keep and journal is not None)
        self._journal, self._clock = journal, clock
        self._records: dict[str, PieceRecord] = {}
        self._touched: set[str] = set()
        self._wanted = self._changed = False
        self._model: Model | None = None
        self.figures = KeptFigures()
        self.known = journal is None
        self.stale = not self.known
        self.just_finished: PieceTimes | None = None

    def want_fit(self) -> None:
        """Ask for the fit itself: from now on `work_out` finds it."""
        self.stale = self.stale or not self.has_fit
        self._wanted = True

    @property
    def has_fit(self) -> bool:
        """Whether the fit is there, or there is no journal that it could be of."""
        return self._model is not None or self._journal is None

    @property
    def model(self) -> Model:
        """The fit, where there is one; what is taken for granted before."""
        from bench.pace.model import fit

        return self._model or fit([])

    def ask(self) -> Wanted:
        """Say what is to be worked out now; nothing is stale any more."""
        changed, self.stale, self._changed = self._changed, False, False
        # Something was done to a touched piece that the mark tells of, but not what was read.
        unsettled = self._journal is None or self._touched or self._journal.pending
        return Wanted(changed, not unsettled, self._wanted)

    def work_out(self, wanted: Wanted, stop: Callable[[], bool] = lambda: False) -> WorkedOut:
        """Read what is not known yet, through a journal of its own, and fit what needs a fit.

        Raises JournalError if the journal cannot be read.
        """
        now_s, mark = self._clock.now().wall, list[str | int]()
        if self._journal is not None:
            with Journal.open(self._path, write=False, clock=self._clock) as reader:
                mark = reader.mark_of_ended()
                if not self.known:
                    self.finished.read_all(reader, stop, rest_s=REST_S)
        figures, model = read_kept_figures(self._path), None
        if wanted.fit or wanted.changed or figures.is_stale(mark):
            from bench.timing.fitted_pace import read_fitted

            kept = None if wanted.changed else read_fitted(self._path, self._library, mark, now_s)
            fitted = kept or self._fit(mark if wanted.settled and not stop() else (), now_s)
            figures, model = fitted.figures, fitted.model
        pieces = {piece: record_of(times) for piece, times in self.finished.pieces.items()}
        records = {piece: record for piece, record in pieces.items() if record is not None}
        return WorkedOut(records, figures, model)

    def take(self, found: WorkedOut) -> None:
        """Take in what was found."""
        self._records, self.figures, self.known = found.records, found.figures, True
        if found.model is not None:
            self._model, self.stale = found.model, self._changed

    def touch(self, piece: str) -> None:
        """Note that something is done to a piece; `renew` reads it anew."""
        self._touched.add(piece)

    def renew(self) -> None:
        """Read the touched pieces anew."""
        touched, self._touched, self.just_finished = self._touched, set(), None
        if self._journal is None:
            return
        for piece in touched:
            state = self._journal.state(piece)
            before = self._records.pop(piece, None)
            outcome = self.finished.untimed_one(piece)
            times = self.finished.read(self._journal, state)
            record = record_of(times)
            if record is not None:
                self._records[piece] = record
                if before is None and self.known:
                    self.just_finished = times
            if (record, self.finished.untimed_one(piece)) != (before, outcome):
                self.stale = self._changed = True

    @property
    def records(self) -> list[PieceRecord]:
        """Every finished piece of which some time is known, in the order begun."""
        return list(self._records.values())

    @property
    def pieces(self) -> list[PieceTimes]:
        """The times of every finished piece."""
        return list(self.finished.pieces.values())

    def next_piece(self, job: Job) -> tuple[float, float, float]:
        """Seconds of the next piece: low, median and high; 8 in 10 fall between."""
        from bench.pace.predictive import forecast

        said = forecast(self.model, [job]).interval()
        return said.low_s, said.median_s, said.high_s
