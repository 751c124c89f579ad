"""`sketch`: a new pattern made from another, by operations of the drawing board."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from bench.commands.options import number
from bench.craft.text import Fault, cleaned
from bench.session import Session

if TYPE_CHECKING:
    from bench.answers.sketch import ShapeProposal, SketchAnswer
    from bench.design.operation import Operation
    from bench.design.sheet import Sheet

ACTIONS = {
    "shape": "rows of the sizes at hand for a length and thicknesses",
    "motif": "stripes, spirals, rings, dots or chevrons of one bead",
    "recolour": "a colourway from another: hue turned, lighter, or nearest in stock",
    "resize": "larger or smaller beads: a size, or the proportions made anew",
    "mirror": "the mirror twin, on the structure that is worked the other way round",
    "length": "whole repeats of some rows for a length in mm",
    "paint": "beads, rows, stripes, or a typed load",
    "replay": "operations as JSON lines on standard input",
}


def arguments(parser: argparse.ArgumentParser) -> None:
    """Take the new name, what it comes from, and what is done."""
    parser.add_argument("new", metavar="NEW", help="the new pattern's name: a-z, 0-9, hyphens")
    parser.add_argument(
        "--from", dest="source", metavar="PATTERN", required=True, help="the pattern it begins as"
    )
    parser.add_argument("--title", help="its title; made from the name by default")
    parser.add_argument("--over", action="store_true", help="write over a pattern of that name")
    parser.add_argument("--dry", action="store_true", help="say what it would be; write nothing")
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
    recolour = made["recolour"]
    recolour.add_argument("colourway", help="the new colourway's name")
    recolour.add_argument("--like", metavar="COLOURWAY", help="the colourway that it is made from")
    recolour.add_argument("--turn", type=float, default=0, help="degrees of hue")
    recolour.add_argument("--lighter", type=float, default=0, help="-1 (black) to 1 (white)")
    recolour.add_argument("--stock", action="store_true", help="take the nearest beads in stock")
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
    paint = made["paint"]
    paint.add_argument("bead", help="a letter, '-' or '?'; with --load a whole load")
    paint.add_argument("--load", action="store_true", help="the load as '3a 2b'")
    paint.add_argument("--strands", default="", help="parted by commas; all by default")
    paint.add_argument("--first", type=int, default=1)
    paint.add_argument("--last", type=int)
    paint.add_argument("--spread", default="one place", help="as 'opposite'")


def answer(args: argparse.Namespace, session: Session) -> SketchAnswer:
    """Do the operations and write the pattern."""
    from bench.craft.pattern import Pattern
    from bench.design.history import replayed
    from bench.design.operation import Desk
    from bench.design.operations import Entitle
    from bench.design.sheet import Sheet
    from bench.documents.pattern_writing import stamp_of, write_document, written_pattern

    source = session.library.pattern_path(args.source)
    plan = session.library.plan(source)
    sheet = Sheet.of(plan.pattern, plan.structure)
    title = args.title or args.new.replace("-", " ").title()
    operations = [Entitle.model_validate({"title": title}), *_operations(args, sheet, session)]
    history = replayed(sheet, operations, Desk(session.library.structure))
    pattern = history.sheet.to_pattern()
    Pattern.model_validate(pattern.model_dump())
    file = session.home / "patterns" / f"{_name(args.new)}.toml"
    if not args.dry:
        text = written_pattern(pattern, source.read_bytes().decode())
        write_document(file, text, stamp_of(file) if args.over else None)
    wished = [op for op in operations if op.model_dump().get("kind") == "shape"]
    return _told(args, sheet, history.sheet, None if args.dry else file, history.log, wished)


def _operations(args: argparse.Namespace, sheet: Sheet, session: Session) -> Iterator[Operation]:
    """What is to be done, from the words or from standard input."""
    from pydantic import ValidationError

    from bench.design import operations

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
    kind, given = _words(args, sheet, session)
    try:
        yield kind.model_validate(given)
    except ValidationError as error:
        first = error.errors(include_url=False)[0]
        key = ".".join(map(str, first["loc"]))
        raise Fault(f"{key}: {first['msg'][:1].lower()}{first['msg'][1:]}") from None


def _words(
    args: argparse.Namespace, sheet: Sheet, session: Session
) -> tuple[type[Operation], dict[str, object]]:
    from bench.design import operations as op

    if args.action == "shape":
        sizes = tuple(filter(None, (word.strip() for word in args.sizes.split(","))))
        return op.Shape, {"length_mm": number(args.mm, "mm"), "thickness": _heights(args.thick),
                          "sizes": sizes, "take": args.take}  # fmt: skip
    if args.action == "motif":
        names = ("motif", "bead", "strand", "first", "last", "width", "climb", "repeat", "number",
                 "fill_ends")  # fmt: skip
        return op.LayMotif, {name: getattr(args, name) for name in names}
    if args.action == "recolour":
        given: dict[str, object] = {"colourway": args.colourway, "source": args.like,
                                    "turn_deg": args.turn, "lighter": args.lighter}  # fmt: skip
        if args.stock:
            given["looks"] = _from_stock(args, sheet, session)
        return op.Recolour, given
    if args.action == "resize":
        return op.Resize, {"steps": args.steps, "size": args.size, "proportions": args.proportions}
    if args.action == "mirror":
        return op.Mirror, {"structure": args.structure}
    if args.action == "length":
        return op.Lengthen, {"length_mm": number(args.mm, "mm"), "first": args.first,
                             "last": args.last, "standing": args.standing}  # fmt: skip
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
    from bench.commands.options import shelf_of
    from bench.design.colours import ColourAtHand, nearest, new_colourway
    from bench.design.resizing import grams
    from bench.documents.stock import grams_of

    stock = shelf_of(session, None).stock
    looks: dict[str, object] = {}
    wanted = new_colourway(sheet, args.like, args.turn, args.lighter)
    for letter, look in wanted.items():
        bead = sheet.beads[letter]
        at_hand = [
            ColourAtHand(one.colour, one.name, grams_of(one, 0.0))
            for one in stock.beads
            if one.colour is not None and (one.size, one.shape) == (bead.size, bead.shape)
        ]
        found = nearest(look.colour, at_hand, grams(sheet, letter))
        if found is None:
            raise Fault(
                f"the stock has no {bead.size} {bead.shape} with a colour and"
                f" {grams(sheet, letter):.1f} g left, for bead {letter}"
            )
        looks[letter] = {"colour": found[0].colour, "name": found[0].name}
    return looks


def _name(name: str) -> str:
    import re

    if not re.fullmatch(r"[a-z0-9][a-z0-9-]{0,39}", name):
        raise Fault(
            f"a pattern's name is made of small letters, digits and hyphens;"
            f" found '{cleaned(name, 40)}'"
        )
    return name


def _told(
    args: argparse.Namespace,
    before: Sheet,
    sheet: Sheet,
    file: Path | None,
    log: tuple[str, ...],
    wished: list[Operation],
) -> SketchAnswer:
    """The answer for a sheet that was made."""
    from bench.answers.sketch import AlikeBeads, SketchAnswer, SketchedBead
    from bench.craft.growth import grow, sizes_of
    from bench.craft.stringing import fold_load
    from bench.design.colours import alike_pairs
    from bench.design.operations import beaded_mm

    plan = sheet.plan()
    growth = grow(plan, sizes_of(sheet.pattern))
    counts = sheet.counts()
    return SketchAnswer(
        pattern=args.new,
        title=sheet.pattern.title,
        made_from=args.source,
        file=None if file is None else str(file),
        structure=sheet.pattern.structure,
        loads=tuple(map(fold_load, sheet.loads)),
        rows=plan.rows,
        crosses=plan.crosses,
        beads=tuple(
            SketchedBead(
                bead=letter,
                size=sheet.beads[letter].size,
                colour=sheet.beads[letter].colour,
                name=sheet.beads[letter].name,
                count=count,
            )
            for letter, count in sorted(counts.items())
        ),
        beads_in_all=sum(counts.values()),
        length_mm=round(growth.length_mm, 1),
        beaded_mm=round(beaded_mm(sheet), 1),
        diameter_mm=round(growth.diameter_mm, 2),
        sizes=tuple(sheet.pattern.sizes),
        colourways=tuple(sheet.pattern.colourways),
        proposals=tuple(_proposals(before, wished)),
        alike=tuple(
            AlikeBeads(beads=pair.beads, seen=pair.seen, apart=pair.apart)
            for pair in alike_pairs(sheet)
        ),
        to_ask=tuple(_to_ask(sheet)),
        operations=log,
    )


def _to_ask(sheet: Sheet) -> Iterator[str]:
    """What the maker has to say still: beads that sizes or colourways leave out, too many beads."""
    from bench.design.palette import MANY_LETTERS, gaps, nearest_pair

    for letter in sorted(sheet.counts()):
        for where in gaps(sheet, letter):
            yield f"what bead {letter} is in {where}"
    pair = nearest_pair(sheet)
    if len(sheet.beads) > MANY_LETTERS and pair is not None:
        yield f"whether {pair[0]} and {pair[1]}, of {len(sheet.beads)} beads, can be one"


def _proposals(sheet: Sheet, wished: list[Operation]) -> Iterator[ShapeProposal]:
    from bench.answers.sketch import ShapeProposal
    from bench.design.operations import Shape
    from bench.design.resizing import proposals

    for wish in wished:
        if not isinstance(wish, Shape):
            continue
        for take, fit in enumerate(proposals(sheet, wish.wish(sheet)), 1):
            yield ShapeProposal(
                take=take,
                rows=len(fit.rows),
                sizes=tuple(fit.wish.sizes[row].name for row in fit.rows),
                length_mm=round(fit.length_mm, 1),
                too_long_mm=round(fit.too_long_mm, 1),
                off_mm=tuple(round(mm, 1) for mm in fit.off_mm),
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
    for strand, load in enumerate(answer.loads, 1):
        yield f"  strand {strand}: {load}"
    for one in answer.proposals:
        off = ", ".join(f"{mm:+g}" for mm in one.off_mm)
        yield (
            f"proposal {one.take}: {one.rows} rows, {one.too_long_mm:+g} mm in length;"
            f" thickness {off} mm"
        )
    for pair in answer.alike:
        yield f"{pair.beads[0]} and {pair.beads[1]} touch and look alike {pair.seen}"
    for ask in answer.to_ask:
        yield f"to be said: {ask}"
