"""Taking back: the reverse moves as they must be made, and what a mend asks for meanwhile."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from bench.craft.plan import Move, Plan, PlannedCross
from bench.craft.undoing import undo_words
from bench.craft.words import plural
from bench.journal.piece_state import PieceState
from bench.making.braid import Braid
from bench.screens.bench.at_the_braid import AtTheBraid
from bench.screens.bench.mode import Bench
from bench.screens.kit import words
from bench.screens.kit.action_keys import draw_main_key
from bench.screens.kit.canvas import Canvas, fit, wrap
from bench.screens.kit.deeds import Deed
from bench.screens.kit.framed_page import framed
from bench.screens.kit.large_letters import HEIGHT, big
from bench.screens.kit.rim import draw_rim
from bench.screens.kit.view import View

_SLIDES = "then the neighbours slide back"
Styled = list[tuple[str, str]]
"""Lines of text with their styles."""

RIM_LEAST = 5
"""Lines that the stand takes at least, where it is drawn."""


@dataclass(frozen=True)
class _Layout:
    """How much is shown: the stand beside the moves, large letters, a mend's caution, all of it."""

    rim: bool = True
    large: bool = True
    caution: bool = True
    whole: bool = True


LAYOUTS = (
    _Layout(),
    _Layout(large=False),
    _Layout(large=False, rim=False),
    _Layout(large=False, rim=False, caution=False),
    _Layout(large=False, rim=False, caution=False, whole=False),
)
"""The first that finds room is drawn: the moves are never cut."""


class TakingBack(AtTheBraid):
    """A cross is being taken back; it stays so until a forward press."""

    def __init__(self, bench: Bench) -> None:
        super().__init__(bench)
        wire = {mark.id for mark in self.braid.marks if mark.kind == "wire-out"}
        self.wire_is_out = not wire.isdisjoint(self.braid.state.marks_ever_done)

    def deeds(self) -> Sequence[Deed]:
        """The keys of braiding, the first of them at the foot."""
        shown = {"next", "back", "slip", "place", "pause", "leave"}
        rest = [d if d.key in shown else replace(d, foot=None) for d in super().deeds()]
        if not self._more_of_row:
            return rest
        off = "the row was only pressed too often: the rest of it comes off the count"
        whole = Deed("mark", off, "whole row off", self._row_off, "row off")
        return [*rest[:2], whole, *(d for d in rest[2:] if d.key != "mark")]

    @property
    def _more_of_row(self) -> int:
        """Crosses of the row that still count, where a press counts a row and none is mended."""
        by_row = self.bench.per == "row" and self.braid.state.mending is None
        return self.braid.plan.row_at(self.braid.made + 1)[1] - 1 if by_row else 0

    def _row_off(self) -> None:
        """Take the rest of the row off the count: it was never laid."""
        made = self.braid.take_back(self._more_of_row)
        self.bench.done = f"the row is off the count: back to {made}"

    def spoken(self) -> str:
        """Which cross comes out."""
        step = self.braid.plan.step(self.braid.made + 1)
        return f"back: {step.call}, cross {step.cross} comes out"

    def draw(self, view: View) -> Canvas:
        """Draw the reverse moves."""
        step = self.braid.plan.step(self.braid.made + 1)
        is_out = not self.bench.counted_here
        return draw_back(self.braid, step, view, is_out=is_out, wire_is_out=self.wire_is_out)


def draw_back(
    braid: Braid, step: PlannedCross, view: View, *, is_out: bool = False, wire_is_out: bool = False
) -> Canvas:
    """Draw the cross that is being taken back: the reverse moves as they must be made.

    is_out: the maker comes back to the piece, so that this cross was taken out before.
    wire_is_out: the core's wire was drawn out, if only before some crosses were taken back.
    """
    canvas = framed(view, "back", double=True)
    scale = 2 if canvas.width >= 116 and canvas.height >= 34 else 1
    top = 1 if canvas.height < 23 else 2
    rim_width = 20 if canvas.width < 76 else 28 * scale
    foot = canvas.height - 5
    for layout in LAYOUTS:
        x = rim_width + 6 if layout.rim else 3
        y = top + (1 + HEIGHT * scale if layout.large else 3)
        moves = _reverse_moves(braid, step, canvas.width - x - 3)
        if not is_out and braid.state.mending is None:
            moves = _only_counted(braid, view, canvas.width - x - 3) + moves
        ask = [] if is_out else _undoing(braid, step, canvas.width - 6, wire_is_out=wire_is_out)
        ask += _mending(braid, view, canvas.width - 6, layout)
        ask += _forward(braid, view, canvas.width - 6)
        if y + max(len(moves), RIM_LEAST if layout.rim else 0) + len(ask) <= foot + 1:
            break
    if layout.large:
        end = big(canvas, 3, top, "BACK", "back", scale) + 4
    else:
        end = canvas.text(3, top, "BACK", "back") + 4
    gap = 2 if layout.large else 1
    comes = "is" if is_out else "comes"
    canvas.text(end, top, f"cross {step.cross} of {braid.plan.crosses} {comes} out", "bold")
    canvas.text(end, top + gap, step.call.upper(), "call")
    where, which = words.row_words(braid.plan, step.cross)
    canvas.text(end, top + 2 * gap, f"{where}, {which}")
    if layout.rim:
        height = max(RIM_LEAST, min(9 * scale, foot + 1 - y - len(ask)))
        draw_rim(canvas, 3, y, rim_width, height, braid.plan, step, back=True)
    for number, (text, style) in enumerate(moves):
        canvas.text(x, y + number, text, style)
    ask = ask[: max(0, foot + 1 - y - len(moves))]
    for number, (text, style) in enumerate(ask, foot + 1 - len(ask)):
        canvas.text(3, number, text, style)
    done = _back_again(braid, view) if is_out else view.done
    canvas.text(3, foot + 1, view.said or done, "warn" if view.said else "", canvas.width - 6)
    draw_main_key(canvas, view, "")
    return canvas


