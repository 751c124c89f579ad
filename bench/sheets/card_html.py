"""A customer's card as an HTML page that prints at its true scale, on A4 and on US Letter."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING

from bench.craft.text import cleaned
from bench.sheets.card_layout import HIGH, WIDE
from bench.sheets.card_svg import page_drawings

if TYPE_CHECKING:
    from bench.answers.card import CardAnswer

_STYLE = f"""
@page {{ margin: 12mm; }}
body {{ margin: 0; background: #fff; color: #222; }}
section {{ width: {WIDE:g}mm; height: {HIGH:g}mm; overflow: hidden; break-after: page;
           print-color-adjust: exact; -webkit-print-color-adjust: exact; }}
section:last-child {{ break-after: auto; }}
svg {{ display: block; }}
@media screen {{ section {{ margin: 10mm auto; }} }}
"""


def card_html(card: CardAnswer) -> str:
    """Return the page: no script, nothing from elsewhere."""
    title = escape(cleaned(card.title, 100))
    sections = "\n".join(f"<section>{page}</section>" for page in page_drawings(card))
    return (
        '<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8">'
        f"<title>{title}</title><style>{_STYLE}</style></head>\n"
        f"<body>\n{sections}\n</body></html>\n"
    )
