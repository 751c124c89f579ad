"""`record`: note down how long a piece, or one stage of it, took."""

from __future__ import annotations

import argparse
import datetime as dt
from collections.abc import Iterable
from typing import TYPE_CHECKING

from bench.commands.options import pattern_arguments
from bench.commands.writing_down import write_down
from bench.craft.stages import HANDS_ON
from bench.session import Session

if TYPE_CHECKING:
    from rich.console import RenderableType

    from bench.answers.records import RecordAnswer


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
    from bench.journal.events import Entry
    from bench.timing.recording import recorded

    made = session.work_up(args.pattern, args.size, args.colourway)
    at = _moment(_day(args.on))
    found = recorded(made, args.minutes, args.pieces, args.stage, at.timestamp())
    pieces = tuple(piece for piece, _ in found)
    waits = write_down(session, [Entry(said, piece) for piece, said in found])
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
        hands_on_s=found[0][1].hands_on_s,
        finished_at=at.isoformat(timespec="seconds"),
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
