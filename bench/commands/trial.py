"""`trial`: say that a piece was only tried out and counts for nothing, or that it counts."""

from __future__ import annotations

import argparse
from collections.abc import Iterable
from typing import TYPE_CHECKING

from bench.session import Session

if TYPE_CHECKING:
    from rich.console import RenderableType

    from bench.answers.records import TrialAnswer


def arguments(parser: argparse.ArgumentParser) -> None:
    """Take the piece."""
    parser.add_argument(
        "piece", metavar="PIECE", help="its id, as `list --json` or `export` gives it"
    )
    parser.add_argument("--counts", action="store_true", help="it was no trial: it counts again")


def answer(args: argparse.Namespace, session: Session) -> TrialAnswer:
    """Write it into the journal, unless it stands there."""
    from bench.answers.records import TrialAnswer
    from bench.craft.text import Fault, cleaned
    from bench.making.piece_verdicts import mark_trial

    trial = not args.counts
    with session.writing() as journal:
        try:
            state = journal.state(args.piece)
        except KeyError:
            found = cleaned(args.piece, 40)
            said = f"there is no piece '{found}': `braid-bench list --json` gives ids"
            raise Fault(said) from None
        mark_trial(journal, state.uuid, trial=trial)
    session.renew_figures()
    return TrialAnswer(piece=state.uuid, title=state.title, trial=trial)


def sheet(answer: TrialAnswer) -> Iterable[RenderableType]:
    """What it is now."""
    from bench.sheets.printing import line

    said = "a trial: it counts for nothing" if answer.trial else "it counts"
    yield line(f"{answer.title or answer.piece}: {said}")
