"""What `list`, `check`, `where` and `schema` answer."""

from __future__ import annotations

from typing import Any, Literal

from bench.answers import Answer, Part

Basis = Literal["guess", "your pieces", "predicted from your pieces"]


class PatternLine(Part):
    """A pattern that can be made. Where its file is wrong, `error` says how, the rest is empty."""

    name: str
    file: str
    shipped: bool
    error: str | None = None
    title: str = ""
    structure: str = ""
    strands: int | None = None
    crosses: int | None = None
    rows: int | None = None
    beads: int | None = None
    length_mm: float | None = None
    diameter_mm: float | None = None
    sizes: tuple[str, ...] = ()
    colourways: tuple[str, ...] = ()
    pieces: int = 0
    """Finished pieces whose whole time is known."""
    hands_on_s: float | None = None
    low_s: float | None = None
    high_s: float | None = None
    basis: Basis = "guess"
    """What the time rests on. Low and high: your fastest and slowest, from three pieces on."""


class DocumentLine(Part):
    """A structure or a commission."""

    name: str
    file: str
    shipped: bool
    error: str | None = None
    title: str = ""
    strands: int | None = None
    pieces: int | None = None


class MakingLine(Part):
    """A piece in the making."""

    piece: str
    title: str
    pattern: str
    size: str | None
    colourway: str | None
    lot: str | None
    tag: str | None
    """The tag of a set that was loaded for it."""
    stage: str | None
    stages_done: tuple[str, ...]
    made: int
    paused: bool
    last_at: str
    """Local time with its offset, ISO 8601."""


class Listing(Answer):
    """`list`."""

    patterns: tuple[PatternLine, ...]
    structures: tuple[DocumentLine, ...]
    commissions: tuple[DocumentLine, ...]
    in_the_making: tuple[MakingLine, ...]


class Mistake(Part):
    """What is wrong with a file, and where; line and column are counted from 1."""

    message: str
    line: int | None = None
    column: int | None = None
    key: str | None = None

    def sentence(self, file: str) -> str:
        """The message with file, line, column and key before it, as far as they are known."""
        known = {"line": self.line, "column": self.column, "key": self.key}
        where = [file, *(f"{name} {value}" for name, value in known.items() if value is not None)]
        return f"{', '.join(where)}: {self.message}"


class Checked(Part):
    """One file: `sound` if nothing is wrong and there is nothing to warn of."""

    file: str
    kind: str
    error: Mistake | None
    warnings: tuple[str, ...]
    sound: bool


class Check(Answer):
    """`check FILE…`; status 1 if any file has an error."""

    files: tuple[Checked, ...]

    @property
    def errors(self) -> tuple[str, ...]:
        """What is wrong, one sentence for each file that is."""
        return tuple(
            checked.error.sentence(checked.file)
            for checked in self.files
            if checked.error is not None
        )


class Spot(Part):
    """A file or folder, and whether it is there."""

    path: str
    there: bool


class Where(Answer):
    """`where`."""

    home: Spot
    patterns: Spot
    structures: Spot
    commissions: Spot
    settings: Spot
    stock: Spot
    journal: Spot
    shipped: Spot


class SchemaOf(Answer):
    """`schema KIND`; without --json the schema alone is printed."""

    kind: str
    json_schema: dict[str, Any]
