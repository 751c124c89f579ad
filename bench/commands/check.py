"""`check`: whether files are right, and sound craft."""

from __future__ import annotations

import argparse
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from bench.session import Session

if TYPE_CHECKING:
    from pydantic import BaseModel
    from rich.console import RenderableType

    from bench.answers.files import CheckAnswer, CheckedFile
    from bench.craft.structure import Structure

FOLDERS = {"structures": "structure", "commissions": "commission", "patterns": "pattern"}
NAMES = {"settings.toml": "settings", "stock.toml": "stock", "stock.csv": "stock"}

NOTHING_CALLED_SO = (
    "no file and no document of the library is called so; give a file's path, or a name that"
    " `braid-bench list` shows"
)


def arguments(parser: argparse.ArgumentParser) -> None:
    """Take files or names; none means everything in the library and the data folder."""
    parser.add_argument(
        "files",
        metavar="FILE",
        nargs="*",
        help="a file, or a name in the library; without any, everything there is",
    )


def answer(args: argparse.Namespace, session: Session) -> CheckAnswer:
    """Check each file as what it is."""
    from bench.answers.files import CheckAnswer

    paths = [p for name in args.files for p in _named(name, session)] or list(_everything(session))
    files = tuple(_check(path, session) for path in paths)
    warnings = tuple(f"{checked.file}: {w}" for checked in files for w in checked.warnings)
    return CheckAnswer(files=files, warnings=warnings)


def sheet(answer: CheckAnswer) -> Iterable[RenderableType]:
    """One line for each file that can be used; what is wrong with the others stands apart."""
    from bench.craft.words import plural
    from bench.sheets.printing import line

    for checked in answer.files:
        if checked.error is None:
            warned = plural(len(checked.warnings), "warning")
            verdict = "sound" if checked.sound else f"right, with {warned}"
            yield line(f"{checked.file}: {checked.kind}, {verdict}")


def _named(name: str, session: Session) -> Iterator[Path]:
    """The file of that name, or every document of the library that is called so."""
    path = Path(name)
    if not (path.suffix or "/" in name or path.exists()):
        library = session.library
        entries = [*library.patterns(), *library.structures(), *library.commissions()]
        found = [entry.path for entry in entries if entry.name == name]
        if found:
            yield from found
            return
    yield path


def _everything(session: Session) -> Iterator[Path]:
    library = session.library
    for entry in (*library.structures(), *library.patterns(), *library.commissions()):
        yield entry.path
    for name in NAMES:
        if (session.home / name).exists():
            yield session.home / name


def _check(path: Path, session: Session) -> CheckedFile:
    from bench.answers.files import CheckedFile, Mistake
    from bench.craft.text import Fault, cleaned
    from bench.documents.errors import DocumentError, key_name
    from bench.documents.reading import at_key

    kind, error, warnings = "", None, list[str]()
    try:
        if not (path.suffix or path.parent.name or path.exists()):
            raise Fault(NOTHING_CALLED_SO)
        kind = _kind(path)
        warnings = _read(kind, path, session)
    except Fault as fault:
        error = at_key(path, fault)
    except DocumentError as wrong:
        error = wrong
    mistake = None
    if error is not None:
        beside = "" if error.file == path else f"in {cleaned(str(error.file))}: "
        mistake = Mistake(
            message=f"{beside}{error.message}",
            line=error.line,
            column=error.column,
            key=key_name(error.key) or None,
        )
    return CheckedFile(
        file=cleaned(str(path)),
        kind=kind or "file",
        error=mistake,
        warnings=tuple(warnings),
        sound=mistake is None and not warnings,
    )


def _kind(path: Path) -> str:
    """What a file is: by its name, else by its keys, and by its folder where they do not tell."""
    from bench.craft.pattern import Pattern
    from bench.craft.structure import Structure
    from bench.documents.commission import Commission
    from bench.documents.reading import read_toml
    from bench.documents.settings import Settings
    from bench.documents.stock import Stock

    if path.name in NAMES:
        return NAMES[path.name]
    if path.suffix.lower() == ".csv":
        return "stock"
    models: dict[str, type[BaseModel]] = {
        "pattern": Pattern,
        "structure": Structure,
        "commission": Commission,
        "settings": Settings,
        "stock": Stock,
    }
    keys = read_toml(path)[0].keys() - {"format", "title"}
    folder = FOLDERS.get(path.resolve().parent.name)
    return max(
        models,
        key=lambda kind: (len(keys & models[kind].model_fields.keys()), kind == folder),
    )


def _read(kind: str, path: Path, session: Session) -> list[str]:
    """Read a file as what it is; return what a maker should know. Raises what is wrong with it."""
    from bench.craft.structure import Structure
    from bench.documents.reading import read_document
    from bench.documents.settings import Settings
    from bench.documents.stock import read_stock
    from bench.making.worked_pattern import check_file

    if kind == "pattern":
        return check_file(session.library, session.settings, path)
    if kind == "commission":
        session.library.commission(path)
    elif kind == "stock":
        return list(read_stock(session.home, path).warnings)
    elif kind == "structure":
        _columns_fit(read_document(path, Structure))
    else:
        read_document(path, Settings)
    return []


def _columns_fit(structure: Structure) -> None:
    """Raise Fault unless every bead would lie in a column, if columns are given."""
    from bench.craft.lattice import column_of
    from bench.craft.stand import order
    from bench.craft.text import Fault

    if structure.columns is None or structure.turn is None:
        return
    angles = structure.place_angles
    for number in range(order(structure) * len(structure.round)):
        for start, _, _ in structure.round[number % len(structure.round)].carried:
            try:
                column_of(
                    angles[start - 1],
                    number + 1,
                    columns=structure.columns,
                    turn_deg=structure.turn,
                    zero_deg=angles[structure.round[0].carried[0][0] - 1],
                )
            except ValueError as error:
                raise Fault(str(error), "turn") from None
