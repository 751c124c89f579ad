"""The times of all finished pieces, kept beside the journal so that a large one opens fast.

A finished piece's sums stand in a file next to the journal, with a mark of the piece's events;
while that is the same they need not be read. The file may be lost, broken or thrown
away at any time: it is made again from the journal.
"""

from __future__ import annotations

import contextlib
import json
import time
from collections.abc import Callable, Iterable, Mapping
from dataclasses import asdict, fields, replace
from functools import cache
from pathlib import Path
from typing import Any

from bench.craft.stages import HANDS_ON, HandsOn
from bench.documents.library import Library
from bench.journal.frozen import frozen_work
from bench.journal.payloads import Recorded
from bench.journal.piece_state import LotLeft, PieceState
from bench.journal.piece_times import PieceTimes, piece_times
from bench.journal.regular_file import check_regular, read_regular
from bench.journal.store import Journal
from bench.journal.typed_json import as_json, read
from bench.pace.gaps import StageSum
from bench.pace.records import Outcome, PieceRecord, Work
from bench.timing.kept_figures import MOST_BYTES, checked, with_check
from bench.timing.piece_records import named_work, outcome_of, record_of

FILE = "times.cache"


class FinishedPieces:
    """What every finished piece took, by its id.

    `read_all` may be called by another thread with a journal of its own; `read` meanwhile by the
    one that holds this.
    """

    def __init__(self, journal: Path, library: Library, *, keep: bool) -> None:
        """Read no piece yet of the journal at a path; `keep`: the file beside it may be written."""
        self.file = journal.with_name(FILE)
        self.pieces: Mapping[str, PieceTimes] = {}
        self._library = library
        self.keep = keep
        self._fresh: dict[str, PieceTimes] = {}
        self._works: dict[str, Work | None] = {}

    @property
    def records(self) -> list[PieceRecord]:
        """Every finished or given-up piece of which some time is known, in the order begun."""
        found = (record_of(times) for times in self.pieces.values())
        return [record for record in found if record is not None]

    @property
    def untimed(self) -> list[Outcome]:
        """How the finished or given-up pieces came out of which no time is known."""
        found = (self.untimed_one(piece) for piece in self.pieces)
        return [outcome for outcome in found if outcome is not None]

    def untimed_one(self, piece: str) -> Outcome | None:
        """How a piece came out of which no time is known; None for any other one."""
        times = self.pieces.get(piece)
        if times is None or times.trial or times.too_fast or record_of(times) is not None:
            return None
        return outcome_of(times)

    @property
    def left_out(self) -> str:
        """Say how many pieces went by too fast to be work, and what may be done; "" if none did."""
        count = sum(
            not (t.recorded or t.trial)
            and (t.too_fast or (t.status != "given up" and record_of(t) is None))
            for t in self.pieces.values()
        )
        if not count:
            return ""
        noun = "1 piece is" if count == 1 else f"{count:,} pieces are"
        why = "keys pressed faster than hands work; C among its pieces marks a trial"
        return f"{noun} left out: {why}"

    @property
    def lost(self) -> list[str]:
        """The patterns that times were typed in for and that are not in the library."""
        return sorted({t.pattern for t in self.pieces.values() if t.recorded and t.work is None})

    def read_all(
        self,
        journal: Journal,
        stop: Callable[[], bool] = lambda: False,
        *,
        rest_s: float = 0.0,
        tell: Callable[[int], object] = lambda _: None,
    ) -> None:
        """Read every finished piece, those from the file whose events are still the same.

        One that was given up before anything was counted is no piece, and is left out.

        `rest_s`: a pause after each piece that is read anew; `tell`: told how many that may be.
        """
        kept, ended = self._kept(), journal.ended()
        tell(sum(not last or kept.get(piece, ("",))[0] != last for piece, last in ended.items()))
        self.pieces = self._read(journal, kept, ended, stop, rest_s) | self._fresh

    def read_these(self, journal: Journal, pieces: Iterable[str]) -> None:
        """Read some finished pieces, as `read_all` does, and none beside them."""
        wanted = dict.fromkeys(pieces, "")
        self.pieces = self._read(journal, self._kept() if wanted else {}, wanted)

    def _read(
        self,
        journal: Journal,
        kept: Mapping[str, tuple[str, str]],
        ended: Mapping[str, str],
        stop: Callable[[], bool] = lambda: False,
        rest_s: float = 0.0,
    ) -> dict[str, PieceTimes]:
        found: dict[str, PieceTimes] = {}
        new: dict[str, tuple[str, PieceTimes]] = {}
        try:
            for piece, last in ended.items():
                if stop():
                    break
                known, text = kept.get(piece, ("", ""))
                if not last or known != last:
                    state = journal.state(piece)
                    if state.open or state.blank:
                        continue
                    last = state.mark
                times = _from_json(text) if known == last else None
                if times is None:
                    times = self._sum(journal, piece)
                    new[piece] = (last, times)
                    time.sleep(rest_s)
                elif times.recorded:
                    times = replace(times, work=self._named(times.pattern))
                found[piece] = times
        finally:
            self._write(new, over=not kept)
        return found

    def read(self, journal: Journal, state: PieceState) -> PieceTimes:
        """Read one piece anew, as after something was done to it."""
        times = self._sum(journal, state.uuid)
        if state.open or state.blank:
            self._fresh.pop(state.uuid, None)
            self.pieces = {p: t for p, t in self.pieces.items() if p != state.uuid}
        else:
            self._fresh[state.uuid] = times
            self.pieces = {**self.pieces, state.uuid: times}
            self._write({state.uuid: (state.mark, times)})
        return times

    def _sum(self, journal: Journal, piece: str) -> PieceTimes:
        state = journal.timed(piece)
        return _lean(piece_times(state, self._work(journal, state)))

    def _work(self, journal: Journal, state: PieceState) -> Work | None:
        if not state.hash:
            return self._named(state.pattern_name) if state.pattern_name else None
        if state.hash not in self._works:
            self._works[state.hash] = frozen_work(journal.started(state.uuid))
        return self._works[state.hash]

    def _named(self, pattern: str) -> Work | None:
        key = f"name {pattern}"
        if key not in self._works:
            self._works[key] = named_work(self._library, pattern)
        return self._works[key]

    # The file: one piece a line, after its check, id and mark; its last line counts

    def _kept(self) -> dict[str, tuple[str, str]]:
        kept: dict[str, tuple[str, str]] = {}
        with contextlib.suppress(OSError):
            for line in read_regular(self.file, MOST_BYTES).splitlines():
                with contextlib.suppress(ValueError):
                    piece, last, text = checked(line).decode("ascii").split("\t")
                    kept[piece] = (last, text)
        return kept

    def _write(self, new: Mapping[str, tuple[str, PieceTimes]], *, over: bool = False) -> None:
        if not (self.keep and new):
            return
        lines = (
            with_check(f"{piece}\t{last}\t{json.dumps(_to_json(times))}")
            for piece, (last, times) in new.items()
        )
        text = "".join(lines).encode("ascii")
        with contextlib.suppress(OSError):
            check_regular(self.file)
            with self.file.open("wb" if over else "ab") as f:
                f.write(text)


