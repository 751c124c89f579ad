"""Figures for an invoice as CSV: what, count, each, amount, currency."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable

Figure = tuple[str, int, str, str]
"""What, how many, the amount for each, and for all."""


def figures_csv(figures: Iterable[Figure], currency: str) -> str:
    """The figures as CSV, a line each under a head; no cell is taken for a formula."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(("what", "count", "each", "amount", "currency"))
    for what, count, each, amount in figures:
        plain = f"'{what}" if what[:1] in "=+-@\t" else what
        writer.writerow((plain, count, each, amount, currency))
    return out.getvalue()
