"""The clean times of a piece, as the pace, the screens and CSV take them."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from bench.craft.stages import HANDS_ON, STAGES, HandsOn
from bench.craft.words import full_name
from bench.journal.payloads import Recorded
from bench.journal.piece_state import LotLeft, PieceState, Status
from bench.journal.presses import Presses, StageTicks, ticks_by_stage
from bench.pace.gaps import UNKNOWN, Rhythm, StageSum, sum_stage
from bench.pace.guess import guess
from bench.pace.records import Variant, Work

TOO_FAST = 0.05
"""A stage done in so small a part of the guess was pressed through, not done; no source."""
NEARLY_ALL = 0.9
"""From this share of its crosses on, a braid counts as timed whole: a few presses are forgotten."""
LONG_STAGE = 4.0
"""In stages without presses, a gap of so many times the built-in guess is a break; no source."""
SPREAD = 0.5
DAY_S = 86_400.0
PRESSED = 0.12
"""Crosses in so small a part of the guess (3 s with beads) are keys pressed; no source."""
FEW = 8
"""Fewer crosses say nothing of how fast they were pressed."""


@dataclass(frozen=True, slots=True)
class PieceTimes:
    """What is known of one piece's times.

    `work` is None where its frozen pattern cannot be read. `stages` has the hands-on stages that
    were timed, `units` what was done in each of them: a stage that was broken off and has no
    count of its own has none. `waiting_s` is the drying. `recorded` has what was typed in or
    imported.
    """

    piece: str
    title: str
    pattern: str
    size: str | None
    colourway: str | None
    commission: str | None
    commission_id: str | None
    lot: str | None
    lot_id: str | None
    number: int | None
    status: Status
    finished_at: float | None
    made: int
    left: tuple[tuple[HandsOn, float], ...]
    """How much of each hands-on stage is still to do, from 0 to 1; nothing of a finished piece."""
    work: Work | None
    stages: Mapping[HandsOn, StageSum]
    units: Mapping[HandsOn, float]
    waiting_s: float | None
    recorded: tuple[Recorded, ...]
    trial: bool
    """The maker said that it was only tried out: it counts for nothing."""
    too_fast: bool
    """Its crosses were pressed faster than hands can work: no time of it is used."""
    days: tuple[tuple[int, float], ...]
    """Seconds at the bench, breaks left out, by UTC day since 1970; of times that are known."""
    lots_left: tuple[LotLeft, ...] = ()
    """The lots that it was in."""

    @property
    def name(self) -> str:
        """What the piece is called in full."""
        return full_name(self.title or self.pattern, self.size, self.colourway)

    @property
    def kind(self) -> Variant:
        """What it is: its pattern, size and colourway."""
        return Variant(self.pattern, self.size, self.colourway)

    @property
    def hands_on_s(self) -> float:
        """Hands-on seconds that are known, of all stages."""
        typed = _typed(self.recorded)
        return typed if self.recorded else sum(s.hands_on_s for s in self.stages.values())

    @property
    def rework_s(self) -> float | None:
        """Seconds of rework; None where nothing is known of it."""
        if self.recorded:
            typed = {r.stage: r.rework_s for r in self.recorded if r.rework_s is not None}
            return typed.get(None, sum(typed.values())) if typed else None
        known = [found.rework_s for found in self.stages.values()]
        return sum(known) if "braid" in self.stages else None

    @property
    def spent_s(self) -> float:
        """Hands-on seconds with rework: what a forecast says, and what is paid for."""
        return self.hands_on_s + (self.rework_s or 0.0)

    @property
    def is_timed(self) -> bool:
        """Whether any hours of it are known that can be used."""
        return self.spent_s > 0 and not self.too_fast

    @property
    def whole(self) -> bool:
        """Whether every stage that has any work was timed."""
        return self.work is not None and all(
            stage in self.stages for stage in HANDS_ON if self.work.units(stage)
        )


def braid_sum(presses: Presses) -> StageSum:
    """Divide the seconds of the braid stage up to now."""
    found = ticks_by_stage(presses).get("braid", StageTicks())
    return sum_stage(found.ticks, overrides=found.overrides(presses.corrections))


def piece_times(state: PieceState, work: Work | None) -> PieceTimes:
    """Sum up the times of a piece; `work` is what its plan asks for.

    Raises ValueError for a state without its presses.
    """
    presses = state.presses
    if presses is None:
        raise ValueError("the times of a state from a checkpoint are not known")
    started = bool(state.hash)
    stages = dict(_sums(presses, work)) if work is not None and started else {}
    ended_at = presses.ended_at
    if presses.recorded and not started:
        ended_at = presses.recorded[-1].finished_at
    return PieceTimes(
        piece=state.uuid,
        title=state.title,
        pattern=state.pattern_name,
        size=state.size,
        colourway=state.colourway,
        commission=state.commission,
        commission_id=state.commission_id,
        lot=state.lot,
        lot_id=state.lot_id,
        number=state.number,
        status=state.status,
        finished_at=ended_at,
        made=state.made if started else 0,
        left=tuple(_left(state, work)) if work is not None and state.open else (),
        work=work,
        stages=stages,
        units=dict(_units(state, work, stages)) if work is not None else {},
        waiting_s=presses.waiting_s,
        recorded=() if started else presses.recorded,
        trial=state.trial,
        too_fast=started and work is not None and _pressed_through(presses, work),
        days=tuple(_days(presses, stages) if started else _typed_days(presses.recorded)),
        lots_left=state.lots_left,
    )


def _pressed_through(presses: Presses, work: Work) -> bool:
    """Whether its crosses took less than hands can."""
    found = ticks_by_stage(presses).get("braid")
    if found is None or all(tick.gap_s is None for tick in found.ticks):
        return False
    braid = braid_sum(presses)
    if braid.crosses < FEW:
        return False
    return braid.hands_on_s < PRESSED * guess(work)["braid"] * braid.crosses / work.crosses


def _days(presses: Presses, stages: Mapping[HandsOn, StageSum]) -> list[tuple[int, float]]:
    """Sum the seconds of each day's presses up."""
    days: dict[int, float] = {}
    by_stage = ticks_by_stage(presses)
    walls = {press.event: press.instant.wall for press in presses.all}
    for stage, found in stages.items():
        for event, span in by_stage[stage].spans.items():
            day = int(walls[event] // DAY_S)
            days[day] = days.get(day, 0.0) + sum(found.work_s[span.start : span.stop])
    return sorted(days.items())


def _typed_days(recorded: Sequence[Recorded]) -> list[tuple[int, float]]:
    """Take what was typed in as worked on the day when it was finished."""
    ends = [said.finished_at for said in recorded if said.finished_at is not None]
    return [(int(max(ends) // DAY_S), _typed(recorded))] if ends else []


def _left(state: PieceState, work: Work) -> Iterator[tuple[HandsOn, float]]:
    """The stages from the present one on; those before it are done, or were left out."""
    passed = max(STAGES.index(stage) for stage in {*state.stages_done, state.stage or "load"})
    for stage in HANDS_ON:
        share = 1.0
        if stage in state.stages_done or STAGES.index(stage) < passed:
            share = 0.0
        elif stage == "braid":
            share -= min(1.0, state.made / work.crosses)
        elif stage == "load" and work.beads:
            share -= min(1.0, _beads_on(state) / work.beads)
        yield stage, share


def _sums(presses: Presses, work: Work) -> Iterator[tuple[HandsOn, StageSum]]:
    guessed, by_stage = guess(work), ticks_by_stage(presses)
    for stage in HANDS_ON:
        ticks = by_stage.get(stage, StageTicks())
        if not ticks.ticks or guessed[stage] <= 0:
            continue
        rhythm, ceiling_s = UNKNOWN, 1800.0
        if stage != "braid":
            each = guessed[stage] / len(ticks.ticks)
            rhythm = Rhythm(math.log(each), SPREAD, 0)
            ceiling_s = max(ceiling_s, LONG_STAGE * each)
        found = sum_stage(
            ticks.ticks,
            earlier=rhythm,
            ceiling_s=ceiling_s,
            overrides=ticks.overrides(presses.corrections),
        )
        seen = sum(t.gap_s is not None for t in ticks.ticks) > len(found.breaks)
        share = min(1.0, found.crosses / work.crosses) if stage == "braid" else 1.0
        if seen and found.hands_on_s > TOO_FAST * guessed[stage] * share > 0:
            yield stage, found


def _units(
    state: PieceState, work: Work, stages: Mapping[HandsOn, StageSum]
) -> Iterator[tuple[HandsOn, float]]:
    """What was done of each timed stage; nothing is said of one that was broken off uncounted.

    A braid that was broken off has its crosses, a loading the beads that it came to.
    """
    for stage, found in stages.items():
        whole = work.units(stage)
        done = stage in state.stages_done or state.status in {"good", "second"}
        if stage == "braid":
            nearly = done and found.crosses >= NEARLY_ALL * whole
            yield stage, whole if nearly else max(1, found.crosses)
        elif done:
            yield stage, whole
        elif stage == "load" and _beads_on(state):
            yield stage, min(whole, _beads_on(state))


def _beads_on(state: PieceState) -> int:
    return sum(loaded.beads for loaded in state.loaded)


def _typed(recorded: Iterable[Recorded]) -> float:
    """Hands-on seconds of what was typed in: the whole, or else the stages together."""
    whole, parts = 0.0, 0.0
    for said in recorded:
        if said.stage is None:
            whole = said.hands_on_s
        elif said.stage in HANDS_ON:
            parts += said.hands_on_s
    return whole or parts
