"""What the bead under the cursor can become: another size, another colour, another bead."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from bench.craft.beads import TABLE
from bench.craft.colour import ciede2000, seen
from bench.craft.pattern import BeadFinish, BeadInSize, ColourChange
from bench.design.board_operations import StepSize
from bench.design.operation import Operation
from bench.design.operations import ChangeBead, Merge, PaintColour, PaintSize, Replace
from bench.screens.drawing.choosing import Choice, Choosing
from bench.screens.drawing.host import BoardHost

KEYS = "123456789abcdefgijklmnopqrstuvwxyz"
"""Keys of choices that are many; without H, which asks for help."""
FINISHES: tuple[BeadFinish, ...] = ("opaque", "transparent", "lined", "matt", "metallic")


def here_or_everywhere(
    host: BoardHost, letter: str, here: Operation, everywhere: Operation
) -> None:
    """Do a change: where the bead stands elsewhere too, ask whether it is meant there as well."""
    drawing = host.drawing
    sheet = drawing.draft.sheet
    reached = drawing.reached()
    in_all = sum(load.count(letter) for load in sheet.loads)
    meant = sum(sheet.at(cell) == letter for cell in reached)
    others = {sheet.at(cell) for cell in reached} - {letter, "", "-", "?"}
    if others or meant == in_all:
        _done(host, here)
        return
    host.to_mode(
        Choosing(
            host,
            f"{letter} stands {in_all:,} times. Change it",
            (
                Choice("1", f"only here: {meant:,}", lambda: _done(host, here)),
                Choice("2", f"everywhere: {in_all:,}", lambda: _done(host, everywhere)),
            ),
        )
    )


def _done(host: BoardHost, operation: Operation) -> None:
    if host.drawing.do(operation):
        host.drawing.corner = None
        host.drawing.hand = host.drawing.sheet.at(host.drawing.cell) or host.drawing.hand


def bead_here(host: BoardHost) -> str:
    """The bead under the cursor; "" and a word about it where there is none."""
    letter = host.drawing.sheet.at(host.drawing.cell)
    if letter not in host.drawing.sheet.beads:
        host.drawing.said = "There is no bead here; lay one first."
        return ""
    return letter


def size_choices(host: BoardHost) -> None:
    """Choose another size for the bead here; its colour stays."""
    letter = bead_here(host)
    if not letter:
        return
    drawing = host.drawing
    bead = drawing.draft.shown().beads[letter]
    names = [s.name for s in TABLE if s.shape == bead.shape]
    shown, target = drawing.draft.size, drawing.target

    def take(name: str) -> Callable[[], None]:
        def do() -> None:
            size = BeadInSize(size=name)
            here = PaintSize.model_validate({"size": size, "shown": shown, **target})
            here_or_everywhere(host, letter, here, ChangeBead(bead=letter, size=size, shown=shown))

        return do

    def step(steps: int) -> Callable[[], None]:
        def do() -> None:
            _done(host, StepSize.model_validate({"steps": steps, "shown": shown, **target}))

        return do

    choices = [Choice(key, name, take(name)) for key, name in zip(KEYS, names, strict=False)]
    choices += [
        Choice("+", "one larger", step(1)),
        Choice("-", "one smaller", step(-1)),
    ]
    where = f" in the size {shown}" if shown else ""
    host.to_mode(Choosing(host, f"SIZE of {letter}, {bead.name} {bead.size}{where}", choices))


def colour_operations(
    host: BoardHost, letter: str, look: ColourChange
) -> tuple[Operation, Operation]:
    """A colour given to the cells that are meant, and to the bead wherever it stands."""
    drawing = host.drawing
    shown = drawing.draft.colourway
    here = PaintColour.model_validate({**drawing.target, **look.model_dump(), "shown": shown})
    given = ChangeBead.model_validate({"bead": letter, **look.model_dump(), "colourway": shown})
    return here, given


def exchange_choices(host: BoardHost) -> None:
    """Choose the bead that takes the place of the one here, wherever it stands; or its finish."""
    letter = bead_here(host)
    if not letter:
        return
    drawing = host.drawing
    others = [other for other in drawing.letters if other != letter]
    beads = drawing.draft.shown().beads

    def by(other: str) -> Callable[[], None]:
        return lambda: _done(host, Replace(bead=letter, by=other))

    def one_with(other: str) -> Callable[[], None]:
        return lambda: _done(host, Merge(bead=letter, into=other))

    def finish(name: BeadFinish) -> Callable[[], None]:
        return lambda: _done(host, ChangeBead(bead=letter, finish=name))

    choices = [
        Choice(key, f"{o}, {beads[o].name} {beads[o].size}", by(o), beads[o].colour)
        for key, o in zip("123456789", others, strict=False)
    ]
    choices += [
        Choice(key, f"its finish: {name}", finish(name))
        for key, name in zip("otlmk", FINISHES, strict=True)
    ]
    near = _nearest(letter, others, host)
    if near:
        choices.append(Choice("0", f"make it one with {near}, and let {letter} go", one_with(near)))
    host.to_mode(Choosing(host, f"Every {letter}, {beads[letter].name}, becomes", choices))


def _nearest(letter: str, others: Sequence[str], host: BoardHost) -> str:
    """The bead of the same size and shape whose colour is nearest, to be made one with."""
    beads = host.drawing.draft.sheet.beads
    own = beads[letter]
    alike = [o for o in others if (beads[o].size, beads[o].shape) == (own.size, own.shape)]
    colour = seen(own.colour)
    return min(alike, key=lambda o: ciede2000(colour, seen(beads[o].colour)), default="")
