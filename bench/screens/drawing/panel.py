"""The panel below the picture: cursor, spread, beads to pick, figures, the worst finding, keys."""

from __future__ import annotations

from collections.abc import Sequence

from rich.cells import cell_len

from bench.craft.findings import Finding
from bench.craft.pattern import Pattern
from bench.screens.drawing.cursor_words import what_lies_there, where_it_comes_in
from bench.screens.drawing.drawing import DIGITS, Drawing
from bench.screens.kit.canvas import Canvas, clauses, wrap
from bench.screens.kit.foot import Key, put

GRAVE = ("hole", "size-step", "passing", "neighbours", "no-core", "open-end", "stringing")
"""Kinds of findings by how much they matter, the worst first; the others come behind."""


def by_weight(findings: Sequence[Finding]) -> list[Finding]:
    """Findings, the worst first."""
    order = {kind: number for number, kind in enumerate(GRAVE)}
    return sorted(findings, key=lambda finding: order.get(finding.kind, len(order)))


def draw_panel(canvas: Canvas, y: int, drawing: Drawing, pattern: Pattern) -> None:
    """Draw all but the keys on six lines, five where the screen is low."""
    width = canvas.width
    canvas.text(1, y, what_lies_there(drawing, pattern), "bold", width - 2)
    canvas.text(1, y + 1, clauses(where_it_comes_in(drawing), width - 2), "", width - 2)
    draw_beads_to_pick(canvas, y + 2, drawing)
    _draw_choices(canvas, y + 3, drawing)
    _draw_figures(canvas, y + 4, drawing)


def draw_beads_to_pick(canvas: Canvas, y: int, drawing: Drawing) -> None:
    """Draw the beads by their digits, the one in hand framed; not what a preview would add."""
    pattern = drawing.draft.shown()
    x = 1
    for digit, letter in zip(DIGITS, drawing.in_reach, strict=False):
        bead = pattern.beads[letter]
        text = f" {bead.size}"
        need = len(digit) + 1 + len(text) + 4
        if x + need > canvas.width:
            canvas.text(x, y, "…")
            return
        canvas.zone(x, y, need - 2, 1, digit)
        canvas.text(x, y, digit, "key")
        canvas.text(x + 2, y, letter, "picked" if letter == drawing.hand else "bold")
        canvas.text(x + 3, y, "▌", bead.colour)
        x = canvas.text(x + 4, y, text.strip()) + 2


def _draw_choices(canvas: Canvas, y: int, drawing: Drawing) -> None:
    spread = drawing.spread
    reach = f" ({spread.reach})" if spread.reach > 1 else ""
    end = canvas.text(canvas.text(1, y, "SPREAD ", "dim"), y, f"{spread.name}{reach}", "bold")
    if drawing.corner is not None:
        strands, first, last = drawing.marked
        end = canvas.text(end + 2, y, f"BLOCK {len(strands)} x {last - first + 1}", "call")
    if drawing.repeat is not None:
        first, last, times = drawing.repeat
        end = canvas.text(end + 2, y, f"IN ALL {times:,} REPEATS of {last - first + 1}", "call")
    draft = drawing.draft
    shown = [part for part in (draft.size, draft.colourway) if part]
    if shown:
        canvas.text(end + 2, y, f"shown: {', '.join(shown)}", "call")


def _draw_figures(canvas: Canvas, y: int, drawing: Drawing) -> None:
    """Length and thickness, then the worst finding, or what was said last on two lines or one."""
    worked, width = drawing.worked, canvas.width
    stale = worked is None or worked.sheet is not drawing.sheet
    says = worked.says if worked is not None else "being worked out"
    shown = f"{'… ' if stale and worked is not None else ''}{says}"
    lines = wrap(drawing.said, width - 2)[:2]
    if len(lines) < 2:
        canvas.text(1, y, shown, "dim" if stale else "", width - 2)
    for number, line in enumerate(lines, y + 2 - len(lines)):
        canvas.text(1, number, line, "warn")
    if lines:
        return
    found = () if worked is None else by_weight(worked.findings)
    open_cells = drawing.sheet.open_cells
    if open_cells:
        said = f"{open_cells:,} cells are open: no bead chosen yet"
        canvas.text(1, y + 1, said, "dim", width - 2)
    elif found:
        more = f" (and {len(found) - 1} more: {drawing.key('figures')})" if len(found) > 1 else ""
        cure = f"  {drawing.key('cure')} cures it" if found[0].cure else ""
        room = width - 2 - cell_len(more) - cell_len(cure)
        end = canvas.text(1, y + 1, found[0].says, "dim" if stale else "warn", room)
        end = canvas.text(end, y + 1, more)
        canvas.text(end, y + 1, cure, "key" if cure else "")
    elif worked is not None and worked.growth is not None:
        canvas.text(1, y + 1, "sound: nothing to know before braiding it", "dim")


def draw_keys_line(canvas: Canvas, keys: Sequence[Key]) -> None:
    """Draw the most important keys on the last line; those without room are left out."""
    x, shown = 0, []
    last = keys[-2:]
    room = canvas.width + 1 - sum(cell_len(k) + cell_len(what) + 4 for k, what, _ in last)
    for key in keys[:-2]:
        x += cell_len(key[0]) + cell_len(key[1]) + 4
        if x > room:
            break
        shown.append(key)
    put(canvas, canvas.height - 1, [*shown, *last])
