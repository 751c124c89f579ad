"""`weights`: the counterweight, made from the maker's own weights, over the whole piece."""

from __future__ import annotations

import argparse
from collections.abc import Iterable
from typing import TYPE_CHECKING

from bench.commands.options import grams_list, number, pattern_arguments
from bench.craft.text import Fault, cleaned
from bench.session import Session

if TYPE_CHECKING:
    from rich.console import RenderableType

    from bench.answers.weights import WeightsAnswer


def arguments(parser: argparse.ArgumentParser) -> None:
    """Take the pattern, and what hangs if it is not as set."""
    pattern_arguments(parser)
    parser.add_argument("--tama", metavar="G[,G...]", help="grams of all tama, or of each strand's")
    parser.add_argument("--fraction", metavar="R", help="the share that hangs below, 0.2 to 0.7")
    parser.add_argument("--weights", metavar="G,G...", help="grams of each weight you have")
    parser.add_argument(
        "--point", choices=("high", "low", "level"), help="where the point of braiding lies now"
    )
    parser.add_argument("--after", metavar="CROSS", help="crosses made, for --point")


def answer(args: argparse.Namespace, session: Session) -> WeightsAnswer:
    """Make up the schedule. Raises Fault for weights, tama or a fraction that cannot be."""
    from bench.making.weights_answer import weights_answer

    made = session.work_up(args.pattern, args.size, args.colourway)
    after = _after(args, made.plan.crosses)
    tama = grams_list(args.tama, "tama") if args.tama is not None else None
    if tama == ():
        raise Fault("no tama are given; write one weight for all, or one for each strand")
    try:
        return weights_answer(
            made,
            session.settings,
            tama_g=tama,
            fraction=None if args.fraction is None else number(args.fraction, "fraction"),
            weights_g=grams_list(args.weights, "weights") if args.weights is not None else None,
            point=(args.point, after) if args.point is not None else None,
        )
    except ValueError as error:
        raise Fault(str(error)) from None


def _after(args: argparse.Namespace, crosses: int) -> int:
    """The crosses made. Raises Fault for what is no such number, or without --point."""
    if args.after is None:
        return 0
    if args.point is None:
        raise Fault("--after goes with --point: where the point of braiding lies by then")
    try:
        after = int(args.after)
    except ValueError:
        after = -1
    if not 0 <= after <= crosses:
        found = cleaned(args.after, 20)
        raise Fault(f"--after takes a number of crosses from 0 to {crosses}; found '{found}'")
    return after


def sheet(answer: WeightsAnswer) -> Iterable[RenderableType]:
    """The weights in lines."""
    from bench.sheets.printing import line
    from bench.sheets.weights import weights_lines

    return map(line, weights_lines(answer))
