"""The built-in guess: seconds by stage from a piece's counts, before anything was timed.

Common practice, no source: a beaded drop of eight strands, 104 to 136 beads and 60 to 76 crosses
takes 60 to 90 minutes hands-on, all stages together. The seconds per unit below are split so
that such drops come out between 69 and 80 minutes; how they split over the stages is judgement.
"""

from __future__ import annotations

from bench.craft.stages import HANDS_ON, HandsOn
from bench.pace.records import Work

LOAD_BEAD_S = 8.0
SET_UP_STRAND_S = 75.0
PLAIN_CROSS_S = 8.0
BRING_IN_BEAD_S = 9.0
FINISH_S = 1200.0

LEVEL_SD = 0.30
"""Spread of makers about the guess, on the log scale, common to all their stages."""
STAGE_SD = 0.34
"""Spread of makers about the guess, on the log scale, of each stage by itself."""


def guess(work: Work) -> dict[HandsOn, float]:
    """Seconds by stage that a maker without any recorded time is taken to need.

    Stages without work (no beads to load) are 0.
    """
    return {
        "load": LOAD_BEAD_S * work.beads,
        "set_up": SET_UP_STRAND_S * work.strands,
        "braid": PLAIN_CROSS_S * work.crosses + BRING_IN_BEAD_S * work.beads,
        "finish": FINISH_S,
    }


def guess_whole_s(work: Work) -> float:
    """Seconds of the whole piece by the built-in guess."""
    seconds = guess(work)
    return sum(seconds[stage] for stage in HANDS_ON)
