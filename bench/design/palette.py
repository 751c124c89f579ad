"""The palette: size and colour are chosen apart, and the letter with both is found or made.

A letter stands for a bead with its whole column: its size in every size of the pattern, its colour
and name in every colourway, its shape, finish and measures. Two letters with one column are one.
"""

from __future__ import annotations

import string
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import TypeVar

from bench.craft.growth import size_of
from bench.craft.pattern import MEASURED, Bead, BeadInSize, ColourChange, Pattern
from bench.craft.text import Fault
from bench.design.painting import put
from bench.design.sheet import Cell, Sheet, beads_of

_T = TypeVar("_T")
MANY_LETTERS = 20
"""From so many letters on a merge is offered."""


@dataclass(frozen=True)
class Column:
    """What one letter means: the bead itself, then what each size and colourway makes of it.

    A size or colourway that is not named leaves the bead as it is.
    """

    bead: Bead
    sizes: Mapping[str, BeadInSize] = field(default_factory=dict)
    colourways: Mapping[str, ColourChange] = field(default_factory=dict)

    def sized(self, size: BeadInSize, of: str | None) -> Column:
        """The column with another bead size: in the pattern's own (None) or in one of its sizes.

        Raises Fault for a size whose measures are not known.
        """
        size_of(self.bead.in_size(size))
        if of is None:
            return replace(self, bead=self.bead.in_size(size))
        return replace(self, sizes={**self.sizes, of: size})

    def coloured(self, look: ColourChange, of: str | None) -> Column:
        """The column with another colour: in the pattern's own (None) or in a colourway."""
        if of is None:
            return replace(self, bead=self.bead.model_copy(update=look.model_dump()))
        return replace(self, colourways={**self.colourways, of: look})


def column_of(pattern: Pattern, letter: str) -> Column:
    """What a letter of a pattern means. Raises Fault for a letter that it does not have."""
    if letter not in pattern.beads:
        raise Fault(f"there is no bead '{letter[:1]}' on this board")
    return Column(
        pattern.beads[letter],
        {n: s.beads[letter] for n, s in pattern.sizes.items() if letter in s.beads},
        {n: c[letter] for n, c in pattern.colourways.items() if letter in c},
    )


def column_like(pattern: Pattern, bead: Bead) -> Column:
    """What a new bead means: in each size what the pattern's beads of its size become there."""
    like = (x for x, other in pattern.beads.items() if other.shape == bead.shape
            and all(getattr(other, name) == getattr(bead, name) for name in MEASURED))  # fmt: skip
    letter = next(like, None)
    return Column(bead, {} if letter is None else column_of(pattern, letter).sizes)


def find_letter(sheet: Sheet, column: Column) -> str | None:
    """The letter that means just this, if there is one."""
    return next(
        (letter for letter in sheet.beads if column_of(sheet.pattern, letter) == column), None
    )


def with_column(sheet: Sheet, letter: str, column: Column) -> Sheet:
    """Give a letter, new or not, a column."""
    pattern = sheet.pattern
    sizes = {}
    for name, size in pattern.sizes.items():
        beads = {k: v for k, v in size.beads.items() if k != letter}
        if name in column.sizes:
            beads[letter] = column.sizes[name]
        sizes[name] = size.model_copy(update={"beads": _in_order(beads)})
    colourways = {}
    for name, looks in pattern.colourways.items():
        kept = {k: v for k, v in looks.items() if k != letter}
        if name in column.colourways:
            kept[letter] = column.colourways[name]
        colourways[name] = _in_order(kept)
    palette = _in_order({**pattern.beads, letter: column.bead})
    return sheet.with_pattern(beads=palette, sizes=sizes, colourways=colourways)


def letter_for(sheet: Sheet, column: Column) -> tuple[Sheet, str]:
    """The letter that means just this, found or made, and the sheet that has it.

    A letter that no cell uses, nor the core, is taken before a new one is made. Raises Fault when
    all 26 letters are in use.
    """
    known = find_letter(sheet, column)
    if known is not None:
        return sheet, known
    free = next((c for c in string.ascii_lowercase if c not in sheet.beads), None)
    if free is None:
        free = next(iter(sorted(set(sheet.beads) - in_use(sheet))), None)
    if free is None:
        raise Fault("all 26 letters are in use; merge two beads before another one is made")
    return with_column(sheet, free, column), free


def in_use(sheet: Sheet) -> set[str]:
    """The letters that cells or a core use, in any size."""
    cores = [sheet.pattern.core, *(size.core for size in sheet.pattern.sizes.values())]
    inside = "".join(core.beads or "" for core in cores if core is not None)
    return beads_of(sheet.loads) | {letter for letter in sheet.beads if letter in inside}


