"""A piece's events taken one by one: the gaps between presses, summed up to clean times."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from typing import Any, cast

from bench.journal.clock import Moment, seconds_between
from bench.journal.events import STAGES as ORDER
from bench.journal.events import Event
from bench.journal.piece_times import PieceTimes, frozen_work
from bench.journal.state import IN_THE_MAKING
from bench.pace.gaps import UNKNOWN, Rhythm, StageSum, Tick, TickKind, sum_stage
from bench.pace.guess import guess
from bench.pace.records import STAGES, Stage, Work

TOO_FAST = 0.05
"""A stage done in so small a part of the guess was pressed through, not done; no source."""
NEARLY_ALL = 0.9
"""From this share of its crosses on, a braid counts as timed whole: a few presses are forgotten."""
LONG_STAGE = 4.0
"""In stages without presses, a gap of so many times the built-in guess is a break; no source."""
SPREAD = 0.5

_TICKS: Mapping[str, TickKind] = {
    "taken_back": "taken_back",
    "place_set": "set",
    "paused": "paused",
    # Finding and mending a slip is rework, as taking back is.
    "slip_reported": "taken_back",
    "look_answered": "taken_back",
    "mend_chosen": "taken_back",
    "sew_in_done": "taken_back",
}
_ENDS = {"finished", "given_up", "reopened", "measured", "break_corrected"}


class PieceClock:
    """Takes a piece's events one by one and keeps their gaps, by stage."""

    def __init__(self, piece: str) -> None:
        self.piece = piece
        self.started: dict[str, Any] = {}
        self.lot: str | None = None
        self.status = IN_THE_MAKING
        self.ended_at: float | None = None
        self.made = 0
        self.recorded: list[dict[str, Any]] = []
        self.waiting_s: float | None = None
        self._ticks: dict[str, list[Tick]] = {}
        self._places: dict[str, tuple[str, range]] = {}
        self._overrides: dict[str, dict[int, bool]] = {}
        self._stage: str | None = None
        self._done: set[str] = set()
        self._loaded: dict[int, int] = {}
        self._last: Moment | None = None
        self._dry_from: float | None = None

    def take(self, event: Event, share: float = 1.0) -> None:
        """Count one more event in; `share` is the part of its seconds that fell to this piece."""
        if not event.understood:
            return
        kind, payload = event.kind, cast("dict[str, Any]", event.payload)
        self.lot = self.lot if event.lot is None else event.lot
        if kind == "piece_started":
            self.started = payload
        elif kind == "recorded":
            # Two benches may have typed in the same stage: the later one counts.
            self.recorded = [r for r in self.recorded if r["stage"] != payload["stage"]]
            self.recorded.append(payload)
        elif kind == "stage_started":
            self._stage, self._last = payload["stage"], event.moment
            self._done.discard(payload["stage"])
            if payload["stage"] == "dry":
                self._dry_from = event.moment.wall
        elif kind == "stage_ended":
            self._tick(event, "other" if payload["stage"] == "braid" else "made", [0], share)
            self._end(payload["stage"], event.moment)
        elif kind == "crossed":
            first, self.made = payload["from"], payload["to"]
            self._tick(event, "made", range(first + 1, self.made + 1), share, "braid")
        elif kind in {"taken_back", "place_set"}:
            self.made = payload["to"]
            self._tick(event, _TICKS[kind], [self.made], share, "braid")
        elif kind == "loaded":
            self._loaded[payload["strand"]] = payload["beads"]
        elif kind == "resumed":
            self._last = event.moment
        elif kind == "break_corrected":
            self._correct(payload)
        elif kind in {"finished", "given_up"}:
            self.status = payload.get("quality", "given up")
            self.ended_at = event.moment.wall
            self._close(event, share, done=kind == "finished")
        elif kind == "reopened":
            self.status, self.ended_at = IN_THE_MAKING, None
        if kind not in _ENDS and kind not in {"piece_started", "recorded", "stage_started"}:
            self._other(event, share)

    def _other(self, event: Event, share: float) -> None:
        if event.kind in {"stage_ended", "crossed", "taken_back", "place_set", "resumed"}:
            return
        kind = _TICKS.get(event.kind, "other" if self._stage == "braid" else "made")
        self._tick(event, kind, [self.made], share)

    def _close(self, event: Event, share: float, *, done: bool) -> None:
        """End the stage that a piece was in when it was finished; it is not done if given up."""
        if self._stage is not None:
            self._tick(event, "other" if self._stage == "braid" else "made", [0], share)
            self._end(self._stage, event.moment, done=done)

    def _end(self, stage: str, moment: Moment, *, done: bool = True) -> None:
        if stage == "dry" and self._dry_from is not None:
            self.waiting_s = (self.waiting_s or 0.0) + max(0.0, moment.wall - self._dry_from)
            self._dry_from = None
        if done:
            self._done.add(stage)
        if self._stage == stage:
            self._stage = None

    def _tick(
        self, event: Event, kind: TickKind, steps: Iterable[int], share: float, stage: str = ""
    ) -> None:
        stage = stage or self._stage or ""
        if not stage:
            return
        crosses = list(steps)
        gap = None if self._last is None else seconds_between(self._last, event.moment)
        ticks = self._ticks.setdefault(stage, [])
        self._places[event.uuid] = (stage, range(len(ticks), len(ticks) + len(crosses)))
        each = None if gap is None else gap * share / len(crosses)
        for cross in crosses:
            number = cross if stage == "braid" else len(ticks) + 1
            ticks.append(Tick(kind, number, each))
        self._last = event.moment

    def _correct(self, payload: dict[str, Any]) -> None:
        stage, ticks = self._places.get(payload["event"], ("", range(0)))
        for tick in ticks:
            self._overrides.setdefault(stage, {})[tick] = payload["is_break"]

    def braiding(self) -> StageSum:
        """Sum the braid stage up so far."""
        return sum_stage(self._ticks.get("braid", []), overrides=self._overrides.get("braid", {}))

    def times(self, work: Work | None) -> PieceTimes:
        """Sum the events up so far; `work` is what the piece's plan asks for."""
        said = self.started or (self.recorded[0] if self.recorded else {})
        status, ended = self.status, self.ended_at
        if self.recorded and not self.started:
            status, ended = self.recorded[-1]["quality"], self.recorded[-1]["finished_at"]
        stages = dict(self._sums(work)) if work is not None and self.started else {}
        units = dict(self._units(work, stages)) if work is not None else {}
        return PieceTimes(
            piece=self.piece,
            title=str(said.get("title") or ""),
            pattern=str(said.get("pattern_name") or said.get("pattern") or ""),
            size=said.get("size"),
            colourway=said.get("colourway"),
            commission=said.get("commission"),
            lot=self.lot,
            status=status,
            finished_at=ended,
            made=self.made,
            left=tuple(self._left(work)) if work is not None and status == IN_THE_MAKING else (),
            work=work,
            stages=stages,
            units=units,
            waiting_s=self.waiting_s,
            recorded=tuple(self.recorded) if not self.started else (),
        )

    def _left(self, work: Work) -> Iterator[tuple[Stage, float]]:
        """The stages from the present one on; those before it are done, or were left out."""
        passed = [ORDER.index(stage) for stage in self._done | {self._stage or "load"}]
        for stage in STAGES:
            share = 1.0
            if stage in self._done or ORDER.index(stage) < max(passed):
                share = 0.0
            elif stage == "braid":
                share -= min(1.0, self.made / work.crosses)
            elif stage == "load" and work.beads:
                share -= min(1.0, sum(self._loaded.values()) / work.beads)
            yield stage, share

    def _sums(self, work: Work) -> Iterator[tuple[Stage, StageSum]]:
        guessed = guess(work)
        for stage in STAGES:
            ticks = self._ticks.get(stage, [])
            if not ticks or guessed[stage] <= 0:
                continue
            rhythm, ceiling_s = UNKNOWN, 1800.0
            if stage != "braid":
                each = guessed[stage] / len(ticks)
                rhythm = Rhythm(math.log(each), SPREAD, 0)
                ceiling_s = max(ceiling_s, LONG_STAGE * each)
            found = sum_stage(
                ticks,
                earlier=rhythm,
                ceiling_s=ceiling_s,
                overrides=self._overrides.get(stage, {}),
            )
            seen = sum(t.gap_s is not None for t in ticks) > len(found.breaks)
            share = min(1.0, found.crosses / work.crosses) if stage == "braid" else 1.0
            if seen and found.hands_on_s > TOO_FAST * guessed[stage] * share > 0:
                yield stage, found

    def _units(self, work: Work, stages: Mapping[Stage, StageSum]) -> Iterator[tuple[Stage, float]]:
        """What was done of each timed stage; nothing is said of one that was broken off uncounted.

        A braid that was broken off has its crosses, a loading the beads that it came to.
        """
        for stage, found in stages.items():
            whole = work.units(stage)
            done = stage in self._done or self.status in {"good", "second"}
            if stage == "braid":
                nearly = done and found.crosses >= NEARLY_ALL * whole
                yield stage, whole if nearly else max(1, found.crosses)
            elif done:
                yield stage, whole
            elif stage == "load" and any(self._loaded.values()):
                yield stage, min(whole, sum(self._loaded.values()))


def piece_times(events: Iterable[Event], work: Work | None = None) -> PieceTimes:
    """Sum up the times of one piece, from its events in order.

    Without `work` it is worked out from the plan that the piece was started with.
    Raises ValueError without any event.
    """
    clock: PieceClock | None = None
    for event in events:
        clock = clock or PieceClock(event.piece)
        clock.take(event, dict(event.pieces).get(clock.piece, 1.0))
    if clock is None:
        raise ValueError("a piece has at least one event")
    if work is None and clock.started:
        work = frozen_work(clock.started)
    return clock.times(work)