def _lean(times: PieceTimes) -> PieceTimes:
    """Leave the single presses out: sums are kept, thousands of pieces long."""
    stages = {stage: replace(found, work_s=()) for stage, found in times.stages.items()}
    return replace(times, stages=stages)


def _to_json(times: PieceTimes) -> dict[str, Any]:
    said = {f.name: getattr(times, f.name) for f in fields(times)}
    said["stages"] = {stage: asdict(found) for stage, found in times.stages.items()}
    said["recorded"] = as_json(times.recorded)
    said["lots_left"] = as_json(times.lots_left)
    said["work"] = None if times.work is None else asdict(times.work)
    return said


_work = cache(Work)
"""Thousands of pieces share the works of a few patterns."""


def _from_json(text: str) -> PieceTimes:
    said = json.loads(text)
    stages: dict[HandsOn, StageSum] = {}
    for stage in HANDS_ON:
        found = said["stages"].get(stage)
        if found is not None:
            stages[stage] = StageSum(**{**found, "breaks": tuple(found["breaks"]), "work_s": ()})
    work = None if said["work"] is None else _work(**said["work"])
    recorded = tuple(read(Recorded, one) for one in said["recorded"])
    days = tuple((day, seconds) for day, seconds in said["days"])
    done = {"stages": stages, "work": work, "recorded": recorded, "left": (), "days": days}
    left = tuple(read(LotLeft, one) for one in said["lots_left"])
    return PieceTimes(**{**said, **done, "lots_left": left})
