"""Core, weights and needs as plain text of 80 columns."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

from bench.answers.core import CoreAnswer, CoreStack
from bench.answers.needs import NeedsAnswer
from bench.answers.weights import WeightsAnswer
from bench.sheets.words import core_room

WIDTH = 80


def core_lines(answer: CoreAnswer) -> list[str]:
    """What `core` prints."""
    core = answer.core
    lines = []
    if core.planned is not None:
        lines += _stack("PLANNED", core.planned, judged=True)
    elif core.on == "cord":
        lines += _wrapped("PLANNED", f"a cord of {core.cord_mm:.0f} mm, without beads")
    else:
        lines += _wrapped("PLANNED", "no core beads")
    if core.suggested is not None:
        same = core.planned is not None and core.planned.beads == core.suggested.beads
        lines += (
            _wrapped("SUGGESTED", "the same")
            if same
            else _stack("SUGGESTED", core.suggested, judged=False)
        )
    elif core.rings:
        lines += _wrapped("SUGGESTED", "none: no bead of the pattern fits inside")
    else:
        lines += _wrapped("SUGGESTED", "none: the columns of this braid are not known")
    for ring in core.rings:
        fits = f"takes {ring.largest}" if ring.largest else "takes no bead of the pattern"
        lines += _wrapped(
            "RING", f"of {ring.bead} {ring.size}: {ring.free_mm:.2f} mm free inside, {fits}"
        )
    if core.wire_mm is not None:
        lines += _wrapped("WIRE", f"{core.wire_mm:.0f} mm, braid, parked core and two grips")
    crosses = (
        ("core down", core.down_after_cross),
        ("upper clip off", core.clip_off_after_cross),
        ("wire or cord out", core.out_after_cross),
    )
    marks = [f"{do} after cross {cross}" for do, cross in crosses if cross is not None]
    lines += _wrapped("MARKS", "; ".join(marks)) if marks else []
    lines += _wrapped("", "Predicted from the columns: the sample decides.") if core.rings else []
    return lines


def weights_lines(answer: WeightsAnswer) -> list[str]:
    """What `weights` prints."""
    start = answer.schedule[0]
    each = {round(grams, 1) for grams in answer.hang_g}
    hangs = (
        f"{answer.hang_g[0]:.1f} g on each strand"
        if len(each) == 1
        else ", ".join(f"{strand}: {g:.1f} g" for strand, g in enumerate(answer.hang_g, 1))
    )
    lines = [
        *_wrapped("STRANDS", f"tama with beads, {hangs}; {sum(answer.hang_g):.0f} g in all"),
        *_wrapped(
            "ASKED",
            f"{answer.start_g:.0f} g at the start, {answer.end_g:.0f} g after the last row:"
            f" {answer.fraction:g} of what the strands pull, less what hangs in the braid",
        ),
        *_wrapped("HANG", f"{start.counterweight_g:g} g: {_listed(start.add_g, answer.bag_g)}"),
        *_wrapped("ANGLE", f"the strands dip {answer.angle_deg:.0f} degrees below the mirror"),
        *_wrapped("CHANGES", answer.says),
    ]
    for change in answer.schedule[1:]:
        moved = [f"take off {_listed(change.take_off_g)}"] if change.take_off_g else []
        moved += [f"add {_listed(change.add_g)}"] if change.add_g else []
        lines += _wrapped(
            "", f"after cross {change.cross}: {', '.join(moved)}: {change.counterweight_g:g} g"
        )
    if answer.point is not None:
        lines += _wrapped("POINT", answer.point)
    lines += _wrapped("", "The eye is the gauge: weigh by the sum, then look at the point.")
    lines += _wrapped("!", "Weights never over feet. Stick in, then weight off.")
    return lines


def needs_lines(answer: NeedsAnswer, width: int = WIDTH) -> list[str]:
    """What `needs` prints, in lines of at most so many columns (60 or more)."""
    pieces = "one piece" if answer.pieces == 1 else f"{answer.pieces} pieces"
    lines = [*textwrap.wrap(f"{answer.of}: {pieces}", width), "", *_buying(answer, width), ""]
    if answer.beads:
        lines += _beads(answer, width)
    for thread in answer.threads:
        lines += _wrapped(
            "THREAD",
            f"{thread.name}: {thread.metres:.1f} m, {_spools(thread.spools)} if all new",
            width,
        )
    for lot in answer.lots:
        cuts = " and ".join(
            f"{cut.lengths} {'double lengths' if cut.strands_each == 2 else 'single strands'}"
            f" of {cut.cut_mm / 1000:.2f} m"
            for cut in lot.cuts
        )
        each = "one piece" if lot.pieces == 1 else f"{lot.pieces} pieces"
        name = f"{lot.lot}, {each}: " if len(answer.lots) > 1 else ""
        lines += _wrapped("CUT", f"{name}{cuts}", width)
    lines += _wrapped("NEEDLE", answer.needle, width)
    if answer.wire_mm is not None:
        lines += _wrapped(
            "WIRE", f"{answer.wire_mm:.0f} mm for the longest piece; serves again", width
        )
    for head, used_up in (("NOTIONS", True), ("TOOLS", False)):
        notions = "; ".join(f"{n.count} × {n.name}" for n in answer.notions if n.used_up == used_up)
        lines += _wrapped(head, notions, width) if notions else []
    lines.append("")
    for text in answer.rests_on:
        lines += _wrapped("RESTS ON", text, width)
    for caution in answer.cautions:
        lines += textwrap.wrap(f"! {caution}", width, subsequent_indent="  ")
    return lines


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
        return _wrapped("BUY", "nothing: your stock holds it all", width)
    lines = []
    if answer.stock is None:
        lines += _wrapped(
            "STOCK", "none is kept (stock.toml or stock.csv): all is to be bought", width
        )
    for item in answer.buy:
        missing = f"{item.missing:.0f}" if item.unit == "count" else f"{item.missing:.1f} "
        unit = "" if item.unit == "count" else item.unit
        price = f", {item.price:.2f}" if item.price is not None else ""
        packs = f" = {item.packs} × {item.pack}" if item.unit != "count" else ""
        if item.pack == "metre":
            packs = f" = {item.packs} m, sold by the metre"
        lines += _wrapped("BUY", f"{item.what}: {missing}{unit}{packs}{price}", width)
    if answer.cost is not None:
        more = "" if answer.cost.complete else ", and what has no price in your stock"
        lines += _wrapped("COST", f"{answer.cost.amount:.2f} {answer.cost.currency}{more}", width)
    return lines


def _stack(head: str, stack: CoreStack, *, judged: bool) -> list[str]:
    lines = _wrapped(
        head,
        f"{stack.beads}, first in first: {core_room(stack)};"
        f" down after cross {stack.down_after_cross}"
        + (" at the earliest" if stack.room_mm is not None else ""),
    )
    if judged:
        for finding in stack.findings or ("it fits",):
            lines += _wrapped("", finding)
    return lines


def _listed(grams: tuple[float, ...], bag_g: float = 0.0) -> str:
    said = " + ".join(f"{g:g}" for g in grams)
    return (f"{said} g" if grams else "no weight") + (
        f" and the bag's {bag_g:g} g" if bag_g else ""
    )


def _spools(count: int) -> str:
    return "one spool" if count == 1 else f"{count} spools"


def _wrapped(head: str, text: str, width: int = WIDTH) -> list[str]:
    return textwrap.wrap(text, width, initial_indent=f"{head:<11}", subsequent_indent=" " * 11)
