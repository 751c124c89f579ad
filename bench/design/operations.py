"""Operations of the drawing board as data: JSON in, a sheet out, so that they can be kept."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Annotated, Literal

from pydantic import Field, TypeAdapter, ValidationError

from bench.craft.beads import BeadSize, find
from bench.craft.fields import Title
from bench.craft.growth import grow, sizes_of
from bench.craft.load import parse_load
from bench.craft.pattern import BeadFinish, Colour, ColourChange, Letter, Name, SizeOrBead
from bench.craft.text import Fault, cleaned
from bench.design import motifs, palette, resizing, rows
from bench.design.board_operations import AddBead, Cure, LayRepeat, StepSize, TakeCore, TakeThread
from bench.design.colour_run import LayRun
from bench.design.colours import new_colourway
from bench.design.length import SWATCH_ROWS, as_measured, to_length
from bench.design.mirror_twin import mirror_twin
from bench.design.operation import Desk, OnCells, Operation, Row, Strand, all_strands, spread_named
from bench.design.painting import paint, replace_letter, type_load
from bench.design.shape import Wish
from bench.design.sheet import Sheet
from bench.design.spread import ONE, Spread

Mm = Annotated[float, Field(gt=0, le=100_000, allow_inf_nan=False)]
Turn = Annotated[float, Field(ge=-360, le=360, allow_inf_nan=False)]


class Paint(OnCells):
    """Set cells to a bead of the palette, `-` for none or `?` for open."""

    kind: Literal["paint"] = "paint"
    bead: Annotated[str, Field(pattern=r"^[a-z?-]$")]

    def on(self, sheet: Sheet, desk: Desk) -> Sheet:
        """Set them."""
        return paint(sheet, self.cells(sheet), self.bead)


class PaintSize(OnCells):
    """Give cells another bead size and leave each its colour; of a size of the pattern if named."""

    kind: Literal["paint size"] = "paint size"
    size: SizeOrBead
    shown: Name | None = None

    def on(self, sheet: Sheet, desk: Desk) -> Sheet:
        """Repaint them."""
        return palette.paint_size(sheet, self.cells(sheet), self.size, shown=self.shown)


class PaintColour(OnCells):
    """Give cells another colour and leave each its size; of a colourway if one is named."""

    kind: Literal["paint colour"] = "paint colour"
    colour: Colour
    name: Title = "bead"
    shown: Name | None = None

    def on(self, sheet: Sheet, desk: Desk) -> Sheet:
        """Repaint them."""
        look = ColourChange(colour=self.colour, name=self.name)
        return palette.paint_colour(sheet, self.cells(sheet), look, shown=self.shown)


class TypeLoad(Operation):
    """Type a strand's whole load as counts and letters; without a strand that of all."""

    kind: Literal["load"] = "load"
    strand: Strand | None = None
    beads: Annotated[str, Field(max_length=20_000)]
    spread: Title = ONE.name

    def on(self, sheet: Sheet, desk: Desk) -> Sheet:
        """Give it to the strand, and to those that the spread reaches."""
        beads = parse_load(self.beads)
        if self.strand is not None:
            return type_load(sheet, self.strand, beads, spread_named(sheet, self.spread))
        return type_load(sheet, 1, beads, Spread("all", (all_strands(sheet),)))


class Rows(Operation):
    """Do something with whole rows, from one to another, both included.

    `before`: the row before which new, copied or moved rows go. `count`: how many open rows go in,
    how often rows stand, or by how many stripes they move on.
    """

    kind: Literal["rows"] = "rows"
    do: Literal["insert", "take out", "copy", "move", "repeat", "mirror", "move on"]
    first: Row = 1
    last: Row | None = None
    before: Row | None = None
    count: Annotated[int, Field(ge=-20_000, le=20_000)] = 1

    def on(self, sheet: Sheet, desk: Desk) -> Sheet:
        """Do it."""
        first, last = self.first, self.last or self.first
        before = self.before or sheet.rows + 1
        if self.do == "insert":
            if self.count < 1:
                raise Fault("at least one row is put in")
            return rows.insert_rows(sheet, before, rows.open_rows(sheet, self.count))
        if self.do == "take out":
            return rows.take_out_rows(sheet, first, last)
        if self.do == "copy":
            return rows.copy_rows(sheet, first, last, before)
        if self.do == "move":
            return rows.move_rows(sheet, first, last, before)
        if self.do == "repeat":
            return rows.repeat_rows(sheet, first, last, self.count)
        if self.do == "mirror":
            return rows.mirror_rows(sheet, first, last)
        return rows.move_on(sheet, first, last, self.count)


class Replace(Operation):
    """Set every cell of one bead to another of the palette."""

    kind: Literal["replace"] = "replace"
    bead: Letter
    by: Letter

    def on(self, sheet: Sheet, desk: Desk) -> Sheet:
        """Set them."""
        return replace_letter(sheet, self.bead, self.by)


