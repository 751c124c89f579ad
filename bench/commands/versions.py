"""`versions`: how a pattern of the maker's came about: what was changed, why, what it measured."""

from __future__ import annotations

import argparse
from collections.abc import Iterable
from typing import TYPE_CHECKING

from bench.session import Session

if TYPE_CHECKING:
    from bench.answers.versions import VersionsAnswer


def arguments(parser: argparse.ArgumentParser) -> None:
    """Take the pattern."""
    parser.add_argument("pattern", metavar="PATTERN", help="a pattern's name in the library")


def answer(args: argparse.Namespace, session: Session) -> VersionsAnswer:
    """Read the versions, and what pieces of them measured."""
    from bench.making.design_history import versions_answer

    path = session.library.pattern_path(args.pattern)
    plan = session.library.plan(path)
    with session.reading() as journal:
        answer, told = versions_answer(session.home, path.stem, plan, journal)
    session.warn(*told)
    return answer


def sheet(answer: VersionsAnswer) -> Iterable[str]:
    """The versions in lines, the first one first."""
    from bench.sheets.versions import version_lines

    return version_lines(answer)
