"""`record`: note down how long a piece, or one stage of it, took."""

from __future__ import annotations

import argparse
import datetime as dt
from collections.abc import Iterable
from typing import TYPE_CHECKING

from bench.commands.desk import Desk, pattern_arguments

if TYPE_CHECKING:
    from rich.console import RenderableType

    from bench.contract.timing import Recorded

STAGES = ("load", "set_up", "braid", "finish")


def arguments(parser: argparse.ArgumentParser) -> None:
    """Take the pattern, the minutes, the stage and the day."""
    pattern_arguments(parser)
    parser.add_argument(
        "--minutes",
        metavar="M",
        type=float,
        required=True,
        help="hands-on minutes, breaks left out",
    )
    parser.add_argument(
        "--stage", choices=STAGES, help="only this stage; without it the whole piece"
    )
    parser.add_argument(
        "--on",
        metavar="DATE",
        type=dt.date.fromisoformat,
        help="the day it was finished, as 2026-03-01; without it, now",
    )


def answer(args: argparse.Namespace, desk: Desk) -> Recorded:
    """Check the time and write it into the journal."""
    from bench.contract.timing import Recorded
    from bench.craft.text import Fault
    from bench.journal import limits
    from bench.journal.events import new_id
    from bench.timecheck import WORDS, usual_s
    from bench.times import work_of

    made = desk.work_up(args)
    seconds = 60 * args.minutes
    what, least = ("piece", limits.SHORTEST_PIECE_S)
    if args.stage is not None:
        what, least = ("stage", limits.SHORTEST_STAGE_S)
    if not least <= seconds <= limits.LONGEST_S:
        raise Fault(
            f"{args.minutes:g} minutes cannot be; a {what} takes {least:g} seconds"
            f" to {limits.LONGEST_S / 3600:g} hours"
        )
    braided = args.stage in (None, "braid")
    each = seconds / max(1, made.plan.crosses)
    if braided and not limits.SHORTEST_CROSS_S <= each <= limits.LONGEST_CROSS_S:
        raise Fault(
            f"{args.minutes:g} minutes cannot be: {each:.2g} seconds for each of the"
            f" {made.plan.crosses} crosses"
        )
    usual_least, usual_most = usual_s(work_of(made.plan), args.stage)
    if not usual_most:
        raise Fault(f"'{made.name}' has no beads, so nothing of it is loaded")
    if not usual_least <= seconds <= usual_most:
        raise Fault(
            f"{args.minutes:g} minutes cannot be; {WORDS[args.stage]} of '{made.name}' takes"
            f" {usual_least / 60:,.1f} to {usual_most / 60:,.0f} minutes"
        )
    at = _moment(args.on)
    piece = new_id()
    with desk.writing() as journal:
        journal.append(
            "recorded",
            {
                "title": made.pattern.title,
                "pattern": made.name,
                "size": args.size,
                "colourway": args.colourway,
                "stage": args.stage,
                "hands_on_s": seconds,
                "waiting_s": None,
                "crosses": made.plan.crosses if braided else None,
                "rework_s": None,
                "finished_at": at.timestamp(),
                "quality": "good",
            },
            pieces=piece,
        )
    return Recorded(
        piece=piece,
        pattern=made.name,
        size=args.size,
        colourway=args.colourway,
        stage=args.stage,
        hands_on_s=seconds,
        finished_at=at.isoformat(timespec="seconds"),
    )


def sheet(answer: Recorded) -> Iterable[RenderableType]:
    """What was written down."""
    from bench.sheets.printing import line
    from bench.sheets.words import duration, variant

    name = variant(answer.pattern, answer.size, answer.colourway)
    stage = f", stage {answer.stage}" if answer.stage else ""
    yield line(f"recorded: {name}{stage}, {duration(answer.hands_on_s)}, {answer.finished_at[:10]}")


def _moment(day: dt.date | None) -> dt.datetime:
    """Noon of a day, or now. Raises Fault for a day to come, or before 1970."""
    from bench.craft.text import Fault

    now = dt.datetime.now().astimezone()
    if day is None or day == now.date():
        return now
    if day > now.date():
        raise Fault(f"{day} is yet to come")
    if day.year < 1970:
        raise Fault(f"{day} is too long ago")
    return dt.datetime.combine(day, dt.time(12)).astimezone()