def paint_size(
    sheet: Sheet, cells: Iterable[Cell], size: BeadInSize, *, shown: str | None = None
) -> Sheet:
    """Give cells another bead size and leave each its colour.

    `shown`: the size of the pattern that is looked at; that one is changed, or with None the
    pattern's own. Cells without a bead stay as they are. Raises Fault for a size that the pattern
    does not have, or a bead whose measures are not known.
    """
    sheet.pattern.resolve(shown)
    return _repaint(sheet, cells, lambda column: column.sized(size, shown))


def paint_colour(
    sheet: Sheet, cells: Iterable[Cell], look: ColourChange, *, shown: str | None = None
) -> Sheet:
    """Give cells another colour and leave each its size; `shown`: the colourway looked at.

    Raises Fault for a colourway that the pattern does not have.
    """
    sheet.pattern.resolve(None, shown)
    return _repaint(sheet, cells, lambda column: column.coloured(look, shown))


def paint_look(sheet: Sheet, cells: Iterable[Cell], look: Column) -> Sheet:
    """Give cells the colour, name and finish of a bead, in every colourway; each keeps its size.

    Raises Fault when all letters are in use.
    """
    dress = {name: getattr(look.bead, name) for name in ("colour", "name", "finish")}

    def dressed(column: Column) -> Column:
        bead = column.bead.model_copy(update=dress)
        return replace(column, bead=bead, colourways=look.colourways)

    return _repaint(sheet, cells, dressed)


def change_everywhere(sheet: Sheet, letter: str, column: Column) -> Sheet:
    """Change what a letter means, wherever it stands; two that then mean the same become one."""
    same = find_letter(sheet, column)
    if same is not None and same != letter:
        return merge(sheet, letter, same)
    return with_column(sheet, letter, column)


def merge(sheet: Sheet, letter: str, into: str) -> Sheet:
    """Make one letter of two: every cell and core bead of the first becomes the second.

    Raises Fault for letters that the palette does not have, or twice the same.
    """
    if letter == into:
        raise Fault(f"bead {letter} cannot become one with itself; name another one")
    for name in (letter, into):
        column_of(sheet.pattern, name)
    table = str.maketrans({letter: into})
    pattern = sheet.pattern
    changes: dict[str, object] = {}
    if pattern.core is not None:
        beads = pattern.core.beads.translate(table)
        changes["core"] = pattern.core.model_copy(update={"beads": beads})
    sizes = {}
    for name, size in pattern.sizes.items():
        core = size.core
        if core is not None and core.beads is not None:
            core = core.model_copy(update={"beads": core.beads.translate(table)})
        kept = {k: v for k, v in size.beads.items() if k != letter}
        sizes[name] = size.model_copy(update={"core": core, "beads": kept})
    changes |= {
        "beads": {k: v for k, v in pattern.beads.items() if k != letter},
        "sizes": sizes,
        "colourways": {
            name: {k: v for k, v in looks.items() if k != letter}
            for name, looks in pattern.colourways.items()
        },
    }
    return sheet.with_loads(load.translate(table) for load in sheet.loads).with_pattern(**changes)


def nearest_pair(sheet: Sheet) -> tuple[str, str] | None:
    """Two letters that mean the same in the pattern's own size, to be offered for a merge.

    Those alike in size and shape and nearest in colour as written; None below two letters.
    """
    letters = sorted(sheet.beads)
    pairs = [
        (a, b)
        for at, a in enumerate(letters)
        for b in letters[at + 1 :]
        if (sheet.beads[a].size, sheet.beads[a].shape)
        == (sheet.beads[b].size, sheet.beads[b].shape)
    ]
    return min(pairs, key=lambda pair: _apart(*(sheet.beads[x].colour for x in pair)), default=None)


def gaps(sheet: Sheet, letter: str) -> tuple[str, ...]:
    """The sizes and colourways that say nothing of a letter and leave its bead as it is."""
    column = column_of(sheet.pattern, letter)
    return (
        *(name for name in sheet.pattern.sizes if name not in column.sizes),
        *(name for name in sheet.pattern.colourways if name not in column.colourways),
    )


def _repaint(sheet: Sheet, cells: Iterable[Cell], change: Callable[[Column], Column]) -> Sheet:
    """Give each cell the letter of its own column, changed."""
    by_letter: dict[str, list[Cell]] = {}
    for cell in cells:
        letter = sheet.at(cell)
        if letter in sheet.beads:
            by_letter.setdefault(letter, []).append(cell)
    painted: dict[Cell, str] = {}
    for letter, members in by_letter.items():
        sheet, new = letter_for(sheet, change(column_of(sheet.pattern, letter)))
        painted |= dict.fromkeys(members, new)
    return put(sheet, painted)


def _in_order(by_letter: dict[str, _T]) -> dict[str, _T]:
    return dict(sorted(by_letter.items()))


def _apart(a: str, b: str) -> int:
    """Squared distance of two colours as written, #rrggbb."""
    ours, theirs = (bytes.fromhex(colour[1:]) for colour in (a, b))
    return sum((x - y) ** 2 for x, y in zip(ours, theirs, strict=True))