def _only_counted(braid: Braid, view: View, room: int) -> Styled:
    """That most presses too many are only counted: then the braid is right as it is.

    Where a press counts a row, which key takes the rest of it off.
    """
    text = f"Count is back to {braid.made}. Only pressed too often? Leave the braid alone."
    if view.per_row and braid.plan.row_at(braid.made + 1)[1] > 1:
        text += f" This is one cross; {view.keys.name('mark')} takes the whole row off."
    lines: Styled = [(line, "warn") for line in wrap(text, room)]
    return [*lines, ("Was it laid? It comes out like this:", "bold")]


def _reverse_moves(braid: Braid, step: PlannedCross, room: int) -> Styled:
    """The way of each strand back, and the bead that comes out with it, line by line."""
    lines: Styled = []
    places = braid.structure.places
    for move in step.carried:
        transfer = move.transfer.reversed()
        text = f"{places[transfer.start - 1]}  →  {places[transfer.end - 1]}"
        lines += [(part, "bold") for part in wrap(text, room)]
        bead = _bead_out(braid.plan, braid.state, move, step.cross)
        lines += [(f"  {part}", "") for part in wrap(f"{transfer.way}; {bead}", room - 2)]
    if any(move.transfer.kind == "slide" for move in step.moves):
        lines.append((_SLIDES, ""))
    return lines


def _bead_out(plan: Plan, state: PieceState, move: Move, cross: int) -> str:
    """What comes out with a carried strand as its cross is taken back.

    Where slips and mends left the braid unlike its plan, what is known of that. In a row of equal
    beads a gap may lie as far down as its first one.
    """
    strand, bead = move.strand, move.bead
    used, load = plan.used(strand, cross - 1), plan.loads[strand - 1]
    known = {spot.cross: spot.what for spot in state.out if spot.strand == strand}
    for at, what in known.items():
        if what == "gap" and at >= cross and bead:
            run = load[used : plan.used(strand, at)]
            if at > cross and set(run) != {bead}:
                continue
            sure = at == cross and load[used - 1 : used] != bead
            return "no bead out: none came in" if sure else f"a gap? no bead; else {bead} out"
    seen = known.get(cross, "proud")
    if seen == "two":
        return "two beads out over the rim"
    to_sew = {(bead.strand, bead.cross) for bead in state.sew_ins}
    if bead is None or (strand, cross) in to_sew:
        return "no bead on it"
    return f"bead {bead if seen == 'proud' else seen} out over the rim"


def _undoing(braid: Braid, step: PlannedCross, room: int, *, wire_is_out: bool) -> Styled:
    """What of the marks done on this cross has to be undone before it comes out, line by line."""
    undone = {mark.mark for mark in braid.state.undone if mark.cross == step.cross}
    return [
        (line, "warn")
        for mark in braid.marks
        if mark.id in undone
        for line in wrap(f"FIRST {undo_words(mark, wire_is_out=wire_is_out)}", room)
    ]


def _back_again(braid: Braid, view: View) -> str:
    """What the keys do for a maker who left while taking back."""
    last = braid.last_step
    counts = f"{view.keys.name('next')} counts it again once it is made anew"
    return f"{view.keys.name('back')}: cross {last.cross} out next" if last is not None else counts


def _mending(braid: Braid, view: View, room: int, layout: _Layout) -> Styled:
    """What the chosen mend still asks for while its crosses are taken back, line by line."""
    mending = braid.state.mending
    if mending is None:
        return []
    more = braid.made - mending.to
    lines: Styled
    if more > 0:
        back = view.keys.name("back")
        text = f"MEND  {plural(more, 'cross')} more after this one: {back} for each"
        lines = [(text, "warn")]
    else:
        text = f"MEND  the last. {mending.do}"
        told = wrap(text, room) if layout.whole else [fit(text, room)]
        lines = [(line, "warn") for line in told]
    return [*lines, *((line, "") for line in wrap(mending.caution, room) if layout.caution)]


def _forward(braid: Braid, view: View, room: int) -> Styled:
    """The cross to make next, where it is not one that is still to be taken back."""
    step = braid.next_step
    mending = braid.state.mending
    if step is None or (mending is not None and mending.to < braid.made):
        return []
    beads = f", {words.beads_line(braid.plan, step)}" if step.row is not None else ", plain"
    counts = "counts its row to the end" if view.per_row else "counts it"
    text = f"THEN FORWARD  {step.call}{beads}: {view.keys.name('next')} {counts}"
    return [(line, "") for line in (wrap(text, room) if len(text) > room else [text])]
