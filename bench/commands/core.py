"""`core`: which core beads fit, the planned core and a suggested one."""

from __future__ import annotations

import argparse
from collections.abc import Iterable
from typing import TYPE_CHECKING

from bench.commands.options import pattern_arguments
from bench.session import Session

if TYPE_CHECKING:
    from rich.console import RenderableType

    from bench.answers.core import CoreAnswer


def arguments(parser: argparse.ArgumentParser) -> None:
    """Take the pattern."""
    pattern_arguments(parser)


def answer(args: argparse.Namespace, session: Session) -> CoreAnswer:
    """Say what there is to say of the core."""
    from bench.making.core_answer import core_answer

    return core_answer(session.work_up(args.pattern, args.size, args.colourway))


def sheet(answer: CoreAnswer) -> Iterable[RenderableType]:
    """The core in lines."""
    from bench.sheets.core import core_lines
    from bench.sheets.printing import line

    return map(line, core_lines(answer))
