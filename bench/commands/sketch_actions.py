"""What `sketch` can do: its words on the command line, made into operations of the board."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from bench.commands.options import number, stock_at_hand
from bench.craft.text import Fault, cleaned
from bench.session import Session

if TYPE_CHECKING:
    from bench.design.operation import Operation
    from bench.design.sheet import Sheet

ACTIONS = {
    "shape": "rows of the sizes at hand for a length and thicknesses",
    "motif": "stripes, spirals, rings, dots or chevrons of one bead",
    "recolour": "a colourway from another: hue turned, lighter, or nearest in stock",
    "run": "a run of colours over some rows, from one colour to another",
    "resize": "larger or smaller beads: a size, or the proportions made anew",
    "mirror": "the mirror twin, on the structure that is worked the other way round",
    "length": "whole repeats of some rows for a length in mm",
    "paint": "beads, rows, stripes, or a typed load",
    "replay": "operations as JSON lines on standard input",
}


def declare(parser: argparse.ArgumentParser) -> None:
    """Take what is done, and how."""
    actions = parser.add_subparsers(dest="action", metavar="ACTION", title="actions")
    made = {name: actions.add_parser(name, help=says) for name, says in ACTIONS.items()}
    for action in made.values():
        action.add_argument("--json", action="store_true", default=argparse.SUPPRESS)
        action.add_argument("--home", metavar="DIR", type=Path, default=argparse.SUPPRESS)
    shape = made["shape"]
    shape.add_argument("--mm", required=True, help="beaded length")
    shape.add_argument(
        "--thick", required=True, metavar="AT:MM,…", help="as 0:4,0.6:12,1:4; AT from 0 to 1"
    )
    shape.add_argument("--sizes", default="", help="bead sizes at hand, parted by commas")
    shape.add_argument("--take", type=int, default=1, help="which proposal, 1 to 3")
    motif = made["motif"]
    motif.add_argument("motif", help="stripe, spiral, ring, dots or chevron")
    motif.add_argument("--bead", required=True)
    for name, default in (("strand", 1), ("first", 1), ("width", 1), ("climb", 0), ("repeat", 1),
                          ("number", 1)):  # fmt: skip
        motif.add_argument(f"--{name}", type=int, default=default)
    motif.add_argument("--last", type=int)
    motif.add_argument("--fill-ends", action="store_true")
    motif.add_argument("--keep-sizes", action="store_true", help="lay its colour only")
    recolour = made["recolour"]
    recolour.add_argument("colourway", help="the new colourway's name")
    recolour.add_argument("--like", metavar="COLOURWAY", help="the colourway that it is made from")
    recolour.add_argument("--turn", type=float, default=0, help="degrees of hue")
    recolour.add_argument("--lighter", type=float, default=0, help="-1 (black) to 1 (white)")
    recolour.add_argument("--stock", action="store_true", help="take the nearest beads in stock")
    run = made["run"]
    run.add_argument("--colours", required=True, metavar="FROM,TO",
                     help="as 'navy,pale green' or '#203040,#d0e0f0'")  # fmt: skip
    run.add_argument("--steps", type=int, required=True, help="how many colours, both ends too")
    run.add_argument("--first", type=int, default=1)
    run.add_argument("--last", type=int, help="the last row; else the sheet's")
    run.add_argument("--stock", action="store_true", help="take the nearest beads in stock")
    resize = made["resize"]
    resize.add_argument("size", nargs="?", help="the new size's name")
    resize.add_argument("--steps", type=int, default=-1, help="sizes up, or down below 0")
    resize.add_argument("--proportions", action="store_true", help="make the rows anew instead")
    made["mirror"].add_argument("structure", help="the structure worked the other way round")
    length = made["length"]
    length.add_argument("--mm", required=True, help="beaded length")
    for name in ("first", "last"):
        length.add_argument(f"--{name}", type=int, required=True, help=f"the repeat's {name} row")
    length.add_argument("--standing", type=int, default=1, help="how often it stands there now")
    length.add_argument("--swatch", metavar="MM", help="what 24 rows of it measured")
    paint = made["paint"]
    paint.add_argument("bead", help="a letter, '-' or '?'; with --load a whole load")
    paint.add_argument("--load", action="store_true", help="the load as '3a 2b'")
    paint.add_argument("--strands", default="", help="parted by commas; all by default")
    paint.add_argument("--first", type=int, default=1)
    paint.add_argument("--last", type=int)
    paint.add_argument("--spread", default="one place", help="as 'opposite'")


def operations_of(args: argparse.Namespace, sheet: Sheet, session: Session) -> Iterator[Operation]:
    """What is to be done, from the words or from standard input."""
    from pydantic import ValidationError

    from bench.design import operations
    from bench.documents.reading import fault_in

    if args.action == "replay":
        for at, line in enumerate(sys.stdin, 1):
            if line.strip():
                try:
                    yield operations.read_operation(line)
                except Fault as fault:
                    raise Fault(f"line {at}: {fault}") from None
        return
    if args.action is None:
        return
    kind: type[Operation]
    try:
        kind, given = _words(args, sheet, session)
        yield kind.model_validate(given)
    except ValidationError as error:
        raise fault_in(error) from None


def _words(
    args: argparse.Namespace, sheet: Sheet, session: Session
) -> tuple[type[Operation], dict[str, object]]:
    from bench.design import operations as op
    from bench.design.colour_run import LayRun

    if args.action == "shape":
        sizes = tuple(filter(None, (word.strip() for word in args.sizes.split(","))))
        return op.Shape, {"length_mm": number(args.mm, "mm"), "thickness": _heights(args.thick),
                          "sizes": sizes, "take": args.take}  # fmt: skip
    if args.action == "motif":
        names = ("motif", "bead", "strand", "first", "last", "width", "climb", "repeat", "number",
                 "fill_ends", "keep_sizes")  # fmt: skip
        return op.LayMotif, {name: getattr(args, name) for name in names}
    if args.action == "recolour":
        given: dict[str, object] = {"colourway": args.colourway, "source": args.like,
                                    "turn_deg": args.turn, "lighter": args.lighter}  # fmt: skip
        if args.stock:
            given["looks"] = _from_stock(args, sheet, session)
        return op.Recolour, given
    if args.action == "run":
        return LayRun, _run(args, sheet, session)
    if args.action == "resize":
        return op.Resize, {"steps": args.steps, "size": args.size, "proportions": args.proportions}
    if args.action == "mirror":
        return op.Mirror, {"structure": args.structure}
    if args.action == "length":
        swatch = None if args.swatch is None else number(args.swatch, "swatch")
        return op.Lengthen, {"length_mm": number(args.mm, "mm"), "first": args.first,
                             "last": args.last, "standing": args.standing,
                             "swatch_mm": swatch}  # fmt: skip
    strands = tuple(int(number(word, "strands")) for word in args.strands.split(",") if word)
    if args.load:
        if len(strands) > 1:
            raise Fault("a load is typed for one strand, or for all; --spread reaches others")
        strand = strands[0] if strands else None
        return op.TypeLoad, {"strand": strand, "beads": args.bead, "spread": args.spread}
    return op.Paint, {"bead": args.bead, "strands": strands, "first": args.first,
                      "last": args.last, "spread": args.spread}  # fmt: skip


def _heights(text: str) -> tuple[tuple[float, float], ...]:
    """Read '0:4,0.6:12' as pairs. Raises Fault with what was found."""
    pairs = []
    for word in filter(None, (word.strip() for word in text.split(","))):
        at, colon, mm = word.partition(":")
        if not colon:
            raise Fault(f"--thick takes heights as 0.6:12; found '{cleaned(word, 20)}'")
        pairs.append((number(at, "thick"), number(mm, "thick")))
    return tuple(pairs)


def _from_stock(args: argparse.Namespace, sheet: Sheet, session: Session) -> dict[str, object]:
    """The nearest beads in stock, enough for one piece. Raises Fault where one is missing."""
    from bench.design.colours import new_colourway
    from bench.documents.stock_colours import looks_in_stock

    wished = new_colourway(sheet, args.like, args.turn, args.lighter)
    stock, tube_g = stock_at_hand(session).stock, session.settings.thumb.tube_g
    looks, gaps = looks_in_stock(sheet, wished, stock, tube_g)
    if gaps:
        raise Fault(gaps[0][:1].lower() + gaps[0][1:].rstrip("."))
    return {letter: look.model_dump() for letter, look in looks.items()}


def _colour(text: str) -> str:
    """A colour #rrggbb by its name, or as it stands. Raises Fault with what was found."""
    from bench.design.colour_names import colour_called

    colour = colour_called(text)
    if colour is None:
        raise Fault(
            f"a colour is a name such as teal, or written as #9fb8c8; found '{cleaned(text, 20)}'"
        )
    return colour


