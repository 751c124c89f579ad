"""The first page of a pattern's times: what a maker decides by, each with what it rests on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from bench.craft.words import duration, often, ordinal, plural
from bench.journal.piece_times import PieceTimes
from bench.pace.predictive import Job, forecast
from bench.screens.kit.canvas import Canvas, wrap
from bench.screens.kit.words import STAGE_WORDS
from bench.screens.lists.pace_figures import PatternTimes, StageShare
from bench.screens.lists.surety_words import holds
from bench.timing.pace_service import LivePace
from bench.timing.piece_history import RowTime
from bench.timing.variant_summary import VariantSummary, summary_of

AHEAD = 10
"""Pieces ahead for which it is told what they take together."""
SLOWEST = 3
"""Rows that are named as the slowest."""
HEAD = 12
"""Columns of a line's head."""
SAME_S = 60.0
"""What differs by less is told as the same."""
BY_THEMSELVES = "known by whole times alone; rows and stages come with a piece made at the bench"


@dataclass(frozen=True)
class InShort:
    """What the page tells.

    ahead: low, middle and high of the next `AHEAD` pieces together, in seconds. change_s: how much
    more the last of them takes than the first, on the average. reasons: why pieces were seconds or
    given up, each with how many.
    """

    line: PatternTimes
    summary: VariantSummary
    is_guess: bool
    ahead: tuple[float, float, float]
    change_s: float
    rows: Sequence[RowTime] = ()
    stages: Sequence[StageShare] = ()
    reasons: Sequence[tuple[str, int]] = ()


def draw_in_short(canvas: Canvas, y: int, room: int, told: InShort) -> int:
    """Draw the page from line y on, in so many lines; return the line below it."""
    below = y + room
    width = canvas.width - HEAD - 3
    parts = [
        (head, [w for text in texts for w in wrap(text, width)]) for head, texts in _said(told)
    ]
    airy = sum(len(lines) for _, lines in parts) + len(parts) - 1 <= room
    for head, lines in parts:
        if y < below:
            canvas.text(1, y, head, "bold", HEAD)
        for line in lines:
            if y < below:
                canvas.text(HEAD + 2, y, line, "", width)
            y += 1
        y += airy
    return y


def _said(told: InShort) -> list[tuple[str, list[str]]]:
    """The lines of the page, under their heads."""
    return [
        ("next piece", _next(told)),
        ("so far", _so_far(told.summary)),
        ("seconds", _seconds(told)),
        ("slowest", _slowest(told)),
        ("practice", _practice(told)),
    ]


def _next(told: InShort) -> list[str]:
    line, sure = told.line, holds(is_guess=told.is_guess)
    between = f"{sure} {duration(line.low_s)} and {duration(line.high_s)}"
    low, middle, high = (duration(seconds) for seconds in told.ahead)
    return [
        f"{duration(line.median_s)} with the usual rework; {between}",
        f"the next {AHEAD} together {middle}; {sure} {low} and {high}",
    ]


def _so_far(summary: VariantSummary) -> list[str]:
    came = [f"{summary.good} good"]
    came += [plural(summary.seconds, "second")] if summary.seconds else []
    came += [f"{summary.given_up} given up"] if summary.given_up else []
    came += [f"{plural(summary.trials, 'trial')} beside them"] if summary.trials else []
    said = [f"{plural(summary.pieces, 'piece')} in {duration(summary.spent_s)}: {', '.join(came)}"]
    if summary.median_s is not None and summary.timed > 1:
        fastest, slowest = summary.fastest_s or 0.0, summary.slowest_s or 0.0
        between = f"{duration(fastest)} to {duration(slowest)}"
        said.append(f"a whole piece took {between}, in the middle {duration(summary.median_s)}")
    return said


def _seconds(told: InShort) -> list[str]:
    spoilt = told.summary.seconds + told.summary.given_up
    if not spoilt:
        return ["none of them"]
    share = 100 * spoilt / told.summary.pieces
    said = f"{spoilt} of {told.summary.pieces} ({share:.0f} %) seconds or given up"
    if not told.reasons:
        return [f"{said}; no reason was kept"]
    return [f"{said}: " + ", ".join(f"{why} ({often(count)})" for why, count in told.reasons)]


def _slowest(told: InShort) -> list[str]:
    if told.summary.whole_only:
        return [BY_THEMSELVES]
    rows = sorted((row for row in told.rows if row.row), key=lambda row: -row.seconds)[:SLOWEST]
    said = []
    if rows:
        named = ", ".join(f"row {row.row} ({row.beads}) {row.seconds:.0f} s" for row in rows)
        said.append(f"seconds a cross: {named}")
    if told.stages:
        shares = sorted(told.stages, key=lambda part: -part.share)
        named = ", ".join(f"{STAGE_WORDS[p.stage]} {100 * p.share:.0f} %" for p in shares)
        said.append(f"time by stage: {named}")
    return said or ["no row or stage was timed yet"]


def _practice(told: InShort) -> list[str]:
    summary, said = told.summary, []
    if summary.first_s is None or summary.latest_s is None:
        said.append("too few whole pieces to tell what it has brought")
    else:
        many = "the first piece" if summary.few == 1 else f"the first {summary.few}"
        late = "the last" if summary.few == 1 else f"the last {summary.few}"
        change = _change(summary.latest_s - summary.first_s)
        first, latest = duration(summary.first_s), duration(summary.latest_s)
        said.append(f"{many} took {first}, {late} {latest}: {change}")
    said.append(
        f"still to come: the {ordinal(AHEAD)} from now against the next: {_change(told.change_s)}"
    )
    return said


def _change(change_s: float) -> str:
    """How much less or more one time is than another."""
    if abs(change_s) < SAME_S:
        return "much the same"
    return f"{duration(abs(change_s))} {'less' if change_s < 0 else 'more'}"


def pieces_of(pace: LivePace, line: PatternTimes) -> list[PieceTimes]:
    """All pieces of a pattern, size and colourway that have ended, in the order begun."""
    return [times for times in pace.pieces if times.kind == line.variant]


def in_short_of(pace: LivePace, line: PatternTimes) -> InShort:
    """What is known of a pattern before its pieces are read one by one."""
    pieces = pieces_of(pace, line)
    records = [record for record in pace.records if record.variant == line.variant]
    works = [times.work for times in pieces if times.work is not None]
    jobs = [Job(*line.variant, works[-1])] * AHEAD if works else []
    said = forecast(pace.model, jobs).interval()
    ahead = said.low_s, said.median_s, said.high_s
    means = [forecast(pace.model, jobs[:count]).mean_s() for count in (1, AHEAD - 1, AHEAD)]
    change_s = means[2] - means[1] - means[0]
    return InShort(line, summary_of(pieces, records), pace.model.is_guess, ahead, change_s)
