"""The loading sheet as plain text: one page of 80 columns, the lines that a maker ticks off."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator, Sequence

from bench.answers.core import CorePart
from bench.answers.loading_sheet import GroupLine, LoadingSheet, StrandLine, ThreadLine
from bench.craft.stringing import BeadGroup, folded
from bench.sheets.words import core_room

WIDTH = 80
SHAPES = {"round": "o", "rondelle": "=", "pearl": "O", "drop": "v"}
"""A mark beside the letter for each shape, so that nothing rests on colour."""


def sheet_lines(sheet: LoadingSheet) -> list[str]:
    """Return the sheet line by line, each at most 80 columns wide."""
    lines = [*_head(sheet), "", *_beads(sheet), "", *_thread(sheet), ""]
    for thread in sheet.double_lengths:
        lines += [*_double(sheet, thread), ""]
    if sheet.single_strands:
        lines += [*_singles(sheet), ""]
    lines += _prove(sheet)
    lines += _core(sheet.core)
    lines += _wrapped("WEIGHT", sheet.counterweight)
    lines += _marks(sheet)
    lines.append("")
    for caution in sheet.cautions:
        lines += textwrap.wrap(f"! {caution}", WIDTH, subsequent_indent="  ")
    return [line.rstrip() for line in lines]


def groups_text(groups: Sequence[GroupLine]) -> str:
    """Return groups as counts and letters, repeats folded."""
    return folded([BeadGroup(g.bead, g.count, g.on) for g in groups]) or "no beads"


def short_place(place: str) -> str:
    """Return a place as it is, cut to what a column takes."""
    return place if len(place) <= 29 else place[:28] + "…"


def _head(sheet: LoadingSheet) -> list[str]:
    parts = [f"size {sheet.size}" if sheet.size else "", sheet.colourway or ""]
    what = "  ".join([sheet.title.upper(), *filter(None, parts)])
    page = "loading sheet"
    counts = (
        f"{sheet.crosses} crosses, {sheet.rows} rows, {sheet.beads_in_all} beads"
        if sheet.rows
        else f"{sheet.crosses} crosses, no beads"
    )
    predicted = sheet.predicted
    length = f"{predicted.length_mm:.0f} mm long, {predicted.diameter_mm:.1f} mm thick"
    lines = [
        f"{what:<{WIDTH - len(page)}}{page}",
        *textwrap.wrap(f"{sheet.structure}. {counts}.", WIDTH),
        *textwrap.wrap(f"Predicted {length} ({predicted.rests_on}).", WIDTH),
    ]
    if sheet.sample is not None:
        lines += textwrap.wrap(f"Signed off as the sample: {sheet.sample}.", WIDTH)
    elif sheet.rows:
        lines.append("No sample is signed off yet: the first piece is the sample.")
    return lines


def _beads(sheet: LoadingSheet) -> Iterator[str]:
    if not sheet.beads:
        yield "BEADS    none"
        return
    yield f"{'BEADS':<9}{'size':<8}{'name':<34}{'strung':>9}{'core':>8}{'in all':>10}"
    for row in sheet.beads:
        mark = f"{row.bead} {SHAPES[row.shape]}"
        name = row.name if row.shape == "round" else f"{row.name} ({row.shape})"
        core = f"{row.core:>8}" if row.core else f"{'-':>8}"
        total = row.count + row.core
        yield f"  {mark:<7}{row.size[:7]:<8}{name[:33]:<34}{row.count:>9}{core}{total:>10}"


def _thread(sheet: LoadingSheet) -> list[str]:
    part = sheet.thread
    cuts = ", ".join(
        f"{c.lengths} {'double lengths' if c.strands_each == 2 else 'single strands'}"
        f" of {c.cut_mm / 1000:.2f} m"
        for c in part.cuts
    )
    lines = _wrapped("THREAD", f"{part.name}: cut {cuts}, {part.total_m:.2f} m in all")
    needled = part.needle.startswith("needle")
    lines += _wrapped("NEEDLE", part.needle + (" (advice: try one bead first)" if needled else ""))
    for saying in part.says[2:]:
        lines += _wrapped("", saying)
    if sheet.rows:
        lines += _wrapped("STRUNG", f"{sheet.strung}. In the pictures | is a clip, > a needle.")
    return lines


def _double(sheet: LoadingSheet, thread: ThreadLine) -> list[str]:
    halves = _in_order(s for s in sheet.strands if s.thread == thread.thread)
    name = " and ".join(str(s) for s in thread.strands)
    lines = [f"THREAD {thread.thread}  strands {name}; clip {thread.clip}"]
    if any(half.total for half in halves):
        lines.append(f"  {thread.picture}")
    for half in halves:
        lines += _half(sheet, half)
    return lines


def _singles(sheet: LoadingSheet) -> list[str]:
    """Single strands under one head, each picture once."""
    first = sheet.single_strands[0]
    lines = [f"SINGLE STRANDS  clip {first.clip}, needle at {first.needle}"]
    drawn = set()
    for thread in sheet.single_strands:
        (half,) = (s for s in sheet.strands if s.thread == thread.thread)
        if half.total and thread.picture not in drawn:
            drawn.add(thread.picture)
            lines.append(f"  {thread.picture}")
        lines += _half(sheet, half)
    return lines


def _in_order(strands: Iterable[StrandLine]) -> list[StrandLine]:
    return sorted(strands, key=lambda strand: strand.strung_as)


def _half(sheet: LoadingSheet, half: StrandLine) -> list[str]:
    side = {"far": "far  ", "near": "near "}.get(half.half, "")
    where = f"[ ] {half.strand:>2}  {side}{short_place(half.place)}"
    if not half.total:
        return [f"  {where:<42}no beads"]
    twin = next(
        (
            s
            for s in _in_order(sheet.strands)
            if s.strung_as < half.strung_as and s.string == half.string
        ),
        None,
    )
    if twin is not None:
        return [f"  {where:<42}as strand {twin.strand:<18}{half.total:>6}"]
    groups = groups_text(half.string)
    if len(groups) <= 28:
        lines = [f"  {where:<42}{groups:<28}{half.total:>6}"]
    else:
        wrapped = textwrap.wrap(groups, WIDTH - 10)
        lines = [f"  {where:<70}{half.total:>6}", *(f"         {part}" for part in wrapped)]
    running = "  ".join(str(g.on) for g in half.string)
    if len(half.string) > 1 and len(running) <= 36:
        lines.append(f"{'then on the thread':>41}   {running}")
    return lines


def proofs_said(sheet: LoadingSheet) -> list[str]:
    """How the halves are proved, each way once with the strands that it is for."""
    return _by_strands((s.strand, s.prove.says) for s in sheet.strands if s.total)


def scale_said(sheet: LoadingSheet) -> list[str]:
    """What the scale can tell, each once with the strands that it holds for."""
    return _by_strands(
        (s.strand, s.prove.weighed.says) for s in sheet.strands if s.prove.weighed is not None
    )


def _by_strands(sayings: Iterable[tuple[int, str]]) -> list[str]:
    """Sentences about strands, each once; with the strands where there is more than one."""
    said: dict[str, list[int]] = {}
    for strand, sentence in sayings:
        said.setdefault(sentence, []).append(strand)
    if len(said) == 1:
        return list(said)
    return [
        f"strand{'s' if len(strands) > 1 else ''} {', '.join(map(str, strands))}: {sentence}"
        for sentence, strands in said.items()
    ]


def _prove(sheet: LoadingSheet) -> list[str]:
    lines: list[str] = []
    for sentence in proofs_said(sheet)[:4]:
        lines += _wrapped("PROVE", sentence)
    for sentence in scale_said(sheet):
        lines += _wrapped("SCALE", sentence)
    return lines


def _core(core: CorePart | None) -> list[str]:
    if core is None:
        return []
    if core.on == "cord":
        return _wrapped("CORE", f"cord, {core.cord_mm:.0f} mm; off after {core.out_after_cross}")
    stack = core.planned
    if stack is None:
        return _wrapped("CORE", f"bare wire, {core.wire_mm or 0:.0f} mm")
    return _wrapped(
        "CORE",
        f"{stack.beads}, first in first, on {core.wire_mm or 0:.0f} mm of wire:"
        f" {core_room(stack)}. Bare wire down the middle before the first cross, beads held"
        " above by the upper clip.",
    )


def _marks(sheet: LoadingSheet) -> list[str]:
    """The marks in order of their first cross, equal ones together."""
    crosses: dict[str, list[int]] = {}
    for mark in sheet.marks:
        crosses.setdefault(mark.do[:1].lower() + mark.do[1:], []).append(mark.after_cross)
    said = []
    for do, after in crosses.items():
        more = f" … {after[-1]} ({len(after)} times)" if len(after) > 10 else ""
        said.append(f"{do} after {', '.join(str(cross) for cross in after[:10])}{more}")
    return _wrapped("MARKS", "; ".join(said)) if said else []


def _wrapped(head: str, text: str) -> list[str]:
    return textwrap.wrap(text, WIDTH, initial_indent=f"{head:<9}", subsequent_indent=" " * 9)
