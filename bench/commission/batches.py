"""Whether it pays to load several sets one after the other, by the maker's own times.

Laying out the trays falls to the first set of a batch. What the later ones save shows in the
seconds for each bead; it is said once it is clear of the scatter, 8 in 10.
"""

from __future__ import annotations

import math
import statistics
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from bench.commission.inspection import Z_80
from bench.craft.words import plural
from bench.journal.payloads import SetTagged
from bench.journal.piece_times import PieceTimes

LEAST = 3
"""So many first sets and so many later ones are needed; no source."""


@dataclass(frozen=True, slots=True)
class BatchGain:
    """Seconds for each bead that a later set takes less than a first one, give or take so much."""

    seconds: float
    give_or_take: float

    @property
    def pays(self) -> bool:
        """Whether the later sets are faster for sure enough."""
        return self.seconds > self.give_or_take


def batch_gain(first: Sequence[float], later: Sequence[float]) -> BatchGain | None:
    """Compare seconds for each bead of first and later sets; None where too few are known.

    The error of a difference of two means, each with its own variance (Welch 1947, Biometrika 34,
    28-35; from memory).
    """
    if min(len(first), len(later)) < LEAST:
        return None
    error = math.sqrt(
        statistics.variance(first) / len(first) + statistics.variance(later) / len(later)
    )
    return BatchGain(statistics.mean(first) - statistics.mean(later), Z_80 * error)


def loading_times(
    pieces: Iterable[PieceTimes], tags: Mapping[str, SetTagged | None]
) -> tuple[list[float], list[float]]:
    """Seconds for each bead of first and of later sets; a set loaded by itself is a first one.

    `tags`: the tags of pieces by their ids.
    """
    first: list[float] = []
    later: list[float] = []
    for times in pieces:
        found, beads = times.stages.get("load"), times.units.get("load", 0.0)
        if found is None or not beads or not times.is_timed or times.recorded or times.trial:
            continue
        tag = tags.get(times.piece)
        sets = later if tag is not None and tag.place > 1 else first
        sets.append(found.hands_on_s / beads)
    return first, later


def batches_said(
    loads: Mapping[str, int], beads: Mapping[str, float], gain: BatchGain | None
) -> Iterator[str]:
    """What to do about sets of one lot that are loaded on one evening: how many, by the lot.

    `beads`: of one set, by the lot.
    """
    for lot, sets in loads.items():
        if sets < 2:
            continue
        if gain is None:
            yield (
                f"{plural(sets, 'set')} of {lot} to load: whether it saves you time to load them"
                f" one after the other is known after {LEAST} such sets"
            )
        elif gain.pays:
            saved = (sets - 1) * beads.get(lot, 0.0) * gain.seconds / 60
            yield (
                f"load the {plural(sets, 'set')} of {lot} one after the other, in one batch: about"
                f" {saved:.0f} min less by your own times"
            )
