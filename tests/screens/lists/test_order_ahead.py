"""What is told of a changed order: with what its days rest on."""

from __future__ import annotations

import datetime as dt
import tomllib
from dataclasses import replace
from types import SimpleNamespace
from typing import cast

import pytest

from bench.answers.needs import NeedsAnswer
from bench.commission.progress import CommissionProgress
from bench.documents.commission import Commission
from bench.journal.clock import Instant
from bench.pace.intervals import Forecast
from bench.pace.weeks import Finish, Weeks
from bench.screens.lists.order_ahead import ahead_lines
from tests.support.curtain import CURTAIN

NOW = Instant(1_700_000_000, 0, "boot", 0.0)
NOTHING_NEEDED = cast(NeedsAnswer, SimpleNamespace(mixing=(), short=()))
ORDER = Commission.model_validate(tomllib.loads(CURTAIN) | {"due": dt.date(2199, 5, 8)})
KEPT = CommissionProgress(
    name="curtain",
    commission=ORDER,
    lots=(),
    to_come=Forecast(10.0, 0.1, 5.0),
    finish=Finish(0.8, 10, 20, 30),
    price=None,
    materials=None,
    weeks=Weeks(10.0),
    late=0.01,
    is_guess=False,
)
EARLIER = replace(KEPT, commission=ORDER.model_copy(update={"due": dt.date(2199, 5, 1)}), late=0.02)


@pytest.mark.parametrize(
    ("weeks", "rests_on", "condition"),
    [
        (Weeks(10.0), "if you keep to 10 h a week", " if you keep to 10 h a week"),
        (Weeks(6.0, (8.0, 0.0, 8.0, 8.0, 6.0)), "as your last 5 weeks went (6 h a week)", ""),
    ],
    ids=["set hours", "weeks as they went"],
)
def test_days_and_chances_are_told_with_what_they_rest_on(
    weeks: Weeks, rests_on: str, condition: str
) -> None:
    """The day comes with its hours a week; the due day's chance too where they are only set."""
    done, held = ahead_lines(
        replace(KEPT, weeks=weeks), replace(EARLIER, weeks=weeks), NOTHING_NEEDED, NOW
    )
    assert (
        done == f"done about 04 Dec (6.1 h to come) {rests_on}, 8 in 10 between 24 Nov and 14 Dec"
    )
    assert held == (
        f"2199-05-01 holds with 98%{condition}; as it is kept now: 2199-05-08 holds with 99%"
    )


def test_hours_are_told_beside_those_of_before() -> None:
    """Where a change makes more or less work, both stand there."""
    more = replace(EARLIER, to_come=Forecast(10.5, 0.1, 5.0))
    done, _ = ahead_lines(KEPT, more, NOTHING_NEEDED, NOW)
    assert "(10.1 h, in place of 6.1, to come)" in done


def test_a_guess_tells_no_chance() -> None:
    """Before a piece is timed the days are called a guess, and the due day gets no chance."""
    done, held = ahead_lines(None, replace(KEPT, is_guess=True), NOTHING_NEEDED, NOW)
    assert "if you keep to 10 h a week, a guess, between" in done
    assert held == "by a guess (no piece is timed) 2199-05-08 holds"
