"""Attention that drifts, as the gaps between presses show it: slower and less even than before."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from bench.pace.gaps import find_breaks, rhythm_of

LATELY = 40
"""Presses that are looked at; common practice, no source."""
USUAL = 60
"""Presses before them that a maker's usual rests on at least; no source."""
SLOWER = 1.2
"""So many times the usual gap is slower; a rule of thumb, no source."""
LESS_EVEN = 1.4
"""So many times the usual spread is irregular; a rule of thumb, no source."""
SURE = 3.0
"""Standard errors that a difference must be larger than to be no chance."""
MEDIAN_SE = math.sqrt(math.pi / 2)
"""A median's standard error over a mean's, for normal figures (their logs are near normal)."""


@dataclass(frozen=True, slots=True)
class Drift:
    """The latest gaps beside the maker's usual ones, in seconds."""

    lately_s: float
    usual_s: float


def drift(gaps: Sequence[float]) -> Drift | None:
    """Compare the latest gaps of a stage with those before; None where they are as usual.

    gaps: seconds between presses in the order they came, breaks and all. Both must hold: slower
    than usual, and less even, each by more than chance explains.
    """
    clean = find_breaks(gaps)
    worked = [gap for gap, broken in zip(gaps, clean.breaks, strict=True) if not broken and gap > 0]
    lately, before = worked[-LATELY:], worked[:-LATELY]
    if len(before) < USUAL:
        return None
    now, usual = rhythm_of(lately), rhythm_of(before)
    slower = now.log_median - usual.log_median
    error = MEDIAN_SE * usual.log_sd * math.sqrt(1 / now.gaps + 1 / usual.gaps)
    # the logarithm of a spread from n figures has a standard error of about 1 / sqrt(2 n); one
    # from a median absolute deviation 1.65 times as much (its efficiency is 37 %)
    less_even = math.log(now.log_sd / usual.log_sd)
    spread_error = 1.65 * math.sqrt(1 / (2 * now.gaps) + 1 / (2 * usual.gaps))
    is_slower = slower > max(math.log(SLOWER), SURE * error)
    is_uneven = less_even > max(math.log(LESS_EVEN), spread_error)
    return Drift(now.typical_s, usual.typical_s) if is_slower and is_uneven else None
