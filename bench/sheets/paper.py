"""The page that sheets of the shop are printed on: black on white, A4, nothing from elsewhere."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING

from bench.craft.text import cleaned
from bench.sheets.words import address_lines, long_day

if TYPE_CHECKING:
    from bench.answers.money import Letter

_STYLE = """
@page { size: A4; margin: 14mm 16mm; }
* { box-sizing: border-box; }
body { font: 10pt/1.4 "DejaVu Sans", Arial, sans-serif; color: #000; background: #fff;
       max-width: 178mm; margin: 0 auto; padding: 4mm 0; }
h1 { font-size: 16pt; margin: 0 0 2mm; }
h2 { font-size: 10pt; letter-spacing: .05em; text-transform: uppercase; margin: 5mm 0 1mm; }
p { margin: 1mm 0; }
h2 { break-after: avoid; } section, .caution { break-inside: avoid; }
table { border-collapse: collapse; width: 100%; margin: 3mm 0; }
td, th { text-align: left; padding: 1mm 3mm 1mm 0; vertical-align: top;
         border-bottom: .15mm solid #999; }
th { font-size: 8pt; font-weight: normal; }
tr { break-inside: avoid; }
.n { text-align: right; white-space: nowrap; padding-right: 0; }
.day { white-space: nowrap; }
.n + td, .n + th { padding-left: 5mm; }
.sum td { border-bottom: none; } .sum:last-child td { font-weight: bold; font-size: 12pt; }
.from { float: right; text-align: right; margin: 0 0 3mm 6mm; font-size: 9pt; }
.kind { font-size: 8.5pt; color: #333; }
.note { margin-top: 4mm; }
.tick { display: inline-block; width: 4mm; height: 4mm; border: .35mm solid #000;
        vertical-align: -.7mm; margin-right: 2mm; }
.caution { border: .5mm solid #000; padding: 1.5mm 2.5mm; margin-top: 4mm; font-size: 9pt; }
"""


def safe(text: str) -> str:
    """Return a text as it goes into a page's HTML, without control characters."""
    return escape(cleaned(text, 2000))


def letterhead(letter: Letter) -> str:
    """Who writes, each part of the address on a line of its own, and on which day."""
    lines = "<br>".join(safe(line) for line in address_lines(letter.maker))
    return f'<div class="from">{lines}<p>{safe(long_day(letter.day))}</p></div>'


def kind_html(kind: str) -> str:
    """What a line is for, in small letters below its name."""
    return f'<br><span class="kind">{safe(kind)}</span>' if kind else ""


def page(title: str, body: str, style: str = "") -> str:
    """Return a whole HTML page around a body that is HTML already; `style` comes on top."""
    return (
        '<!DOCTYPE html><html lang="en"><head><meta charset="utf-8">'
        f"<title>{safe(title)}</title><style>{_STYLE}{style}</style></head>"
        f"<body>{body}</body></html>\n"
    )
