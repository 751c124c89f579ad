"""What the page of the evening keeps for the next order: the hours, and stands that were chosen."""

from __future__ import annotations

from textual.geometry import Size

from bench.documents.settings import WorkSettings
from bench.journal.clock import Instant
from bench.screens.lists.commission_page import CommissionFigures
from bench.screens.lists.tonight_page import TonightPage

FIGURES = CommissionFigures("Curtain", Instant(1_700_000_000, 0, "boot", 0.0), WorkSettings())


def test_stands_that_nobody_chose_are_all_of_them() -> None:
    """Asked for more time on one stand, the next evening has both once there are two."""
    kept: list[tuple[float, int]] = []
    stands = [1]
    page = TonightPage(
        FIGURES, lambda _: None, lambda: stands[0], None, kept.append, lambda _: None
    )
    for action in ("right", "begin"):
        page.act_here(action, Size(80, 24))
    assert "one stand" in page.said
    stands[0] = 2
    later = TonightPage(FIGURES, lambda _: None, lambda: 2, kept[-1], kept.append, lambda _: None)
    assert later.asked == (page.at_hand_s, 2)
    later.act_here("begin", Size(80, 24))
    assert kept[-1] == (page.at_hand_s, 1)
