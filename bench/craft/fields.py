"""What documents share: their parts, and plain text in them."""

from __future__ import annotations

from typing import Annotated

from pydantic import AfterValidator, BaseModel, ConfigDict, Field

from bench.craft.text import plain


class DocumentPart(BaseModel):
    """A part of a document: it takes no key that it does not know, and never changes."""

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)


PlainLine = Annotated[str, AfterValidator(plain)]
"""One plain line of text."""

Title = Annotated[str, Field(min_length=1, max_length=60), AfterValidator(plain)]
"""A title that fits a screen's line."""