def _run(args: argparse.Namespace, sheet: Sheet, session: Session) -> dict[str, object]:
    """A run of colours, as wished or out of the stock. Raises Fault where a bead is missing."""
    from bench.design.colour_run import LayRun
    from bench.design.colours import run_of_colours
    from bench.documents.stock_colours import run_in_stock

    ends = [word.strip() for word in args.colours.split(",")]
    if len(ends) != 2:
        raise Fault("a run goes from one colour to another, as 'navy,pale green'")
    first, last = map(_colour, ends)
    if args.steps < 2:
        raise Fault("a run has two colours at least")
    colours = run_of_colours(first, last, args.steps)
    run = [{"colour": colour} for colour in colours]
    given = {"first": args.first, "last": args.last, "run": run}
    if args.stock:
        beads = [sheet.beads[letter] for letter in sheet.counts()]
        kinds = sorted({(bead.size, bead.shape) for bead in beads})
        if len(kinds) != 1:
            raise Fault("a run out of the stock is for a braid of one bead size; leave --stock out")
        stock = stock_at_hand(session).stock
        wished = LayRun.model_validate(given)
        tube_g = session.settings.thumb.tube_g
        taken, missing = run_in_stock(sheet, wished, kinds[0], stock, tube_g)
        if missing:
            raise Fault(missing[:1].lower() + missing[1:].rstrip("."))
        given["run"] = taken.run
    return given
