"""Whether the hands at a piece have grown slower and less even than they were."""

from __future__ import annotations

from bench.making.braid import Braid
from bench.pace.drift import LATELY, Drift, drift


def drift_of(braid: Braid) -> Drift | None:
    """Compare a piece's latest presses with those before; None where they are as usual."""
    presses = braid.journal.timed(braid.piece).presses
    if presses is None:
        return None
    gaps = [
        press.gap_s / len(press.crosses)
        for press in presses.all
        if press.stage == "braid" and press.kind == "made" and press.gap_s is not None
    ]
    return drift(gaps)


def drift_words(found: Drift) -> str:
    """What drifted, in words, with the maker's own figures."""
    return (
        f"Your last {LATELY} presses: slower and less even, {found.lately_s:.0f} s a cross"
        f" ({found.usual_s:.0f} before). Tired?"
    )
