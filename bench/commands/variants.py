"""`variants`: many patterns made from one, by operations of the drawing board, in JSON lines."""

from __future__ import annotations

import argparse
import json
from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from bench.commands.json_lines import asked_lines
from bench.session import Session

if TYPE_CHECKING:
    from rich.console import RenderableType

HINT = (
    'One JSON object a line, such as {"new": "drop-1", "operations": [{"kind": "replace",'
    ' "bead": "a", "by": "b"}]}; an end of input (Ctrl-D) ends it.'
)
LONGEST = 1_000_000


def arguments(parser: argparse.ArgumentParser) -> None:
    """Take the pattern that all of them begin as."""
    parser.add_argument("pattern", metavar="PATTERN", help="its name in the library, or its file")


def answer(args: argparse.Namespace, session: Session) -> None:
    """Answer each line of standard input with a line on standard output, at once."""
    from bench.commands.sketching import sheet_of

    sheet_of(session, args.pattern)
    for text in asked_lines(LONGEST, HINT):
        print(json.dumps(_answered(text, args.pattern, session)), flush=True)


def sheet(answer: Any) -> Iterable[RenderableType]:
    """Nothing: every line is written as it is answered."""
    return ()


def _answered(text: str, source: str, session: Session) -> dict[str, Any]:
    """What is answered to a line: the pattern that was made, or what kept it from being made."""
    from dataclasses import replace

    from bench.answers import as_json
    from bench.commands.sketching import made
    from bench.commands.wanted_variant import read_variant
    from bench.craft.text import Fault
    from bench.documents.errors import DocumentError

    session.warnings = []
    try:
        wanted = read_variant(text)
        found = made(
            session,
            wanted.new,
            source,
            wanted.operations,
            title=wanted.title,
            why=wanted.why,
            over=wanted.over,
            dry=wanted.dry,
        )
    except (Fault, DocumentError) as error:
        return {"error": str(error)}
    answer: dict[str, Any] = as_json(replace(found, warnings=tuple(session.warnings)))
    return answer
