"""A new pattern made by operations of the drawing board: written, and told in figures."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

from bench.answers.forecast import Money
from bench.answers.pace import SecondsInterval
from bench.answers.sketch import (
    AlikeBeads,
    ShapeProposal,
    SketchAnswer,
    SketchedBead,
    SketchFigures,
)
from bench.commands.options import stock_at_hand
from bench.commission.piece_figures import PieceFigures, piece_figures
from bench.craft.plan import Plan
from bench.craft.stringing import fold_load
from bench.craft.text import check_name
from bench.design.colours import alike_pairs
from bench.design.history import replayed
from bench.design.operation import Desk, Operation
from bench.design.operations import Entitle, Shape, beaded_mm
from bench.design.palette import MANY_LETTERS, gaps, nearest_pair
from bench.design.resizing import levelled, proposals
from bench.design.sheet import Sheet
from bench.documents.pattern_versions import note_kept
from bench.documents.pattern_writing import stamp_of, write_document, written_pattern
from bench.making.worked_pattern import WorkedPattern
from bench.session import Session
from bench.timing.kept_figures import read_kept_figures


def sheet_of(session: Session, source: str) -> Sheet:
    """The sheet of a pattern, named or in a file. Raises DocumentError or Fault."""
    plan = session.library.plan(session.library.pattern_path(source))
    return Sheet.of(plan.pattern, plan.structure)


def made(
    session: Session,
    new: str,
    source: str,
    operations: Sequence[Operation],
    *,
    title: str | None = None,
    why: str = "",
    over: bool = False,
    dry: bool = False,
) -> SketchAnswer:
    """Make a pattern from another and write it, unless `dry`; over one that is there if told.

    Raises Fault for a name or an operation that cannot be, DocumentError for a file.
    """
    check_name(new, "a pattern's")
    before = sheet_of(session, source)
    entitle = Entitle.model_validate({"title": title or new.replace("-", " ").title()})
    history = replayed(before, [entitle, *operations], Desk(session.library.structure))
    pattern = history.sheet.to_pattern()
    file: Path | None = None
    if not dry:
        file = session.home / "patterns" / f"{new}.toml"
        text = session.library.pattern_path(source).read_bytes().decode()
        written = written_pattern(pattern, text)
        stamp = stamp_of(file) if over else None
        known = session.library.plan(file) if stamp is not None else None
        write_document(file, written, stamp)
        was = None if known is None else (known.pattern, known.structure)
        kept = pattern, history.sheet.structure
        note_kept(session.home, new, was, kept, why, session.clock.now())
    wished = [operation for operation in operations if isinstance(operation, Shape)]
    worked = WorkedPattern.of_plan(new, Plan(pattern, history.sheet.structure), session.settings)
    figures = piece_figures(
        worked,
        stock_at_hand(session),
        read_kept_figures(session.journal_path),
        session.settings,
    )
    plan = history.sheet.plan()
    counts = history.sheet.counts()
    return SketchAnswer(
        pattern=new,
        title=pattern.title,
        made_from=source,
        file=None if file is None else str(file),
        structure=pattern.structure,
        loads=tuple(map(fold_load, history.sheet.loads)),
        rows=plan.rows,
        crosses=plan.crosses,
        beads=tuple(
            SketchedBead(
                bead=letter,
                size=pattern.beads[letter].size,
                colour=pattern.beads[letter].colour,
                name=pattern.beads[letter].name,
                count=count,
            )
            for letter, count in sorted(counts.items())
        ),
        beads_in_all=sum(counts.values()),
        length_mm=round(worked.growth.length_mm, 1),
        beaded_mm=round(beaded_mm(history.sheet), 1),
        diameter_mm=round(worked.growth.diameter_mm, 2),
        sizes=tuple(pattern.sizes),
        colourways=tuple(pattern.colourways),
        proposals=tuple(_proposals(before, wished)),
        alike=tuple(
            AlikeBeads(beads=pair.beads, seen=pair.seen, apart=pair.apart)
            for pair in alike_pairs(history.sheet)
        ),
        to_ask=tuple(_to_ask(history.sheet)),
        operations=history.log,
        figures=_figures(figures),
        findings=worked.warnings,
    )


def _figures(found: PieceFigures) -> SketchFigures:
    """The figures of one piece, rounded as they are told."""
    price = found.price
    return SketchFigures(
        beads_g=round(found.grams, 2),
        length_low_mm=round(found.length_low_mm, 1),
        length_high_mm=round(found.length_high_mm, 1),
        hands_on=SecondsInterval(
            level=found.level,
            low_s=round(found.hands_on.low_s, 1),
            median_s=round(found.hands_on.median_s, 1),
            high_s=round(found.hands_on.high_s, 1),
        ),
        price=Money(
            amount=None if price is None else round(price.median, 2),
            low=None if price is None else round(price.low, 2),
            high=None if price is None else round(price.high, 2),
            currency=found.currency,
            says=found.price_says,
        ),
        lacks=found.lacks,
    )


def _to_ask(sheet: Sheet) -> Iterator[str]:
    """What the maker has to say still: beads that sizes or colourways leave out, too many beads."""
    for letter in sorted(sheet.counts()):
        for where in gaps(sheet, letter):
            yield f"what bead {letter} is in {where}"
    for size in sheet.pattern.sizes:
        for letters in levelled(sheet, size):
            alike = " and ".join(letters)
            yield f"whether {alike} may be equally thick in {size}, which flattens it"
    pair = nearest_pair(sheet)
    if len(sheet.beads) > MANY_LETTERS and pair is not None:
        yield f"whether {pair[0]} and {pair[1]}, of {len(sheet.beads)} beads, can be one"


def _proposals(sheet: Sheet, wished: Sequence[Shape]) -> Iterator[ShapeProposal]:
    for wish in wished:
        for take, fit in enumerate(proposals(sheet, wish.wish(sheet)), 1):
            yield ShapeProposal(
                take=take,
                rows=len(fit.rows),
                sizes=tuple(fit.wish.sizes[row].name for row in fit.rows),
                length_mm=round(fit.length_mm, 1),
                too_long_mm=round(fit.too_long_mm, 1),
                off_mm=tuple(round(mm, 1) for mm in fit.off_mm),
                in_the_way=fit.in_the_way,
            )
