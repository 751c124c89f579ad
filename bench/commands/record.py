"""`record`: note down how long a piece, or one stage of it, took."""

from __future__ import annotations

import argparse
import datetime as dt
import math
from collections.abc import Iterable
from typing import TYPE_CHECKING

from bench.commands.options import pattern_arguments
from bench.commands.writing_down import write_down
from bench.craft.stages import HANDS_ON
from bench.session import Session

if TYPE_CHECKING:
    from rich.console import RenderableType

    from bench.answers.records import RecordAnswer
    from bench.pace.records import Work

MOST_PIECES = 500


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
        "--pieces",
        metavar="N",
        type=int,
        default=1,
        help="so many alike were made in the minutes together, as when sets are loaded in a batch",
    )
    parser.add_argument(
        "--stage", choices=HANDS_ON, help="only this stage; without it the whole piece"
    )
    parser.add_argument(
        "--on",
        metavar="DATE",
        help="the day it was finished, as 2026-03-01; without it, now",
    )


def answer(args: argparse.Namespace, session: Session) -> RecordAnswer:
    """Check the time and write it into the journal."""
    from bench.answers.records import RecordAnswer
    from bench.craft.text import Fault
    from bench.journal import payloads
    from bench.journal.events import Entry, new_id
    from bench.journal.frozen import work_of
    from bench.pace.gaps import share_out

    if not 1 <= args.pieces <= MOST_PIECES:
        raise Fault(f"{args.pieces} pieces cannot be recorded at once; 1 to {MOST_PIECES} can")
    made = session.work_up(args.pattern, args.size, args.colourway)
    work = work_of(made.plan)
    units = sum(work.units(stage) for stage in HANDS_ON if args.stage in (None, stage))
    if not units:
        raise Fault(f"'{made.name}' has no beads, so nothing of it is loaded")
    if not math.isfinite(args.minutes):
        raise Fault(f"{args.minutes:g} minutes cannot be")
    shares = share_out(60 * args.minutes, [units] * args.pieces)
    if wrong := _wrong(shares[0], made.name, work, args.stage):
        each = "" if args.pieces == 1 else f" for {args.pieces} pieces"
        raise Fault(f"{args.minutes:g} minutes{each} cannot be{wrong}")
    at = _moment(_day(args.on))
    pieces = tuple(new_id() for _ in shares)
    entries = [
        Entry(
            payloads.Recorded(
                title=made.pattern.title,
                pattern=made.name,
                size=args.size,
                colourway=args.colourway,
                stage=args.stage,
                hands_on_s=seconds,
                waiting_s=None,
                crosses=work.crosses if args.stage in (None, "braid") else None,
                rework_s=None,
                finished_at=at.timestamp(),
                quality="good",
            ),
            piece,
        )
        for piece, seconds in zip(pieces, shares, strict=True)
    ]
    waits = write_down(session, entries)
    if not waits:
        session.renew_figures()
    return RecordAnswer(
        waits=waits,
        piece=pieces[0],
        pieces=pieces,
        pattern=made.name,
        size=args.size,
        colourway=args.colourway,
        stage=args.stage,
        hands_on_s=shares[0],
        finished_at=at.isoformat(timespec="seconds"),
    )


def _wrong(seconds: float, pattern: str, work: Work, stage: str | None) -> str:
    """Say what is wrong with the time of one piece, after "cannot be"; "" if nothing is."""
    from bench.journal.limits import broken_limit
    from bench.timing.plausible_times import usual_s, work_words

    broken = broken_limit(stage, seconds, work.crosses)
    if broken is not None and broken.what == "cross":
        return f": {broken.seconds:.2g} seconds for each of the {work.crosses} crosses"
    if broken is not None:
        takes = f"{broken.least_s:g} seconds to {broken.most_s / 3600:g} hours"
        return f"; a {broken.what} takes {takes}"
    usual_least, usual_most = usual_s(work, stage)
    if usual_least <= seconds <= usual_most:
        return ""
    return (
        f"; {work_words(stage)} of '{pattern}' takes {usual_least / 60:,.1f} to"
        f" {usual_most / 60:,.0f} minutes"
    )


def sheet(answer: RecordAnswer) -> Iterable[RenderableType]:
    """What was written down."""
    from bench.craft.words import duration, full_name
    from bench.sheets.printing import line

    name = full_name(answer.pattern, answer.size, answer.colourway)
    stage = f", stage {answer.stage}" if answer.stage else ""
    took = duration(answer.hands_on_s)
    if len(answer.pieces) > 1:
        took = f"{len(answer.pieces)} pieces, {took} each"
    how = "waits" if answer.waits else "recorded"
    yield line(f"{how}: {name}{stage}, {took}, {answer.finished_at[:10]}")


def _day(text: str | None) -> dt.date | None:
    """The day that was written. Raises Fault for anything but a year, a month and a day."""
    from bench.craft.text import Fault, cleaned

    if text is None:
        return None
    try:
        day = dt.datetime.strptime(text, "%Y-%m-%d").date()
    except ValueError:
        found = cleaned(text, 40)
        raise Fault(
            f"--on takes a day that there is, written as 2026-03-01; found '{found}'"
        ) from None
    return day


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
