"""Reads the maker's TOML files; every mistake becomes one sentence with file, line and key."""

from __future__ import annotations

import os
import re
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

from bench.craft.text import NAME, Fault, cleaned
from bench.documents.errors import DocumentError
from bench.documents.key_lines import KeyPath, key_lines, line_of
from bench.journal.regular_file import NotAFile, open_regular

if TYPE_CHECKING:
    from pydantic import BaseModel, ValidationError
    from pydantic_core import ErrorDetails

MAX_BYTES = 1_000_000


_MAX_NESTING = 40
MOST_DOTS = 400_000
"""The squares of how many dots each line has, added up: so a key of many parts takes its time."""


_Model = TypeVar("_Model", bound="BaseModel")
_FORMS = {
    "^#[0-9a-fA-F]{6}$": "a colour is written as #9fb8c8",
    "^[a-z]$": "a bead is named by one small letter",
    NAME: "a name is made of small letters, digits and hyphens",
}


_NUMBERS = {
    "greater_than_equal": "it takes {ge} at the least",
    "less_than_equal": "it takes {le} at the most",
    "greater_than": "it takes more than {gt}",
    "less_than": "it takes less than {lt}",
    "decimal_parsing": "it takes a number such as 30.50",
    "decimal_type": "it takes a number such as 30.50",
    "finite_number": "it takes a finite number",
    "decimal_max_places": "it takes {decimal_places} digits behind the point at the most",
    "decimal_max_digits": "it takes {max_digits} digits at the most",
    "decimal_whole_digits": "it takes {whole_digits} digits before the point at the most",
}
"""What is wrong with a number, by pydantic's kinds of mistakes."""


_TOML_WORDS = {"Cannot overwrite a value": "this key stands twice"}


_POSITION = re.compile(r"\s*\(at line (\d+), column (\d+)\)|\s*\(at end of document\)")


def read_text(path: Path) -> str:
    """Return a file's text. Raises DocumentError if it is no readable UTF-8 text of fair size."""
    try:
        with open_regular(path) as file:
            size = os.fstat(file.fileno()).st_size
            raw = file.read(MAX_BYTES + 1) if size <= MAX_BYTES else b""
    except FileNotFoundError:
        raise DocumentError(path, "there is no such file") from None
    except NotAFile as other:
        raise DocumentError(path, other.sentence) from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise DocumentError(path, f"the file cannot be read ({reason})") from None
    size = max(size, len(raw))
    if size > MAX_BYTES:
        raise DocumentError(path, f"the file holds {size:,} bytes; at most {MAX_BYTES:,} are read")
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        raise DocumentError(
            path, f"byte 0x{raw[error.start]:02x} is not UTF-8; save the file as UTF-8", line=line
        ) from None


def read_toml(path: Path) -> tuple[dict[str, Any], str]:
    """Return the values of a TOML file and its text."""
    import tomllib

    text, dots = read_text(path), 0
    for number, line in enumerate(text.split("\n"), 1):
        dots += line.count(".") ** 2
        if dots > MOST_DOTS:
            raise DocumentError(path, "there are more dots than keys and numbers need", line=number)
        if max(line.count("["), line.count("{")) > 2000 or _nesting(line) > _MAX_NESTING:
            raise DocumentError(path, "the values are nested too deeply", line=number)
    try:
        values = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        place = _POSITION.search(str(error))
        message = cleaned(_POSITION.sub("", str(error)))
        message = _TOML_WORDS.get(message, message)
        if place is None or place[1] is None:
            at: tuple[int | None, int | None] = (text.count("\n") + 1, None)
        else:
            at = (int(place[1]), int(place[2]))
        raise DocumentError(
            path, f"this is not TOML: {message}", line=at[0], column=at[1]
        ) from None
    except (RecursionError, ValueError):
        raise DocumentError(path, "this is not TOML that can be read") from None
    return values, text


def read_document(path: Path, model: type[_Model]) -> _Model:
    """Return the document in a file. Raises DocumentError with file, line and key."""
    from pydantic import ValidationError

    values, text = read_toml(path)
    try:
        return model.model_validate(values)
    except ValidationError as error:
        raise _first_mistake(path, error, key_lines(text)) from None


def at_key(path: Path, fault: Fault) -> DocumentError:
    """Return the error for a fault that was found after the file had been read."""
    try:
        lines = key_lines(read_toml(path)[1])
    except DocumentError:
        lines = {}
    key = tuple(fault.key)
    return DocumentError(path, str(fault), line=line_of(lines, key), key=key)


def _first_mistake(path: Path, error: ValidationError, lines: dict[KeyPath, int]) -> DocumentError:
    details = error.errors(include_url=False)
    known = [d for d in details if d["type"] == "extra_forbidden"] or details
    first = known[0]
    key: KeyPath = tuple(part for part in first["loc"] if not _is_branch(part))
    raised = first.get("ctx", {}).get("error")
    if isinstance(raised, Fault):
        key = (*key, *raised.key)
    return DocumentError(path, sentence_of(first), line=line_of(lines, key), key=key)


def _is_branch(part: str | int) -> bool:
    """Whether a part of an error's place names a type and not a key of the file."""
    return isinstance(part, str) and (part.startswith(("constrained-", "function-")) or "[" in part)


def sentence_of(detail: ErrorDetails) -> str:
    """Return what a mistake that pydantic has found is called here, without its key."""
    kind = detail["type"]
    raised = detail.get("ctx", {}).get("error")
    if isinstance(raised, Fault):
        return str(raised)
    if kind == "extra_forbidden":
        return "this key is not known; take it out or mend its spelling"
    if kind == "missing":
        return "this key is missing"
    known = detail.get("ctx", {})
    message = _FORMS.get(str(known.get("pattern")), detail["msg"])
    if kind in _NUMBERS:
        message = _NUMBERS[kind].format(**known)
    message = message[0].lower() + message[1:]
    found = detail.get("input")
    if kind == "decimal_parsing" and "," in str(found):
        message += " and not 30,50"
    if isinstance(found, (str, int, float, bool)):
        message += f"; found {cleaned(repr(found), 60)}"
    elif isinstance(found, (list, tuple)):
        message += f"; found a list of {len(found)}"
    elif isinstance(found, dict):
        message += "; found a table"
    return message


def fault_in(error: ValidationError) -> Fault:
    """Return the first mistake that pydantic has found, in one sentence with its key."""
    first = error.errors(include_url=False)[0]
    key = ".".join(map(str, first["loc"]))
    return Fault(f"{key + ': ' if key else ''}{cleaned(sentence_of(first), 200)}")


def _nesting(line: str) -> int:
    depth = deepest = 0
    for ch in line:
        if ch in "[{":
            depth += 1
            deepest = max(deepest, depth)
        elif ch in "]}":
            depth -= 1
    return deepest
