"""`sketch`: a new pattern made from another, by operations of the drawing board."""

from __future__ import annotations

import argparse
from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from bench.commands.sketch_actions import declare, operations_of
from bench.session import Session

if TYPE_CHECKING:
    from bench.answers.sketch import SketchAnswer, SketchFigures


def arguments(parser: argparse.ArgumentParser) -> None:
    """Take the new name, what it comes from, and what is done."""
    parser.add_argument("new", metavar="NEW", help="the new pattern's name: a-z, 0-9, hyphens")
    parser.add_argument(
        "--from", dest="source", metavar="PATTERN", required=True, help="the pattern it begins as"
    )
    parser.add_argument("--title", help="its title; made from the name by default")
    parser.add_argument("--over", action="store_true", help="write over a pattern of that name")
    parser.add_argument("--dry", action="store_true", help="say what it would be; write nothing")
    parser.add_argument("--why", default="", help="why, for the pattern's versions")
    declare(parser)


def answer(args: argparse.Namespace, session: Session) -> SketchAnswer:
    """Do the operations and write the pattern."""
    from bench.commands.sketching import made, sheet_of

    operations = list(operations_of(args, sheet_of(session, args.source), session))
    return made(
        session,
        args.new,
        args.source,
        operations,
        title=args.title,
        why=args.why,
        over=args.over,
        dry=args.dry,
    )


def sheet(answer: SketchAnswer) -> Iterable[str]:
    """What was made, in lines."""
    yield f"{answer.title}, from {answer.made_from}: {answer.file or 'nothing was written'}"
    counts = " ".join(f"{bead.count}{bead.bead}" for bead in answer.beads)
    yield f"{answer.beads_in_all:,} beads ({counts}), {answer.crosses:,} crosses"
    yield (
        f"predicted: {answer.beaded_mm:g} mm beaded, {answer.length_mm:g} mm in all,"
        f" {answer.diameter_mm:g} mm thick"
    )
    yield from _figures(answer.figures)
    for strand, load in enumerate(answer.loads, 1):
        yield f"  strand {strand}: {load}"
    for one in answer.proposals:
        off = ", ".join(f"{mm:+g}" for mm in one.off_mm)
        yield (
            f"proposal {one.take}: {one.rows} rows, {one.too_long_mm:+g} mm in length;"
            f" thickness {off} mm"
        )
        if one.in_the_way:
            yield f"  it does not come near: {one.in_the_way}"
    for pair in answer.alike:
        yield f"{pair.beads[0]} and {pair.beads[1]} touch and look alike {pair.seen}"
    for finding in answer.findings:
        yield f"not sound: {finding}"
    for ask in answer.to_ask:
        yield f"to be said: {ask}"


def _figures(said: SketchFigures) -> Iterator[str]:
    from bench.craft.words import duration, length_said

    time = said.hands_on
    guess = "guess: " if time.level is None else ""
    yield (
        f"{length_said(said.length_low_mm, said.length_high_mm)} by the rules of length,"
        f" {said.beads_g:.1f} g of beads"
    )
    yield f"{guess}{duration(time.low_s)} to {duration(time.high_s)} of work"
    price = said.price
    if price.amount is None:
        yield f"no price: {price.says}"
    else:
        yield f"{price.low:,.2f} to {price.high:,.2f} {price.currency}: {price.says}"
    if said.lacks:
        yield f"to buy: {'; '.join(said.lacks)}"
