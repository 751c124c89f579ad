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

    def now(self, name: str | None) -> str | None:
        """The present name of a lot."""
        return None if name is None else self.names.get(name, name)


SAME = Called()
"""No lot was ever renamed."""
