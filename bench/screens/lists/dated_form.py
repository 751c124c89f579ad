"""A form whose lines are written down as of a day: today, or an earlier one."""

from __future__ import annotations

import datetime as dt

from bench.craft.text import Fault
from bench.screens.kit.help_page import Lines
from bench.screens.lists.companion import ListsCompanion
from bench.screens.lists.form import FormRow, FormScreen
from bench.screens.lists.typed_values import day_that_was

DAY = dt.timedelta(days=1)


class DatedForm(FormScreen):
    """Holds the day that what is written down is dated by."""

    keeps = ""
    own_help: Lines = (("LEFT RIGHT", "on the day: the one before or after"),)

    def __init__(self, companion: ListsCompanion) -> None:
        super().__init__(companion)
        self.day = dt.date.today()

    def day_row(self, name: str = "on") -> FormRow:
        """The line of the day."""
        today = self.day == dt.date.today()
        return FormRow(
            *(name, f"{self.day:%a %d %b %Y}{', today' if today else ''}"),
            turn=self._turn_day,
            turns="a day",
            typed=self._set_day,
            asks="The day on which it happened, as 2027-05-01.",
        )

    @property
    def day_said(self) -> str:
        """The day as events have it."""
        return self.day.isoformat()

    @property
    def day_words(self) -> str:
        """The day in a line: today, or its date, with the year where it is not this one."""
        today = dt.date.today()
        if self.day == today:
            return "today"
        return f"on {self.day:%d %b}" + (f" {self.day:%Y}" if self.day.year != today.year else "")

    def _turn_day(self, step: int) -> None:
        if self.day + step * DAY > dt.date.today():
            raise Fault("That day is yet to come.")
        self.day += step * DAY

    def _set_day(self, text: str) -> None:
        self.day = day_that_was(text)
