"""The JSON shapes of the commands. Numbers carry their unit in the key."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Any, ClassVar, Literal

JSON_NAMES = {"from_place": "from", "to_place": "to"}
"""Keys that are called otherwise in JSON: those are words of Python."""


@dataclass(frozen=True, kw_only=True)
class Part:
    """A part of an answer."""

    __pydantic_config__: ClassVar[dict[str, str]] = {"extra": "forbid"}
    """For the JSON Schema: no key but these."""


@dataclass(frozen=True, kw_only=True)
class Answer(Part):
    """What every answer has: the format of the shapes, and warnings, one sentence each."""

    format: Literal[1] = 1
    warnings: tuple[str, ...] = ()

    @property
    def errors(self) -> tuple[str, ...]:
        """What is wrong with the input, one sentence each; status 1 if there is any."""
        return ()


def as_json(value: Any) -> Any:
    """Return an answer, or a value in it, in JSON's types."""
    if isinstance(value, Part):
        return {
            JSON_NAMES.get(f.name, f.name): as_json(getattr(value, f.name)) for f in fields(value)
        }
    if isinstance(value, dict):
        return {key: as_json(found) for key, found in value.items()}
    if isinstance(value, (list, tuple)):
        return [as_json(found) for found in value]
    return value
