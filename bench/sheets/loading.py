"""The loading sheet as plain text: one page of 80 columns, the lines that a maker ticks off."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from typing import TYPE_CHECKING

from bench.sheets.loading_words import (
    chosen_said,
    groups_text,
    halves_of,
    marks_said,
    predicted_said,
    proofs_said,
    sample_said,
    scale_said,
    strung_alike,
)
from bench.sheets.words import WIDTH, caution_lines, core_room, cuts_said, headed

if TYPE_CHECKING:
    from bench.answers.core import CorePart
    from bench.answers.loading_sheet import LoadingSheet, StrandLine, ThreadLine


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
    lines += _headed("WEIGHT", sheet.counterweight)
    lines += _headed("MARKS", marks_said(sheet, most=10))
    lines.append("")
    lines += caution_lines(sheet.cautions)
    return [line.rstrip() for line in lines]


def short_place(place: str) -> str:
    """Return a place as it is, cut to what a column takes."""
    return place if len(place) <= 29 else place[:28] + "…"


def _head(sheet: LoadingSheet) -> list[str]:
    what = "  ".join(filter(None, (sheet.title.upper(), chosen_said(sheet))))
    page = "loading sheet"
    beads = f"{sheet.rows} rows, {sheet.beads_in_all} beads" if sheet.rows else "no beads"
    sentences = (
        f"{sheet.structure}. {sheet.crosses} crosses, {beads}.",
        predicted_said(sheet),
        sample_said(sheet),
    )
    lines = [f"{what:<{WIDTH - len(page)}}{page}"]
    return lines + [line for said in sentences for line in textwrap.wrap(said, WIDTH)]


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
    cuts = cuts_said(part.cuts)
    lines = _headed("THREAD", f"{part.name}: cut {cuts}, {part.total_m:.2f} m in all")
    needled = part.needle.startswith("needle")
    lines += _headed("NEEDLE", part.needle + (" (advice: try one bead first)" if needled else ""))
    for saying in part.says[2:]:
        lines += _headed("", saying)
    if sheet.rows:
        lines += _headed("STRUNG", f"{sheet.strung}. In the pictures | is a clip, > a needle.")
    return lines


def _double(sheet: LoadingSheet, thread: ThreadLine) -> list[str]:
    halves = halves_of(sheet, thread)
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
        (half,) = halves_of(sheet, thread)
        if half.total and thread.picture not in drawn:
            drawn.add(thread.picture)
            lines.append(f"  {thread.picture}")
        lines += _half(sheet, half)
    return lines


def _half(sheet: LoadingSheet, half: StrandLine) -> list[str]:
    side = {"far": "far  ", "near": "near "}.get(half.half, "")
    where = f"[ ] {half.strand:>2}  {side}{short_place(half.place)}"
    if not half.total:
        return [f"  {where:<42}no beads"]
    twin = strung_alike(sheet, half)
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


def _prove(sheet: LoadingSheet) -> list[str]:
    lines: list[str] = []
    for sentence in proofs_said(sheet)[:4]:
        lines += _headed("PROVE", sentence)
    for sentence in scale_said(sheet):
        lines += _headed("SCALE", sentence)
    return lines


def _core(core: CorePart | None) -> list[str]:
    if core is None:
        return []
    if core.on == "cord":
        return _headed("CORE", f"cord, {core.cord_mm:.0f} mm; off after {core.out_after_cross}")
    stack = core.planned
    if stack is None:
        return _headed("CORE", f"bare wire, {core.wire_mm or 0:.0f} mm")
    return _headed(
        "CORE",
        f"{stack.beads}, first in first, on {core.wire_mm or 0:.0f} mm of wire:"
        f" {core_room(stack)}. Bare wire down the middle before the first cross, beads held"
        " above by the upper clip.",
    )


def _headed(head: str, text: str) -> list[str]:
    return headed(head, text, indent=9)