class Merge(Operation):
    """Make one bead of two: cells, core and palette."""

    kind: Literal["merge"] = "merge"
    bead: Letter
    into: Letter

    def on(self, sheet: Sheet, desk: Desk) -> Sheet:
        """Merge them."""
        return palette.merge(sheet, self.bead, self.into)


class ChangeBead(Operation):
    """Change what a letter means wherever it stands; what is not named stays.

    `shown`: the size of the pattern that a new size is for, and `colourway` the one that a new
    colour is for; else it is the pattern's own.
    """

    kind: Literal["bead"] = "bead"
    bead: Letter
    size: SizeOrBead | None = None
    shown: Name | None = None
    colourway: Name | None = None
    colour: Colour | None = None
    name: Title | None = None
    finish: BeadFinish | None = None

    def on(self, sheet: Sheet, desk: Desk) -> Sheet:
        """Change it; it becomes one with a letter that means the same."""
        sheet.pattern.resolve(self.shown, self.colourway)
        column = palette.column_of(sheet.pattern, self.bead)
        if self.size is not None:
            column = column.sized(self.size, self.shown)
        if self.finish is not None:
            bead = column.bead.model_copy(update={"finish": self.finish})
            column = replace(column, bead=bead)
        look = self.model_dump(include={"colour", "name"}, exclude_none=True)
        if look:
            before = column.colourways.get(self.colourway or "", column.bead)
            given = {"colour": before.colour, "name": before.name} | look
            column = column.coloured(ColourChange.model_validate(given), self.colourway)
        return palette.change_everywhere(sheet, self.bead, column)


class Undo(Operation):
    """Take the last operation back; a history knows how."""

    kind: Literal["undo"] = "undo"


class Redo(Operation):
    """Do again what was taken back last; a history knows how."""

    kind: Literal["redo"] = "redo"


class LayMotif(Operation):
    """Lay a motif of one bead and leave the ground.

    `keep_sizes`: what it lays on keeps its size and takes the bead's colour, name and finish.
    """

    kind: Literal["motif"] = "motif"
    motif: motifs.Kind
    bead: Letter
    strand: Strand = 1
    first: Row = 1
    last: Row | None = None
    width: Annotated[int, Field(ge=1, le=20_000)] = 1
    climb: Annotated[int, Field(ge=-32, le=32)] = 0
    repeat: Row = 1
    number: Annotated[int, Field(ge=1, le=32)] = 1
    fill_ends: bool = False
    keep_sizes: bool = False

    def on(self, sheet: Sheet, desk: Desk) -> Sheet:
        """Lay it."""
        given = self.model_dump(exclude={"kind", "motif", "bead", "last", "keep_sizes"})
        motif = motifs.Motif(self.motif, self.bead, last=self.last or sheet.rows, **given)
        cells = motif.cells(sheet)
        if self.keep_sizes:
            return palette.paint_look(sheet, cells, palette.column_of(sheet.pattern, self.bead))
        return paint(sheet, cells, self.bead)


class Lengthen(Operation):
    """Have some rows stand so often that the beaded length comes nearest to a wish.

    `swatch_mm`: what `swatch_rows` rows of the repeat measured, by which the length goes then.
    """

    kind: Literal["length"] = "length"
    length_mm: Mm
    first: Row
    last: Row
    standing: Row = 1
    swatch_mm: Mm | None = None
    swatch_rows: Row = SWATCH_ROWS

    def on(self, sheet: Sheet, desk: Desk) -> Sheet:
        """Repeat them."""
        rows = self.first, self.last
        length: Callable[[Sheet], float] = beaded_mm
        if self.swatch_mm is not None:
            length = as_measured(sheet, *rows, self.swatch_rows, self.swatch_mm, beaded_mm)
        return to_length(sheet, *rows, self.standing, self.length_mm, length).sheet


class Shape(Operation):
    """Give the braid a shape: rows of the sizes at hand whose outline comes nearest to a wish.

    `thickness`: pairs of where along the length, from 0 to 1, and how thick there. `take`: which of
    the proposals, from 1.
    """

    kind: Literal["shape"] = "shape"
    length_mm: Mm
    thickness: Annotated[tuple[tuple[float, float], ...], Field(max_length=200)]
    sizes: Annotated[tuple[Title, ...], Field(max_length=12)] = ()
    take: Annotated[int, Field(ge=1, le=3)] = 1

    def wish(self, sheet: Sheet) -> Wish:
        """The wish, with the pattern's own sizes where none are named."""
        return Wish(self.length_mm, self.thickness, sizes_at_hand(sheet, self.sizes))

    def on(self, sheet: Sheet, desk: Desk) -> Sheet:
        """Take a proposal."""
        return _taken(sheet, self.wish(sheet), self.take)


