"""How sure the days and hours of a commission are, in words."""

from __future__ import annotations

from bench.commission.progress import CommissionProgress


def holds(*, is_guess: bool) -> str:
    """How sure what is told lies between two ends: of a guess nobody knows."""
    return "a guess, between" if is_guess else "8 in 10 between"


def by_weeks(found: CommissionProgress) -> str:
    """The hours a week that the days rest on: set, or as they were."""
    a_week = f"{found.weeks.per_week:.3g} h a week"
    if found.weeks.is_set:
        return f"if you keep to {a_week}"
    return f"as your last {len(found.weeks.hours)} weeks went ({a_week})"
