"""What an hour costs, tax, deposit, tolerances and stands: the settings that the shop goes by."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal, InvalidOperation
from functools import partial
from typing import Literal

from bench.craft.text import Fault
from bench.documents.errors import DocumentError
from bench.documents.settings_writing import set_in_settings
from bench.screens.lists.form import FormRow, FormScreen
from bench.sheets.offer import TAX_CAUTION

NONE_ASKS = "; “none” goes back to what it is without your saying."
Kind = Literal["number", "text", "lines"]
RATES: tuple[tuple[str, str, str, str, Kind], ...] = (
    ("work", "hourly_rate", "an hour's work", "As 20.00", "number"),
    ("work", "currency", "currency", "As EUR", "text"),
    ("work", "hours_per_week", "hours a week", "Hours at the bench in a week", "number"),
    ("work", "margin", "margin", "A share of hours and materials, as 0.1", "number"),
    ("shop", "maker", "you, on sheets", "Name; street; town: a semicolon begins a line", "text"),
    ("shop", "overhead_percent", "overhead, %", "Rent, light, tools, as 12", "number"),
    ("shop", "least_price", "least price of a piece", "As 5.00", "number"),
    ("shop", "round_to", "prices rounded to", "As 0.50", "number"),
    ("shop", "rounding", "halves are rounded", "“half up” or “half even”", "text"),
    ("shop", "tax_percent", "tax, %", "Ask your tax office; as 19", "number"),
    ("shop", "tax_name", "tax is called", "As it stands on the sheet", "text"),
    ("shop", "deposit_percent", "deposit, %", "Of the whole price, as 30", "number"),
    ("shop", "holds_days", "an offer holds, days", "As 30", "number"),
    ("shop", "length_percent", "length off sample, %", "Longer or shorter, as 3", "number"),
    ("shop", "thickness_mm", "thickness off, mm", "Thicker or thinner, as 0.3", "number"),
    ("shop", "weight_percent", "weight off, %", "Heavier or lighter, as 5", "number"),
    ("shop", "looks", "looks at inspection", "With commas between them", "lines"),
    ("stand", "stands", "stands", "How many you have", "number"),
)
"""Table and key of each setting, its name on the page, what is asked, what it takes."""


class RatesScreen(FormScreen):
    """Each line is written into the settings at once; they hold for every commission."""

    keeps = ""
    heading = "rates, tolerances, stands"

    def rows(self) -> Sequence[FormRow]:
        """The settings of the shop."""
        return tuple(
            FormRow(
                *(name, self._said(table, key)),
                typed=partial(self._set, table, key, kind),
                asks=asks + NONE_ASKS,
                starts=self._said(table, key, none=""),
            )
            for table, key, name, asks, kind in RATES
        )

    def below(self) -> Sequence[str]:
        """Where it stands, and the caution of prices."""
        return (
            "They hold for every commission; an order's own terms go before them.",
            f"! {TAX_CAUTION}",
        )

    def _said(self, table: str, key: str, none: str = "–") -> str:
        value = getattr(getattr(self.companion.settings, table), key)
        if isinstance(value, tuple):
            return ", ".join(value)
        if isinstance(value, float):
            return f"{value:g}"
        return none if value is None else str(value)

    def _set(self, table: str, key: str, kind: Kind, text: str) -> None:
        value: object = text
        if text == "none":
            value = None
        elif kind == "number":
            value = _number(text)
        elif kind == "lines":
            value = [part.strip() for part in text.split(",") if part.strip()]
        try:
            set_in_settings(self.companion.library.home, (table, key), value)
        except DocumentError as error:
            raise Fault(str(error)) from None
        self.companion.read_settings_again()


def _number(text: str) -> int | Decimal:
    try:
        value = Decimal(text)
    except InvalidOperation:
        hint = " (write 1.5, not 1,5)" if "," in text else ""
        raise Fault(f"'{text}' is no number{hint}") from None
    if not value.is_finite():
        raise Fault(f"'{text}' is no number")
    return int(value) if value == value.to_integral_value() and "." not in text else value
