"""`pace`: how long a piece takes the maker."""

from __future__ import annotations

import argparse
import time
from collections.abc import Iterable
from typing import TYPE_CHECKING

from bench.commands.options import pattern_arguments
from bench.session import Session

if TYPE_CHECKING:
    from rich.console import RenderableType

    from bench.answers.pace import PaceAnswer, PacesAnswer


def arguments(parser: argparse.ArgumentParser) -> None:
    """Take a pattern; none means every pattern."""
    pattern_arguments(parser, optional=True)


def answer(args: argparse.Namespace, session: Session) -> PaceAnswer | PacesAnswer:
    """Fit the maker's pace and ask it for the next piece."""
    from bench.answers.pace import PaceAnswer, PacesAnswer
    from bench.commission.forecast import pace_of
    from bench.craft.text import Fault
    from bench.documents.errors import DocumentError

    library = session.library
    if args.pattern is None and (args.size or args.colourway):
        raise Fault("--size and --colourway need a pattern")
    with session.reading() as journal:
        model = session.pace(journal, time.time()).model
    if args.pattern is not None:
        path = library.pattern_path(args.pattern)
        found = pace_of(library, model, path, args.size, args.colourway)
        return PaceAnswer(**vars(found))
    lines = []
    for entry in library.patterns():
        try:
            lines.append(pace_of(library, model, entry.path))
        except (DocumentError, Fault) as error:
            session.warnings.append(str(error))
    return PacesAnswer(patterns=tuple(lines))


def sheet(answer: PaceAnswer | PacesAnswer) -> Iterable[RenderableType]:
    """One pattern by stages, or one line for each pattern."""
    from bench.answers.pace import PaceAnswer
    from bench.sheets.pace_and_forecast import one, several

    return one(answer) if isinstance(answer, PaceAnswer) else several(answer.patterns)
