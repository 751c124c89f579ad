"""What recorded times say to the screens: own times of a pattern, and when a piece is ready."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass

from bench.craft.words import duration, plural
from bench.documents.library import Library
from bench.journal.clock import Clock
from bench.journal.piece_times import PieceTimes, work_of
from bench.journal.store import Journal
from bench.making.braid import STAGES, Braid
from bench.pace.model import Model, fit
from bench.pace.own_times import OwnTimes, by_pattern, own_times
from bench.pace.piece_in_hand import SoFar, piece_in_hand
from bench.pace.predictive import Job, forecast, stage_predictive
from bench.pace.records import STAGES as HANDS_ON
from bench.pace.records import PieceRecord, Stage, Variant, Work
from bench.screens.kit.words import STAGE_WORDS, time_of_day
from bench.timing.finished_pieces import TimeBook
from bench.timing.piece_records import record_of

_ROUND_S = 300.0
REST_S = 0.001
"""A pause after each piece that is read in the background, for the hands at the keys."""


@dataclass(frozen=True)
class Found:
    """The records of all finished pieces by their ids, and the pace fitted to them."""

    records: dict[str, PieceRecord]
    model: Model


class Outlook:
    """The maker's pace: read and fitted by `work_out`, which another thread may call.

    Until `take` was given what it found, nothing is known and `ready` is False; `stale` says
    that something was finished since. `news` compares the piece finished last with what was
    expected of it.
    """

    def __init__(
        self, journal: Journal | None, clock: Clock, library: Library, *, keep: bool
    ) -> None:
        self._journal = journal
        self._clock = clock
        self._book = None if journal is None else TimeBook(journal.path, library, keep=keep)
        self._records: dict[str, PieceRecord] = {}
        self._by_pattern: dict[str, list[PieceRecord]] | None = None
        self._touched: set[str] = set()
        self.model = fit([])
        self.known = journal is None
        self.stale = not self.known
        self.news = ""

    def work_out(self, stop: Callable[[], bool] = lambda: False) -> Found:
        """Read what is not known yet, through a journal of its own, and fit the pace.

        Raises JournalError if the journal cannot be read.
        """
        book, journal = self._book, self._journal
        if book is None or journal is None:
            return Found({}, self.model)
        if not self.known:
            with Journal.open(journal.path, write=False, clock=self._clock) as reader:
                book.read_all(reader, stop, rest_s=REST_S)
        found = {piece: record_of(times) for piece, times in book.pieces.items()}
        records = {piece: record for piece, record in found.items() if record is not None}
        return Found(records, book.fit(self._clock.now().wall))

    def take(self, found: Found) -> None:
        """Take in what was found."""
        self._records, self._by_pattern = found.records, None
        self.model, self.known = found.model, True

    def touch(self, piece: str) -> None:
        """Note that something is done to a piece; `renew` reads it anew."""
        self._touched.add(piece)

    def renew(self) -> None:
        """Read the touched pieces anew, and compare what was finished with what was expected."""
        if self._book is None or self._journal is None:
            return
        touched, self._touched, self.news = self._touched, set(), ""
        for piece in touched:
            state = self._journal.state(piece)
            before = self._records.pop(piece, None)
            times = self._book.read(self._journal, state)
            record = record_of(times)
            if record is not None:
                self._records[piece] = record
                if before is None and self.known:
                    self.news = self._compared(times)
            if record != before:
                self.stale, self._by_pattern = True, None

    def _compared(self, times: PieceTimes) -> str:
        if times.work is None or not times.stages or times.status == "given up":
            return ""
        shares = tuple((stage, 1.0) for stage in times.stages)
        job = Job(times.pattern, times.size, times.colourway, times.work, shares)
        said = forecast(self.model, [job]).interval()
        parts = ", ".join(STAGE_WORDS[stage] for stage in times.stages)
        what = "hands-on" if times.whole else f"for {parts}"
        what += ", rework included" if (times.rework_s or 0.0) >= 60 else ""
        basis = "the guess was" if self.model.is_guess else "expected"
        return (
            f"{times.title}: {duration(times.spent_s)} {what}; {basis}"
            f" {duration(said.low_s)} to {duration(said.high_s)}"
        )

    @property
    def records(self) -> list[PieceRecord]:
        """Every finished piece of which some time is known, in the order begun."""
        return list(self._records.values())

    @property
    def pieces(self) -> list[PieceTimes]:
        """The times of every finished piece."""
        return [] if self._book is None else list(self._book.pieces.values())

    @property
    def left_out(self) -> str:
        """How many finished pieces have no time, and why; "" if none."""
        return "" if self._book is None else self._book.left_out

    def of_pattern(self, pattern: str) -> list[PieceRecord]:
        """The finished pieces of one pattern."""
        if self._by_pattern is None:
            self._by_pattern = by_pattern(self._records.values())
        return self._by_pattern.get(pattern, [])

    def own(self, pattern: str) -> OwnTimes:
        """The maker's own times of a pattern."""
        return own_times(self.of_pattern(pattern), pattern)

    def next_piece(self, job: Job) -> tuple[float, float, float]:
        """Seconds of the next piece: low, median and high; 8 in 10 fall between."""
        said = forecast(self.model, [job]).interval()
        return said.low_s, said.median_s, said.high_s

    def time_words(self, pattern: str, work: Work) -> str:
        """How long a piece of a pattern takes: the maker's own times, or what is forecast.

        Nothing while the times are being read.
        """
        if not self.known:
            return ""
        own = self.own(pattern)
        if own.median_s is None:
            _, likely, _ = self.next_piece(Job(pattern, None, None, work))
            basis = "guess" if self.model.is_guess else "by your other pieces"
            return f"about {duration(likely)} ({basis})"
        text = f"{duration(own.median_s)} (your {plural(own.pieces, 'piece')}"
        if own.fastest_s is not None and own.slowest_s is not None:
            text += f": {duration(own.fastest_s)} to {duration(own.slowest_s)}"
        return f"{text})"

    def times_of(self, braid: Braid) -> tuple[str, str]:
        """A piece's hands-on time so far, and when it is ready, in words."""
        spent = braid.braid_times().hands_on_s
        hands_on = f"hands-on {duration(spent)}" if spent >= 60 else ""
        ready = self.ready(braid, spent)
        if ready is None:
            return hands_on, ""
        now = dt.datetime.fromtimestamp(self._clock.now().wall, ready.tzinfo)
        return hands_on, f"ready about {time_of_day(ready, now)}"

    def ready(self, braid: Braid, braid_s: float) -> dt.datetime | None:
        """When the piece will be ready if the hands go on, to five minutes; drying included.

        braid_s: hands-on seconds of its braiding so far.
        """
        state, plan = braid.state, braid.plan
        if not state.open or state.stage is None:
            return None
        work = work_of(plan)
        kind = Variant(state.pattern_name, state.size, state.colourway)
        so_far: dict[Stage, SoFar] = {}
        here = STAGES.index(state.stage)
        for stage in HANDS_ON:
            if stage == "braid" and here == STAGES.index("braid"):
                so_far[stage] = SoFar(braid.made, braid_s)
            elif STAGES.index(stage) < here:
                so_far[stage] = SoFar(max(1, work.units(stage)), 0.0)
        ahead = piece_in_hand(stage_predictive(self.model, kind), work, so_far)
        spent = sum(part.seconds for part in so_far.values())
        rest = max(0.0, ahead.quantile(0.5) - spent)
        if here <= STAGES.index("dry"):
            rest += 60 * braid.pattern.finish.dry_minutes
        now = self._clock.now()
        zone = dt.timezone(dt.timedelta(minutes=now.offset_min))
        return dt.datetime.fromtimestamp(round((now.wall + rest) / _ROUND_S) * _ROUND_S, zone)
