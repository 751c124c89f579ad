"""The maker's usual rework: what taking back, making again and mending adds to braiding."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from bench.pace.guess import guess, guess_whole_s
from bench.pace.records import PieceRecord


@dataclass(frozen=True)
class Rework:
    """Rework as a share of the hands-on seconds of braiding, and its spread from piece to piece."""

    share: float = 0.0
    sd: float = 0.0


def usual_rework(records: Sequence[PieceRecord]) -> Rework:
    """Find the usual share, as if one more piece had been made without any.

    Where a piece is known only as a whole, braiding is the guess's part of it. Pieces of which
    rework is not known say nothing; without any other, none is expected.
    """
    parts = [
        (record.rework_s, braid)
        for record in records
        if record.rework_s is not None and (braid := _braid_s(record)) > 0
    ]
    if not parts:
        return Rework()
    whole = sum(braid for _, braid in parts)
    share = sum(rework for rework, _ in parts) / (whole * (1 + 1 / len(parts)))
    spread = sum((rework / braid - share) ** 2 for rework, braid in parts) / len(parts)
    return Rework(share, math.sqrt(spread))


def _braid_s(record: PieceRecord) -> float:
    for time in record.stages:
        if time.stage == "braid":
            return time.seconds
    part = guess(record.work)["braid"] / guess_whole_s(record.work)
    return part * (record.whole_s or 0.0)
