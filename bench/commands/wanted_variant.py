"""One line of `variants`: a pattern that is to be made."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field, ValidationError

from bench.craft.fields import DocumentPart, PlainLine, Title
from bench.design.operations import AnyOperation
from bench.documents.reading import fault_in


class WantedVariant(DocumentPart):
    """A pattern to be made; `dry`: only told, `over`: also where one of that name is there."""

    new: PlainLine
    title: Title | None = None
    why: PlainLine = ""
    operations: Annotated[tuple[AnyOperation, ...], Field(max_length=10_000)] = ()
    over: bool = False
    dry: bool = False


def read_variant(line: str) -> WantedVariant:
    """Read a line of JSON. Raises Fault in one sentence with the key."""
    try:
        return WantedVariant.model_validate_json(line)
    except ValidationError as error:
        raise fault_in(error) from None
