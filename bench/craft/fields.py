"""Fields that several documents share."""

from __future__ import annotations

from typing import Annotated

from pydantic import AfterValidator, Field

from bench.craft.text import plain

PlainLine = Annotated[str, AfterValidator(plain)]
"""One plain line of text."""

Title = Annotated[str, Field(min_length=1, max_length=60), AfterValidator(plain)]
"""A title that fits a screen's line."""
