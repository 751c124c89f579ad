"""What makes beads of a pattern, of a stock and of a tube the same kind."""

from __future__ import annotations

from typing import Protocol

from bench.documents.stock import plain_name

BeadKind = tuple[str, str, str]
"""Size, shape and name of a bead; of thread the name alone."""


class Named(Protocol):
    """Whatever has a size, a shape and a name."""

    @property
    def size(self) -> str:
        """Such as 8/0; nothing for thread."""

    @property
    def shape(self) -> str:
        """Such as round; nothing for thread."""

    @property
    def name(self) -> str:
        """As the maker writes it."""


def thread_kind(name: str) -> BeadKind:
    """The kind that a thread of that name is of."""
    return "", "", plain_name(name)


def kind_of(thing: Named) -> BeadKind:
    """The kind that something is of; its colour and dye lot do not count."""
    return thing.size, thing.shape, plain_name(thing.name)
