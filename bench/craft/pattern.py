"""Patterns: what is strung on each strand, the core, the marks and the finish, as data."""

from __future__ import annotations

from typing import Annotated, Any, Literal, TypeVar

from pydantic import (
    BaseModel,
    BeforeValidator,
    Field,
    SerializerFunctionWrapHandler,
    StringConstraints,
    model_serializer,
    model_validator,
)

from bench.craft.fields import DocumentPart, PlainLine, Title
from bench.craft.load import SKIP, parse_load
from bench.craft.text import NAME, Fault

_T = TypeVar("_T")
Letter = Annotated[str, StringConstraints(pattern=r"^[a-z]$")]
Name = Annotated[str, StringConstraints(pattern=NAME)]
"""The name of a file, size or colourway: small letters, digits and hyphens."""
Colour = Annotated[str, StringConstraints(pattern=r"^#[0-9a-fA-F]{6}$")]
Shape = Literal["round", "rondelle", "pearl", "drop"]
StrungWay = Literal["each half from its own end", "both halves from one end", "from the braid end"]
BeadFinish = Literal["opaque", "transparent", "lined", "matt", "metallic"]
Millimetres = Annotated[float, Field(gt=0, le=100, allow_inf_nan=False)]
HaltLength = Annotated[float, Field(ge=10, le=1000, allow_inf_nan=False)]
PerTenGrams = Annotated[float, Field(gt=0, le=100_000, allow_inf_nan=False)]
PlainCount = Annotated[int, Field(ge=0, le=400, strict=True)]


class Bead(DocumentPart):
    """One kind of bead of the pattern."""

    size: Annotated[Title, Field(description="Trade size such as 11/0, or '4 mm'.")]
    shape: Shape = "round"
    colour: Colour = "#808080"
    name: Title = "bead"
    finish: BeadFinish | None = None
    diameter_mm: Millimetres | None = None
    length_mm: Millimetres | None = Field(None, description="Along the hole.")
    hole_mm: Millimetres | None = None
    per_10_g: PerTenGrams | None = None

    def in_size(self, other: BeadInSize) -> Bead:
        """The bead in another size: its look stays, measures are those of the size."""
        return self.model_copy(update={name: getattr(other, name) for name in MEASURED})


class Threads(DocumentPart):
    """The thread and the way it makes the strands."""

    double_lengths: tuple[tuple[int, int], ...] = Field(
        (), description="Pairs of strands that one thread makes; none for single strands."
    )
    strung: StrungWay = "each half from its own end"
    name: Title = "thread"
    diameter_mm: Millimetres | None = None
    tex: Annotated[float, Field(gt=0, le=5000, allow_inf_nan=False)] | None = None

    @model_validator(mode="after")
    def _sound(self) -> Threads:
        if self.diameter_mm is None and self.tex is None:
            raise Fault("give diameter_mm or tex", "diameter_mm")
        seen: set[int] = set()
        for index, pair in enumerate(self.double_lengths):
            for strand in pair:
                if strand in seen:
                    raise Fault(f"strand {strand} is named twice", "double_lengths", index)
                seen.add(strand)
        return self


class Core(DocumentPart):
    """Beads on a wire, or a cord, inside the braid."""

    on: Literal["wire", "cord"] = "wire"
    beads: PlainLine = Field("", description="Counts and letters, first in first.")
    down_after_cross: Annotated[int, Field(ge=0, le=1_000_000)] = 0


class TypedMark(DocumentPart):
    """Something of the maker's own to do after a cross."""

    after_cross: Annotated[int, Field(ge=0, le=1_000_000)]
    do: PlainLine
    caution: PlainLine = ""


class Halts(DocumentPart):
    """Where a long braid halts, by its length; where nothing is said the settings hold."""

    let_out_mm: HaltLength | None = Field(None, description="Thread is let out every so many mm.")
    rehang_mm: HaltLength | None = Field(
        None, description="The weight is hung anew every so many mm."
    )


class Finish(DocumentPart):
    """How the ends are dressed, and how long the glue dries on the stand."""

    threads: Annotated[int, Field(ge=0, le=10)] = Field(
        2, description="Threads through one dressed end; 0: the ends go into caps."
    )
    passes: Annotated[int, Field(ge=1, le=10)] = 2
    end_bead_hole_mm: Millimetres | None = None
    dry_minutes: Annotated[float, Field(ge=0, le=10_000)] = 0


class ThreadChange(DocumentPart):
    """What a size changes of the thread."""

    name: Title | None = None
    diameter_mm: Millimetres | None = None
    tex: Annotated[float, Field(gt=0, le=5000, allow_inf_nan=False)] | None = None


class CoreChange(DocumentPart):
    """What a size changes of the core."""

    on: Literal["wire", "cord"] | None = None
    beads: PlainLine | None = None
    down_after_cross: Annotated[int, Field(ge=0, le=1_000_000)] | None = None


class BeadInSize(DocumentPart):
    """Which bead a size of the pattern takes: its size alone, or with measures of its own."""

    size: Title
    diameter_mm: Millimetres | None = None
    length_mm: Millimetres | None = Field(None, description="Along the hole.")
    hole_mm: Millimetres | None = None
    per_10_g: PerTenGrams | None = None

    @model_serializer(mode="wrap")
    def _as_written(self, handler: SerializerFunctionWrapHandler) -> Any:
        """The size alone where that is all, as it is written in a file."""
        measured = any(getattr(self, name) is not None for name in MEASURED if name != "size")
        return handler(self) if measured else self.size


MEASURED = tuple(BeadInSize.model_fields)
"""What a size changes of a bead."""


