"""The sheet of `needs`, in plain text."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from typing import TYPE_CHECKING

from bench.craft.words import one_or_more
from bench.sheets.words import WIDTH, caution_lines, cuts_said, headed

if TYPE_CHECKING:
    from bench.answers.needs import NeedsAnswer


def needs_lines(answer: NeedsAnswer, width: int = WIDTH) -> list[str]:
    """What `needs` prints, in lines of at most so many columns (60 or more)."""
    pieces = one_or_more(answer.pieces, "piece")
    lines = [*textwrap.wrap(f"{answer.of}: {pieces}", width), "", *_buying(answer, width), ""]
    if answer.beads:
        lines += _beads(answer, width)
    for thread in answer.threads:
        lines += headed(
            "THREAD",
            f"{thread.name}: {thread.metres:.1f} m,"
            f" {one_or_more(thread.spools, 'spool')} if all new",
            width=width,
        )
    for lot in answer.lots:
        cuts = cuts_said(lot.cuts, " and ")
        name = f"{lot.lot}, {one_or_more(lot.pieces, 'piece')}: " if len(answer.lots) > 1 else ""
        lines += headed("CUT", f"{name}{cuts}", width=width)
    for dye in answer.dye_lots:
        given = f"dye lot {dye.dye_lot}" if dye.dye_lot else "those without a dye lot"
        given = "has to mix, or to be bought for" if dye.dye_lot is None else given
        what = f"{dye.size} {dye.name}".strip()
        lines += headed("DYE LOT", f"{dye.lot}: {what}, {given}", width=width)
    lines += headed("NEEDLE", answer.needle, width=width)
    if answer.wire_mm is not None:
        lines += headed(
            "WIRE", f"{answer.wire_mm:.0f} mm for the longest piece; serves again", width=width
        )
    for head, used_up in (("NOTIONS", True), ("TOOLS", False)):
        notions = "; ".join(f"{n.count} × {n.name}" for n in answer.notions if n.used_up == used_up)
        lines += headed(head, notions, width=width) if notions else []
    lines.append("")
    for text in answer.rests_on:
        lines += headed("RESTS ON", text, width=width)
    return [*lines, *caution_lines(answer.cautions, width)]


def _beads(answer: NeedsAnswer, width: int) -> Iterator[str]:
    room = min(28, width - 49)
    letters = len(answer.lots) == 1
    yield f"{'BEADS':<11}{'size':<8}{'name':<{room}}{'count':>8}{'with spare':>12}{'grams':>8}"
    for bead in answer.beads:
        name = bead.name if bead.shape == "round" else f"{bead.name} ({bead.shape})"
        yield (
            f"  {bead.bead if letters else '':<9}{bead.size[:7]:<8}{name[: room - 1]:<{room}}"
            f"{bead.count:>8}{bead.with_spare:>12}{bead.grams:>8.1f}"
        )


def _buying(answer: NeedsAnswer, width: int) -> list[str]:
    if not answer.buy:
        return headed("BUY", "nothing is missing", width=width)
    lines = []
    if answer.stock is None:
        lines += headed(
            "STOCK", "none is kept (as tubes, or in stock.toml): all is to be bought", width=width
        )
    for item in answer.buy:
        missing = f"{item.missing:.0f}" if item.unit == "count" else f"{item.missing:.1f} "
        unit = "" if item.unit == "count" else item.unit
        price = f", {item.price:.2f}" if item.price is not None else ""
        packs = f" = {item.packs} × {item.pack}" if item.unit != "count" else ""
        if item.pack == "metre":
            packs = f" = {item.packs} m, sold by the metre"
        lines += headed("BUY", f"{item.what}: {missing}{unit}{packs}{price}", width=width)
    if answer.cost is not None:
        more = "" if answer.cost.complete else ", and what has no price in your stock"
        lines += headed(
            "COST", f"{answer.cost.amount:.2f} {answer.cost.currency}{more}", width=width
        )
    return lines