class Recolour(Operation):
    """Make a colourway from another, or from the pattern's own colours."""

    kind: Literal["recolour"] = "recolour"
    colourway: Name
    source: Name | None = None
    turn_deg: Turn = 0
    lighter: Annotated[float, Field(ge=-1, le=1, allow_inf_nan=False)] = 0
    looks: dict[Letter, ColourChange] = Field(default_factory=dict)

    def on(self, sheet: Sheet, desk: Desk) -> Sheet:
        """Make it; `looks` go before what was worked out. Raises Fault for an unknown bead."""
        for letter in self.looks:
            palette.column_of(sheet.pattern, letter)
        made = new_colourway(sheet, self.source, self.turn_deg, self.lighter) | self.looks
        return sheet.with_pattern(colourways={**sheet.pattern.colourways, self.colourway: made})


class Resize(Operation):
    """Make it of larger or smaller beads: the same rows as a size, or its proportions anew.

    `steps`: sizes up, or down below 0. `beads`: sizes that are chosen by hand. With `proportions`
    the rows are made anew from the outline, and the sheet itself changes.
    """

    kind: Literal["resize"] = "resize"
    steps: Annotated[int, Field(ge=-4, le=4)]
    size: Name | None = None
    beads: dict[Letter, SizeOrBead] = Field(default_factory=dict)
    proportions: bool = False

    def on(self, sheet: Sheet, desk: Desk) -> Sheet:
        """Make it. Raises Fault for an unknown bead, and where no such size can be."""
        for letter in self.beads:
            palette.column_of(sheet.pattern, letter)
        if self.proportions:
            factor = resizing.ONE_STEP**-self.steps
            return _taken(
                sheet, resizing.outline_of(sheet, sizes_at_hand(sheet, ()), factor), take=1
            )
        if self.size is None:
            raise Fault("name the size that is to be made")
        chosen = self.beads
        if set(chosen) != set(sheet.beads):
            chosen = resizing.stepped_sizes(sheet, self.steps) | chosen
        return resizing.with_size(sheet, self.size, chosen)


class Mirror(Operation):
    """Make the mirror twin, on the structure that is worked the other way round."""

    kind: Literal["mirror"] = "mirror"
    structure: Name

    def on(self, sheet: Sheet, desk: Desk) -> Sheet:
        """Make it."""
        return mirror_twin(sheet, desk.structure(self.structure), self.structure)


class Entitle(Operation):
    """Give the pattern another title."""

    kind: Literal["title"] = "title"
    title: Title

    def on(self, sheet: Sheet, desk: Desk) -> Sheet:
        """Give it."""
        return sheet.with_pattern(title=self.title)


AnyOperation = Annotated[
    Paint | PaintSize | PaintColour | TypeLoad | Rows | Replace | Merge | LayMotif | Lengthen
    | Shape | Recolour | Resize | Mirror | Entitle | ChangeBead | Undo | Redo
    | StepSize | LayRepeat | AddBead | Cure | TakeCore | TakeThread | LayRun,
    Field(discriminator="kind"),
]  # fmt: skip
"""Every operation, told apart by its `kind`."""

_READER: TypeAdapter[Operation] = TypeAdapter(AnyOperation)


def read_operation(line: str | bytes) -> Operation:
    """Read an operation from a line of JSON. Raises Fault in one sentence with the key."""
    try:
        return _READER.validate_json(line)
    except ValidationError as error:
        first = error.errors(include_url=False)[0]
        at = ".".join(str(part) for part in first["loc"][1:])
        message = cleaned(first["msg"][:1].lower() + first["msg"][1:], 200)
        raise Fault(f"this is no operation: {at + ': ' if at else ''}{message}") from None


def beaded_mm(sheet: Sheet) -> float:
    """The beaded length by the growth model, from the first bead's foot to the last one's head."""
    plan = sheet.plan()
    if not plan.last_bead_cross:
        raise Fault("no bead is laid yet")
    after = grow(plan, sizes_of(sheet.pattern)).after_mm
    return after[plan.last_bead_cross] - after[plan.plain_start]


def sizes_at_hand(sheet: Sheet, names: tuple[str, ...]) -> tuple[BeadSize, ...]:
    """Round beads by the names of their sizes, or all of the pattern's but drops, smallest first.

    Raises Fault for a size that the table does not have.
    """
    try:
        found = {find(name) for name in names}
    except ValueError as error:
        raise Fault(str(error), "sizes") from None
    own = {size for size in sizes_of(sheet.pattern).values() if size.shape != "drop"}
    one_of_each = {size.diameter_mm: size for size in found or own}
    return tuple(one_of_each[mm] for mm in sorted(one_of_each))


def _taken(sheet: Sheet, wish: Wish, take: int) -> Sheet:
    fits = resizing.proposals(sheet, wish)
    if take > len(fits):
        raise Fault(f"there is no proposal {take}; the wish has {len(fits)}")
    return resizing.shaped(sheet, fits[take - 1])
