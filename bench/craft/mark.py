"""A mark: what is to be done after a cross."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

MarkKind = Literal[
    "typed", "core-down", "upper-clip-off", "wire-out", "core-cord-off", "halt", "rehang", "weight"
]
"""What a mark is: the maker's own, the core's, thread let out (and the weight hung anew), a change
of weight. A change of weight that falls on a halt is one mark with it, of the halt's kind.
"""


@dataclass(frozen=True, slots=True)
class Mark:
    """Something to do after a cross (0: before the first), in words and numbered steps.

    `id` tells it from the others of its piece.
    """

    after_cross: int
    id: str
    kind: MarkKind
    do: str
    steps: tuple[str, ...] = ()
    caution: str = ""

    def __post_init__(self) -> None:
        """Refuse a mark before the braid begins."""
        if self.after_cross < 0:
            raise ValueError("a mark lies before the braid")

    @property
    def is_halt(self) -> bool:
        """Whether the maker stops there anyway, to let out thread."""
        return self.kind in {"halt", "rehang"}

    def is_within(self, later: Mark) -> bool:
        """Whether this is a halt and a later one asks for all that it asks for."""
        return self.is_halt and later.is_halt and set(self.steps) <= set(later.steps)
