"""What the pace says in words: how long a piece takes, took, and when it will be ready."""

from __future__ import annotations

import datetime as dt

from bench.craft.stages import HANDS_ON, STAGES, HandsOn, Stage
from bench.craft.words import STAGES_DOING, duration, plural
from bench.journal.clock import Instant
from bench.journal.frozen import work_of
from bench.making.braid import Braid
from bench.pace.piece_in_hand import SoFar, piece_in_hand, stages_of_piece
from bench.pace.records import Variant, Work
from bench.screens.kit.words import STAGE_WORDS, time_of_day
from bench.screens.lists.home_entry import Clause
from bench.timing.kept_figures import KeptFigures
from bench.timing.pace_service import LivePace

_ROUND_S = 300.0


def usual_time(pace: LivePace, pattern: str, work: Work) -> Clause | None:
    """How long a piece of a pattern takes: the maker's own times, or what is predicted.

    None while the times are being read; in fewer words without the range.
    """
    if not pace.known:
        return None
    own = pace.figures.own_times(pattern)
    if own.median_s is None:
        likely = pace.figures.next_piece(Variant(pattern)).median_s(work)
        basis = "by your other pieces" if pace.figures.pieces else "guess"
        return Clause(f"about {duration(likely)} ({basis})")
    short = f"{duration(own.median_s)} (your {plural(own.pieces, 'piece')}"
    if own.fastest_s is None or own.slowest_s is None:
        return Clause(f"{short})")
    between = f"{duration(own.fastest_s)} to {duration(own.slowest_s)}"
    return Clause(f"{short}: {between})", f"{short})")


def time_from(pace: LivePace, variant: Variant, work: Work, first: Stage) -> Clause | None:
    """How long the hands are at a piece that begins with a stage, with its range.

    None while the times are being read.
    """
    if not pace.known:
        return None
    at = STAGES.index(first)
    stages = [stage for stage in HANDS_ON if STAGES.index(stage) >= at]
    said = stages_of_piece(pace.figures.next_piece(variant), work, stages).interval()
    own = pace.figures.own_times(variant.pattern).pieces
    basis = f"your {plural(own, 'piece')}" if own else "by your other pieces"
    basis = basis if pace.figures.pieces else "guess"
    between = f"{duration(said.low_s)} to {duration(said.high_s)}"
    whole = f"{duration(said.median_s)} from {STAGES_DOING[first]} on"
    return Clause(f"{whole} ({basis}: {between})", whole)


def finished_news(pace: LivePace) -> str:
    """What the piece finished just now took, and what was expected of it; "" if none was."""
    times, figures = pace.just_finished, pace.figures
    if times is None or times.work is None or not times.stages or times.status == "given up":
        return ""
    expected = figures.next_piece(Variant(times.pattern, times.size, times.colourway))
    said = stages_of_piece(expected, times.work, tuple(times.stages)).interval()
    parts = ", ".join(STAGE_WORDS[stage] for stage in times.stages)
    what = "hands-on" if times.whole else f"for {parts}"
    what += ", rework included" if (times.rework_s or 0.0) >= 60 else ""
    basis = "expected" if figures.pieces else "the guess was"
    return (
        f"{times.name}: {duration(times.spent_s)} {what}; {basis}"
        f" {duration(said.low_s)} to {duration(said.high_s)}"
    )


def spent_and_ready(figures: KeptFigures, braid: Braid, now: Instant) -> tuple[str, str]:
    """A piece's hands-on time so far, and when it is ready."""
    spent = braid.braid_times().hands_on_s
    hands_on = f"hands-on {duration(spent)}" if spent >= 60 else ""
    ready = ready_at(figures, braid, spent, now)
    if ready is None:
        return hands_on, ""
    today = dt.datetime.fromtimestamp(now.wall, ready.tzinfo)
    return hands_on, f"ready about {time_of_day(ready, today)}"


def ready_at(
    figures: KeptFigures, braid: Braid, braid_s: float, now: Instant
) -> dt.datetime | None:
    """When the piece will be ready if the hands go on, to five minutes; drying included.

    braid_s: hands-on seconds of its braiding so far.
    """
    state, plan = braid.state, braid.plan
    if not state.open or state.stage is None:
        return None
    work = work_of(plan)
    so_far: dict[HandsOn, SoFar] = {}
    here = STAGES.index(state.stage)
    for stage in HANDS_ON:
        if stage == "braid" and here == STAGES.index("braid"):
            so_far[stage] = SoFar(braid.made, braid_s)
        elif STAGES.index(stage) < here:
            so_far[stage] = SoFar(max(1, work.units(stage)), 0.0)
    variant = Variant(state.pattern_name, state.size, state.colourway)
    ahead = piece_in_hand(figures.next_piece(variant), work, so_far)
    spent = sum(part.seconds for part in so_far.values())
    rest = max(0.0, ahead.quantile(0.5) - spent)
    if here <= STAGES.index("dry"):
        rest += 60 * braid.pattern.finish.dry_minutes
    zone = dt.timezone(dt.timedelta(minutes=now.offset_min))
    return dt.datetime.fromtimestamp(round((now.wall + rest) / _ROUND_S) * _ROUND_S, zone)
