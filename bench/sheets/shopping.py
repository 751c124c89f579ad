"""The shopping list as one HTML page to tick: by shop, then by kind."""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING

from bench.sheets.paper import page, safe

if TYPE_CHECKING:
    from bench.answers.needs import NeedsAnswer, Purchase

_KINDS = {"beads": 0, "thread": 1, "wire": 2, "notions": 3}
_FITS = 34
"""Lines that fit a page in the usual size; with more they are set smaller, in two columns."""
_SMALL = "body { font-size: 8.5pt; line-height: 1.2; } .lists { columns: 2; column-gap: 8mm; }"
_TIGHT = "h2 { break-after: avoid; margin: 3mm 0 0; } td { padding: .5mm 2mm .5mm 0; }"


def shopping_html(answer: NeedsAnswer) -> str:
    """Everything that is to be bought, with a box to tick before each thing."""
    order = sorted(answer.buy, key=lambda item: (item.shop, _KINDS[item.kind], item.what))
    parts = []
    for shop, items in groupby(order, key=lambda item: item.shop):
        rows = "".join(map(_row, items))
        parts.append(f"<h2>{safe(shop or 'no shop noted')}</h2><table>{rows}</table>")
    cost = ""
    if answer.cost is not None:
        more = "" if answer.cost.complete else ", and what has no price in your stock"
        cost = f"<p>{answer.cost.amount:.2f} {safe(answer.cost.currency)}{more}</p>"
    nothing = "" if order else "<p>nothing is missing</p>"
    body = (
        f"<h1>To buy: {safe(answer.of)}</h1>{nothing}"
        f'<div class="lists">{"".join(parts)}</div>{cost}'
    )
    style = _TIGHT + (_SMALL if len(order) + 3 * len(parts) > _FITS else "")
    return page(f"To buy: {answer.of}", body, style)


def _row(item: Purchase) -> str:
    missing = f"{item.missing:.0f}" if item.unit == "count" else f"{item.missing:.1f} {item.unit}"
    packs = f"{item.packs} × {item.pack}" if item.unit != "count" else f"{item.packs} ×"
    price = "" if item.price is None else f"{item.price:.2f}"
    return (
        f'<tr><td><span class="tick"></span>{safe(packs)}</td><td>{safe(item.what)}</td>'
        f'<td class="n">{missing}</td><td class="n">{price}</td></tr>'
    )
