"""The JSON shapes of the commands. Numbers carry their unit in the key."""

from __future__ import annotations

from typing import Literal

from pydantic import BaseModel, ConfigDict


class Part(BaseModel):
    """A part of an answer."""

    model_config = ConfigDict(extra="forbid", frozen=True, populate_by_name=True)


class Answer(Part):
    """What every answer has: the format of the shapes, and warnings, one sentence each."""

    format: Literal[1] = 1
    warnings: tuple[str, ...] = ()

    @property
    def errors(self) -> tuple[str, ...]:
        """What is wrong with the input, one sentence each; status 1 if there is any."""
        return ()
