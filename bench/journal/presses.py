"""The presses of a piece, as its events come in: in which stage, and how long after one another."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

from bench.craft.stages import Stage
from bench.journal import payloads as p
from bench.journal import slip_payloads as slip
from bench.journal.clock import Instant, seconds_between
from bench.journal.events import Event
from bench.journal.payload_base import NotUnderstood, Payload
from bench.pace.gaps import Tick, TickKind

_KINDS: Mapping[type[Payload], TickKind] = {
    p.TakenBack: "taken_back",
    p.PlaceSet: "set",
    p.Paused: "paused",
    # Finding and mending a slip is rework, as taking back is.
    slip.SlipReported: "taken_back",
    slip.LookAnswered: "taken_back",
    slip.LookUndone: "taken_back",
    slip.MendChosen: "taken_back",
    slip.SewInDone: "taken_back",
}
_NO_WORK = (p.PieceStarted, p.WeightsHung, p.Measured, p.SignOffUndone, p.TriedOut, NotUnderstood)


@dataclass(frozen=True, slots=True)
class Press:
    """One event of work in a stage.

    `crosses`: those that it counts, or one number. `made`: crosses made after it. `gap_s`: this
    piece's share of the seconds since the press before; None where they are not known.
    """

    event: str
    instant: Instant
    stage: Stage
    kind: TickKind
    crosses: range
    made: int
    gap_s: float | None


@dataclass(frozen=True, slots=True)
class Presses:
    """The presses of a piece up to now, and what was recorded of it.

    `last`: when the gap to the next press begins. `ended_at`, `dry_since`: UTC seconds; the latter
    while it dries. `waiting_s`: seconds of drying so far. `corrections`: events before which the
    maker said that there was a break, or none, the last word last.
    """

    all: tuple[Press, ...] = ()
    last: Instant | None = None
    ended_at: float | None = None
    dry_since: float | None = None
    waiting_s: float | None = None
    corrections: tuple[tuple[str, bool], ...] = ()
    recorded: tuple[p.Recorded, ...] = ()


def pressed(
    presses: Presses, event: Event, stage: Stage | None, made: int, share: float
) -> Presses:
    """Return the presses with one event more.

    `stage`: the one that it came in, None if none was begun or the piece was ended. `made`:
    crosses made after it. `share`: the part of the event's seconds that fell to this piece.
    """
    said, wall = event.payload, event.instant.wall
    match said:
        case p.Crossed():
            crosses = range(said.from_ + 1, said.to + 1)
            return _press(presses, event, "braid", "made", crosses, made, share)
        case p.TakenBack() | p.PlaceSet():
            at = range(made, made + 1)
            return _press(presses, event, "braid", _KINDS[type(said)], at, made, share)
        case p.StageStarted():
            drying = wall if said.stage == "dry" else presses.dry_since
            return replace(presses, last=event.instant, dry_since=drying)
        case p.Resumed():
            return replace(presses, last=event.instant)
        case p.Reopened():
            drying = wall if stage == "dry" else None
            return replace(presses, last=event.instant, ended_at=None, dry_since=drying)
        case p.BreakCorrected():
            correction = (said.event, said.is_break)
            return replace(presses, corrections=(*presses.corrections, correction))
        case p.Recorded():
            # Two benches may have typed in the same stage: the later one counts.
            others = (r for r in presses.recorded if r.stage != said.stage)
            return replace(presses, recorded=(*others, said))
    if isinstance(said, _NO_WORK):
        return presses
    ends = isinstance(said, p.StageEnded | p.Finished | p.GivenUp)
    if stage is not None:
        kind = _KINDS.get(type(said), "other" if stage == "braid" else "made")
        at = range(1) if ends else range(made, made + 1)
        presses = _press(presses, event, stage, kind, at, made, share)
    if (said.stage if isinstance(said, p.StageEnded) else ends and stage) == "dry":
        presses = _dried(presses, wall)
    return replace(presses, ended_at=wall) if isinstance(said, p.Finished | p.GivenUp) else presses


def _press(
    presses: Presses,
    event: Event,
    stage: Stage,
    kind: TickKind,
    crosses: range,
    made: int,
    share: float,
) -> Presses:
    gap = None if presses.last is None else seconds_between(presses.last, event.instant)
    gap_s = None if gap is None else gap * share
    press = Press(event.uuid, event.instant, stage, kind, crosses, made, gap_s)
    return replace(presses, all=(*presses.all, press), last=event.instant)


def _dried(presses: Presses, wall: float) -> Presses:
    if presses.dry_since is None:
        return presses
    waited = (presses.waiting_s or 0.0) + max(0.0, wall - presses.dry_since)
    return replace(presses, waiting_s=waited, dry_since=None)


@dataclass(frozen=True, slots=True)
class StageTicks:
    """One stage's presses as ticks; `spans`: which of them stand for an event, by its id."""

    ticks: list[Tick] = field(default_factory=list)
    spans: dict[str, range] = field(default_factory=dict)

    def add(self, press: Press) -> None:
        """Take in one press: a tick for each cross that it counts, with an equal share of time."""
        first = len(self.ticks)
        each = None if press.gap_s is None else press.gap_s / len(press.crosses)
        for cross in press.crosses:
            number = cross if press.stage == "braid" else len(self.ticks) + 1
            self.ticks.append(Tick(press.kind, number, each))
        self.spans[press.event] = range(first, len(self.ticks))

    def overrides(self, corrections: Iterable[tuple[str, bool]]) -> dict[int, bool]:
        """Return what the maker said of single gaps, by the index of their tick."""
        return {
            tick: is_break
            for event, is_break in corrections
            for tick in self.spans.get(event, range(0))
        }


def ticks_by_stage(presses: Presses) -> dict[Stage, StageTicks]:
    """Return the presses as ticks, stage by stage."""
    stages: dict[Stage, StageTicks] = {}
    for press in presses.all:
        stages.setdefault(press.stage, StageTicks()).add(press)
    return stages
