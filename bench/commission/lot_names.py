"""What lots are called now, by the names that they had."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from bench.commission.lot_number import Settled


@dataclass(frozen=True)
class Called:
    """What lots are called now by the names that they had, and pieces of them settled for."""

    names: Mapping[str, str] = field(default_factory=dict)
    settled: Mapping[str, Settled] = field(default_factory=dict)

    kinds: Mapping[str, frozenset[tuple[str, str | None, str | None]]] = field(default_factory=dict)
    """By their present names: patterns, sizes and colourways that lots have or had."""

    def takes(self, lot: str | None, pattern: str, size: str | None, way: str | None) -> bool:
        """Whether a piece that was begun under a lot's name can be one of that lot's."""
        kinds = self.kinds.get(self.now(lot) or "")
        return kinds is None or (pattern, size, way) in kinds

    def now(self, name: str | None) -> str | None:
        """The present name of a lot."""
        return None if name is None else self.names.get(name, name)


SAME = Called()
"""No lot was ever renamed."""
