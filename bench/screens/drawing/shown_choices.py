"""Which size and colourway are shown, and the sizes that can be made."""

from __future__ import annotations

from collections.abc import Callable

from bench.craft.text import Fault, check_name
from bench.design.history import History
from bench.design.operation import Operation
from bench.design.operations import Entitle, Mirror, Resize
from bench.design.palette import gaps
from bench.design.resizing import levelled
from bench.design.sheet import Cell
from bench.documents.errors import DocumentError
from bench.screens.drawing.choosing import Choice, Choosing
from bench.screens.drawing.draft import Draft
from bench.screens.drawing.draft_log import DraftLog
from bench.screens.drawing.host import BoardHost
from bench.screens.drawing.question import Question

ANTICLOCKWISE = "-anticlockwise"
"""What the name of a structure ends with that is worked the other way round."""
LONGEST_TITLE = 60
AS_WRITTEN = "as written"


def show_choices(host: BoardHost) -> None:
    """Choose the size and the colourway that are shown, and that painting changes."""
    draft = host.drawing.draft
    pattern = draft.sheet.pattern

    def size(name: str | None) -> Callable[[], None]:
        return lambda: setattr(draft, "size", name)

    def colourway(name: str | None) -> Callable[[], None]:
        return lambda: setattr(draft, "colourway", name)

    def of_size(name: str | None) -> Callable[[], bool]:
        return lambda: draft.size == name

    def in_colours(name: str | None) -> Callable[[], bool]:
        return lambda: draft.colourway == name

    sizes = [None, *pattern.sizes]
    colourways = [None, *pattern.colourways]
    choices = [
        Choice(key, f"size {name or AS_WRITTEN}", size(name), stays=True, is_on=of_size(name))
        for key, name in zip("1234567", sizes, strict=False)
    ]
    choices += [
        Choice(
            key,
            f"colourway {name or AS_WRITTEN}",
            colourway(name),
            stays=True,
            is_on=in_colours(name),
        )
        for key, name in zip("abcdefg", colourways, strict=False)
    ]
    host.to_mode(Choosing(host, "SHOWN: painting changes what is shown", choices))


def size_making(host: BoardHost) -> None:
    """Choose how another size is made."""

    def same_rows(steps: int) -> Callable[[], None]:
        return lambda: _ask_name(host, steps)

    def proportions(steps: int) -> Callable[[], None]:
        return lambda: _anew(host, steps)

    host.to_mode(
        Choosing(
            host,
            "ANOTHER SIZE: the same rows are a size of this pattern",
            (
                Choice("1", "smaller beads, same rows", same_rows(-1)),
                Choice("2", "larger beads, same rows", same_rows(1)),
                Choice("3", "smaller beads, same proportions: rows anew", proportions(-1)),
                Choice("4", "larger beads, same proportions: rows anew", proportions(1)),
            ),
        )
    )


def _ask_name(host: BoardHost, steps: int) -> None:
    pattern = host.drawing.draft.sheet.pattern
    usual = "small" if steps < 0 else "large"

    def look(text: str) -> str:
        try:
            check_name(text, "a size's")
        except Fault as fault:
            return str(fault)
        return f"there is a size '{text}' already" if text in pattern.sizes else ""

    def keep(text: str) -> None:
        _make(host, text, steps)

    value = usual if usual not in pattern.sizes else f"{usual}-2"
    host.ask(Question("What is the size called?", look, keep, value))


def _make(host: BoardHost, name: str, steps: int) -> None:
    drawing = host.drawing
    if not drawing.do(Resize(steps=steps, size=name)):
        return
    drawing.draft.size = name
    sheet = drawing.draft.sheet
    left = [letter for letter in sorted(sheet.counts()) if name in gaps(sheet, letter)]
    flat = ", ".join(" and ".join(letters) for letters in levelled(sheet, name))
    flatter = f" {flat} are equally thick there, which flattens it." if flat else ""
    if left:
        letters = " and ".join(left)
        beads = ", ".join(f"{sheet.beads[x].size} {sheet.beads[x].shape}" for x in left)
        asks = (
            f"What does {letters} ({beads}) become in {name}? {drawing.key('size')} on it says it."
        )
        drawing.said = asks + flatter
        strand = next(n for n, load in enumerate(sheet.loads, 1) if left[0] in load)
        drawing.go_to(Cell(strand, sheet.loads[strand - 1].index(left[0]) + 1))
    else:
        drawing.said = (
            f"The size {name} is made, its core too; {drawing.key('shown')} shows the others."
        )
        drawing.said += flatter


def _anew(host: BoardHost, steps: int) -> None:
    """Make the rows anew as a pattern of its own, and open it."""
    draft = host.drawing.draft
    title = f"{draft.sheet.pattern.title}, {'smaller' if steps < 0 else 'larger'}"
    beside(host, Resize(steps=steps, proportions=True), title)


def twin(host: BoardHost) -> None:
    """Make the mirror twin as a pattern of its own, and open it: a pair of earrings."""
    drawing = host.drawing
    structure = drawing.draft.sheet.pattern.structure
    other = structure.removesuffix(ANTICLOCKWISE)
    other = other if other != structure else f"{structure}{ANTICLOCKWISE}"
    beside(host, Mirror(structure=other), f"{drawing.draft.sheet.pattern.title}, twin")


def beside(host: BoardHost, operation: Operation, title: str) -> None:
    """Put what an operation makes of the sketch on the board as a sketch of its own."""
    draft = host.drawing.draft
    try:
        made = operation.on(draft.sheet, draft.desk)
        made = Entitle(title=title[:LONGEST_TITLE]).on(made, draft.desk)
    except Fault as fault:
        host.drawing.said = f"{fault}."
        return
    except DocumentError as error:
        host.drawing.said = str(error)
        return
    log = None if draft.log is None else DraftLog(draft.log.home, draft.log.source)
    host.open_beside(Draft(History(made), draft.desk, text=draft.text, log=log))
