"""Clean times of every piece, read from the journal's events in one pass."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from typing import Any, cast

from pydantic import ValidationError

from bench.clock import Moment, seconds_between
from bench.craft.load import SKIP
from bench.craft.pattern import Pattern
from bench.craft.plan import Plan
from bench.craft.structure import Structure
from bench.craft.text import Fault
from bench.documents import DocumentError
from bench.journal.events import KINDS, Event
from bench.journal.events import STAGES as ORDER
from bench.journal.rows import Row
from bench.journal.state import IN_THE_MAKING
from bench.journal.store import Journal
from bench.library import Library
from bench.pace.gaps import UNKNOWN, Rhythm, StageSum, Tick, TickKind, sum_stage
from bench.pace.guess import guess
from bench.pace.records import STAGES, Outcome, PieceRecord, Stage, StageTime, Work

TOO_FAST = 0.05
"""A stage done in so small a part of the guess was pressed through, not done; no source."""
LONG_STAGE = 4.0
"""In stages without presses, a gap of so many times the built-in guess is a break; no source."""
NEARLY_ALL = 0.9
"""From this share of its crosses on, a braid counts as timed whole: a few presses are forgotten."""
SPREAD = 0.5

_TICKS: Mapping[str, TickKind] = {
    "taken_back": "taken_back",
    "place_set": "set",
    # Finding and mending a slip is rework, as taking back is.
    "slip_reported": "taken_back",
    "look_answered": "taken_back",
    "mend_chosen": "taken_back",
    "sew_in_done": "taken_back",
}
_ENDS = {"finished", "given_up", "reopened", "measured", "break_corrected"}


@dataclass(frozen=True)
class PieceTimes:
    """What is known of one piece's times.

    `work` is None where its frozen pattern cannot be read. `stages` has the hands-on stages that
    were timed; `waiting_s` is the drying. `recorded` has what was typed in or imported.
    """

    piece: str
    title: str
    pattern: str
    size: str | None
    colourway: str | None
    run: str | None
    lot: str | None
    status: str
    finished_at: float | None
    made: int
    left: tuple[tuple[Stage, float], ...]
    """How much of each hands-on stage is still to do, from 0 to 1; nothing of a finished piece."""
    work: Work | None
    stages: Mapping[Stage, StageSum]
    waiting_s: float | None
    recorded: tuple[Mapping[str, Any], ...]

    @property
    def hands_on_s(self) -> float:
        """Hands-on seconds that are known, of all stages."""
        typed = _typed(self.recorded)
        return typed if self.recorded else sum(s.hands_on_s for s in self.stages.values())

    @property
    def whole(self) -> bool:
        """Whether every stage that has any work was timed."""
        return self.work is not None and all(
            stage in self.stages for stage in STAGES if self.work.units(stage)
        )


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
        known = KINDS.get(event.kind)
        if known is None or event.version > known.version:
            return
        kind, payload = event.kind, cast("dict[str, Any]", event.payload)
        self.lot = self.lot if event.lot is None else event.lot
        if kind == "piece_started":
            self.started = payload
        elif kind == "recorded":
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
            self._close(event, share)
        elif kind == "reopened":
            self.status, self.ended_at = IN_THE_MAKING, None
        if kind not in _ENDS and kind not in {"piece_started", "recorded", "stage_started"}:
            self._other(event, share)

    def _other(self, event: Event, share: float) -> None:
        if event.kind in {"stage_ended", "crossed", "taken_back", "place_set", "resumed"}:
            return
        kind = _TICKS.get(event.kind, "other" if self._stage == "braid" else "made")
        self._tick(event, kind, [self.made], share)

    def _close(self, event: Event, share: float) -> None:
        """End the stage that a piece was in when it was finished."""
        if self._stage is not None:
            self._tick(event, "other" if self._stage == "braid" else "made", [0], share)
            self._end(self._stage, event.moment)

    def _end(self, stage: str, moment: Moment) -> None:
        if stage == "dry" and self._dry_from is not None:
            self.waiting_s = (self.waiting_s or 0.0) + max(0.0, moment.wall - self._dry_from)
            self._dry_from = None
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

    def times(self, work: Work | None) -> PieceTimes:
        """Sum the events up so far; `work` is what the piece's plan asks for."""
        said = self.started or (self.recorded[0] if self.recorded else {})
        status, ended = self.status, self.ended_at
        if self.recorded and not self.started:
            status, ended = self.recorded[-1]["quality"], self.recorded[-1]["finished_at"]
        return PieceTimes(
            piece=self.piece,
            title=str(said.get("title") or ""),
            pattern=str(said.get("pattern_name") or said.get("pattern") or ""),
            size=said.get("size"),
            colourway=said.get("colourway"),
            run=said.get("run"),
            lot=self.lot,
            status=status,
            finished_at=ended,
            made=self.made,
            left=tuple(self._left(work)) if work is not None and status == IN_THE_MAKING else (),
            work=work,
            stages=dict(self._sums(work)) if work is not None and self.started else {},
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
            share = min(1.0, self._share(stage, found, work))
            if seen and found.hands_on_s > TOO_FAST * guessed[stage] * share > 0:
                yield stage, found

    def _share(self, stage: Stage, found: StageSum, work: Work) -> float:
        return found.crosses / work.crosses if stage == "braid" else 1.0


@dataclass
class _Works:
    """The work in a piece of each pattern: of frozen ones by hash, of others by name."""

    library: Library
    frozen: dict[str, Work | None] = field(default_factory=dict)
    named: dict[str, Work | None] = field(default_factory=dict)

    def of(self, clock: PieceClock) -> Work | None:
        if clock.started:
            key = str(clock.started["hash"])
            if key not in self.frozen:
                self.frozen[key] = frozen_work(clock.started)
            return self.frozen[key]
        if not clock.recorded:
            return None
        name = str(clock.recorded[0]["pattern"])
        if name not in self.named:
            self.named[name] = named_work(self.library, name)
        return self.named[name]


def work_of(plan: Plan) -> Work:
    """The beads, strands and crosses of a plan."""
    beads = sum(len(load.replace(SKIP, "")) for load in plan.loads)
    return Work(beads, plan.strands, max(1, plan.crosses))


def frozen_work(started: Mapping[str, Any]) -> Work | None:
    """The work in a piece, from the event that started it; None if that cannot be read."""
    try:
        pattern = Pattern.model_validate(started["pattern"])
        return work_of(Plan(pattern, Structure.model_validate(started["structure"])))
    except (ValidationError, Fault):
        return None


def named_work(library: Library, name: str) -> Work | None:
    """The work in a piece of a pattern of the library; None if there is no such pattern."""
    try:
        path = library.pattern_path(name)
        return work_of(library.plan(path, library.pattern(path)))
    except (DocumentError, Fault):
        return None


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


def all_times(journal: Journal, library: Library | None = None) -> list[PieceTimes]:
    """Sum up the times of every piece, open ones too, in one pass over the journal's events.

    `library` knows the patterns of pieces whose times were typed in; by default that of the
    journal's folder.
    """
    clocks: dict[str, PieceClock] = {}
    for event in journal.events():
        for piece, share in event.pieces:
            if piece not in clocks:
                clocks[piece] = PieceClock(piece)
            clocks[piece].take(event, share)
    works = _Works(library or Library(journal.path.parent))
    return [clock.times(works.of(clock)) for clock in clocks.values()]


def records(journal: Journal, library: Library | None = None) -> list[PieceRecord]:
    """Every finished or given-up piece with its times; pieces without any time are left out."""
    found = (record_of(times) for times in all_times(journal, library))
    return [record for record in found if record is not None]


def record_of(times: PieceTimes) -> PieceRecord | None:
    """One piece as the pace room takes it; None if it is not done or nothing of it was timed."""
    if times.status == IN_THE_MAKING or times.work is None:
        return None
    whole_s = None
    if times.recorded:
        stages = tuple(_typed_stages(times))
        wholes = [r["hands_on_s"] for r in times.recorded if r["stage"] is None]
        whole_s = wholes[-1] if wholes and wholes[-1] > 0 else None
    else:
        stages = tuple(
            StageTime(stage, _units(times, stage), found.hands_on_s)
            for stage, found in times.stages.items()
        )
    if not stages and whole_s is None:
        return None
    outcome: Outcome = "given_up"
    if times.status != "given up":
        outcome = "second" if times.status == "second" else "good"
    return PieceRecord(
        pattern=times.pattern,
        size=times.size or "",
        colourway=times.colourway or "",
        work=times.work,
        day=None if times.finished_at is None else times.finished_at / 86400,
        stages=stages,
        whole_s=whole_s,
        outcome=outcome,
    )


def rows_of(times: PieceTimes) -> Iterator[Row]:
    """A finished piece as rows: one of the whole if every stage was timed, else one a stage."""
    if times.status in {IN_THE_MAKING, "given up"}:
        return
    for said in times.recorded:
        yield replace(
            _row(times, said["stage"], said["hands_on_s"], said["rework_s"], said["crosses"]),
            finished_at=said["finished_at"],
            waiting_s=said["waiting_s"],
        )
    if times.whole:
        seconds = sum(found.hands_on_s for found in times.stages.values())
        rework = sum(found.rework_s for found in times.stages.values())
        row = _row(times, None, round(seconds, 1), round(rework, 1), times.made or None)
        yield replace(row, waiting_s=times.waiting_s)
        return
    for stage, found in times.stages.items():
        crosses = found.crosses if stage == "braid" else None
        yield _row(times, stage, round(found.hands_on_s, 1), round(found.rework_s, 1), crosses)


def _row(
    times: PieceTimes,
    stage: str | None,
    hands_on_s: float,
    rework_s: float | None,
    crosses: int | None,
) -> Row:
    return Row(
        piece=times.title or None,
        finished_at=times.finished_at,
        pattern=times.pattern,
        size=times.size,
        colourway=times.colourway,
        stage=stage,
        hands_on_s=hands_on_s,
        waiting_s=None,
        crosses=crosses,
        rework_s=rework_s,
        uuid=times.piece,
    )


def _units(times: PieceTimes, stage: Stage) -> float:
    assert times.work is not None
    whole = times.work.units(stage)
    if stage != "braid":
        return whole
    crosses = times.stages[stage].crosses
    done = times.status != "given up"
    return whole if done and crosses >= NEARLY_ALL * whole else max(1, crosses)


def _typed(recorded: Iterable[Mapping[str, Any]]) -> float:
    """Hands-on seconds of what was typed in: the whole, or else the stages together."""
    whole, parts = 0.0, 0.0
    for said in recorded:
        if said["stage"] is None:
            whole = float(said["hands_on_s"])
        else:
            parts += float(said["hands_on_s"])
    return whole or parts


def _typed_stages(times: PieceTimes) -> Iterator[StageTime]:
    assert times.work is not None
    last = {said["stage"]: said for said in times.recorded}
    for stage in STAGES:
        said = last.get(stage)
        units = times.work.units(stage)
        if said is None or said["hands_on_s"] <= 0 or not units:
            continue
        counted = said["crosses"] if stage == "braid" and said["crosses"] else units
        yield StageTime(stage, min(counted, units), said["hands_on_s"])
