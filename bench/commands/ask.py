"""`ask`: what may have gone wrong, asked and answered in JSON lines."""

from __future__ import annotations

import argparse
from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from bench.commands.json_lines import asked_lines
from bench.commands.options import pattern_arguments
from bench.session import Session

if TYPE_CHECKING:
    from rich.console import RenderableType

    from bench.slips.maker import Maker

HINT = (
    'One JSON object a line, such as {"cross": 23, "strand": 5, "saw": "b"};'
    " an end of input (Ctrl-D) ends it."
)


def arguments(parser: argparse.ArgumentParser) -> None:
    """Take the pattern."""
    pattern_arguments(parser)


def answer(args: argparse.Namespace, session: Session) -> None:
    """Answer each line of standard input with a line on standard output, at once."""
    from bench.slips.dialogue import Dialogue
    from bench.slips.line_reader import LONGEST

    plan = session.work_up(args.pattern, args.size, args.colourway).plan
    maker = _maker(session)
    dialogue = Dialogue(plan, maker, session.warnings)
    session.warnings = []
    for text in asked_lines(LONGEST + 1, HINT):
        print(dialogue.line(text), flush=True)


def sheet(answer: Any) -> Iterable[RenderableType]:
    """Nothing: every line is written as it is answered."""
    return ()


def _maker(session: Session) -> Maker:
    """The maker as settings and journal know them."""
    from bench.journal.errors import JournalError
    from bench.making.learning import maker_of

    try:
        with session.reading() as journal:
            maker, trouble = maker_of(session.settings, journal)
    except JournalError as error:
        maker, trouble = maker_of(session.settings, None)[0], str(error)
    if trouble is not None:
        session.warnings.append(trouble)
    return maker