def _size_alone(value: Any) -> Any:
    if isinstance(value, str):
        return {"size": value}
    if not isinstance(value, (dict, BeadInSize)):
        raise Fault('a bead\'s size is a text such as "11/0", or a table of size and measures')
    return value


SizeOrBead = Annotated[
    BeadInSize, BeforeValidator(_size_alone, json_schema_input_type=Title | BeadInSize)
]
"""A bead's size alone as a text, or with its measures."""


class SizeChange(DocumentPart):
    """A size of the pattern: other bead sizes, and where needed another thread and core."""

    beads: dict[Letter, SizeOrBead] = Field(default_factory=dict)
    threads: ThreadChange | None = None
    core: CoreChange | None = None


class ColourChange(DocumentPart):
    """One bead of a colourway."""

    colour: Colour
    name: Title = "bead"


class Pattern(DocumentPart):
    """A pattern with its sizes and colourways. `resolve` picks one of each."""

    format: Literal[1]
    title: Title
    structure: Name
    plain_start: PlainCount = 4
    plain_end: PlainCount = 4
    crosses: Annotated[int, Field(ge=1, le=1_000_000, strict=True)] | None = Field(
        None, description="Only for a pattern without beads."
    )
    threads: Threads
    beads: dict[Letter, Bead] = Field(default_factory=dict)
    loads: dict[str, PlainLine | Annotated[str, StringConstraints(max_length=20_000)]] = Field(
        default_factory=dict,
        description="Counts and letters in order of release, for 'all' strands or by strand;"
        " '-' is a move without a bead.",
    )
    core: Core | None = None
    marks: tuple[TypedMark, ...] = ()
    halts: Halts | None = None
    finish: Finish = Finish()
    sizes: dict[Name, SizeChange] = Field(default_factory=dict)
    colourways: dict[Name, dict[Letter, ColourChange]] = Field(default_factory=dict)

    @model_validator(mode="after")
    def _sound(self) -> Pattern:
        if not self.loads and self.crosses is None:
            raise Fault("a pattern without loads needs the number of crosses", "crosses")
        if self.loads and self.crosses is not None:
            raise Fault("crosses are worked out from the loads; take this line out", "crosses")
        for strand, text in self.loads.items():
            if strand != "all" and not (strand.isascii() and strand.isdigit() and strand[0] != "0"):
                raise Fault(f"'{strand[:20]}' is neither a strand's number nor 'all'", "loads")
            self._check_letters(text, "loads", strand, moves=True)
        moves = "".join(map(parse_load, self.loads.values()))
        if moves and not moves.strip(SKIP):
            raise Fault("no load holds a bead; give crosses for a pattern without beads", "loads")
        if self.core is not None:
            self._check_letters(self.core.beads, "core", "beads")
        for name, size in self.sizes.items():
            self._check_known(size.beads, "sizes", name, "beads")
            if size.core is not None and size.core.beads is not None:
                self._check_letters(size.core.beads, "sizes", name, "core", "beads")
        for name, colourway in self.colourways.items():
            self._check_known(colourway, "colourways", name)
        return self

    def _check_letters(self, text: str, *key: str | int, moves: bool = False) -> None:
        """Raise Fault for a load or a core that this pattern's beads do not make."""
        try:
            beads = parse_load(text)
        except Fault as fault:
            raise Fault(str(fault), *key) from None
        if moves:
            beads = beads.replace(SKIP, "")
        self._check_known(dict.fromkeys(beads), *key)

    def _check_known(self, letters: dict[str, Any], *key: str | int) -> None:
        for letter in letters:
            if letter not in self.beads:
                known = ", ".join(sorted(self.beads)) or "none"
                raise Fault(f"there is no bead '{letter}' in [beads]; known: {known}", *key)

    def load_of(self, strand: int) -> str:
        """Return the load of a strand, one letter for each move in order of release.

        It ends with its last bead: moves without one behind that are those of an empty strand.
        """
        return parse_load(self.loads.get(str(strand), self.loads.get("all", ""))).rstrip(SKIP)

    def resolve(self, size: str | None = None, colourway: str | None = None) -> Pattern:
        """Return the pattern in one size and colourway, with nothing left to choose.

        Raises Fault for a size or colourway that the pattern does not have.
        """
        changes: dict[str, Any] = {"sizes": {}, "colourways": {}}
        beads = dict(self.beads)
        if size is not None:
            change = _pick(self.sizes, size, "size")
            for letter, other in change.beads.items():
                beads[letter] = beads[letter].in_size(other)
            if change.threads is not None:
                given = change.threads.model_dump(exclude_none=True)
                if given.keys() & {"tex", "diameter_mm"}:
                    given = {"tex": None, "diameter_mm": None} | given
                changes["threads"] = self.threads.model_copy(update=given)
            if change.core is not None:
                core = self.core or Core()
                changes["core"] = core.model_copy(update=change.core.model_dump(exclude_none=True))
        if colourway is not None:
            for letter, look in _pick(self.colourways, colourway, "colourway").items():
                beads[letter] = beads[letter].model_copy(update=look.model_dump())
        return self.model_copy(update=changes | {"beads": beads})


def _pick(choices: dict[str, _T], name: str, what: str) -> _T:
    if name not in choices:
        known = ", ".join(sorted(choices)) or "none"
        raise Fault(f"the pattern has no {what} '{name[:40]}'; known: {known}", f"{what}s")
    return choices[name]


def canonical(model: BaseModel) -> dict[str, Any]:
    """Return a document as plain JSON values, without what is not set."""
    value: dict[str, Any] = model.model_dump(mode="json", exclude_none=True)
    return value
