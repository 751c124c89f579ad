"""What the drawing board asks of the app beyond what every screen asks of it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

from bench.screens.kit.companion import Companion

if TYPE_CHECKING:
    from bench.making.braid import Braid
    from bench.session import Session
    from bench.timing.pace_service import LivePace


class DrawingCompanion(Companion, Protocol):
    """The app as the drawing board sees it."""

    session: Session

    @property
    def pace(self) -> LivePace:
        """The pace of what was made so far."""
        ...

    def to_bench(self, braid: Braid) -> None:
        """Show the bench with a braid."""
