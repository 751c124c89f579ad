"""Tags to print and cut: one box a piece, with its lot, number, pattern, size and colourway."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from bench.craft.text import cleaned
from bench.craft.words import full_name
from bench.sheets.paper import page, safe
from bench.sheets.words import column, with_tail

if TYPE_CHECKING:
    from bench.answers.tags import Tag, TagsAnswer

_STYLE = """
@page {{ size: A4; margin: 10mm; }}
body {{ max-width: 190mm; padding: 0; }}
.tags {{ display: flex; flex-wrap: wrap; }}
.tag {{ width: {wide}mm; height: {high}mm; padding: 2mm 2mm 2mm 7mm; overflow: hidden;
        border: .15mm dashed #666; break-inside: avoid; position: relative; line-height: 1.2;
        display: flex; flex-direction: column; justify-content: center; }}
.tag::before {{ content: ""; position: absolute; left: 2mm; top: calc(50% - 1.25mm); width: 2.5mm;
                height: 2.5mm; border: .2mm solid #000; border-radius: 50%; }}
.tag b {{ display: block; font-size: {large}pt; }}
.tag span {{ display: block; font-size: {small}pt; }}
"""


def tags_html(answer: TagsAnswer) -> str:
    """All tags with dashed lines to cut along, and a ring where the thread goes through."""
    large = max(6.0, min(14.0, answer.high_mm / 1.9))
    style = _STYLE.format(
        wide=f"{answer.wide_mm:g}", high=f"{answer.high_mm:g}", large=f"{large:.1f}",
        small=f"{max(5.0, 0.7 * large):.1f}",
    )  # fmt: skip
    boxes = "".join(_box(tag, answer.title) for tag in answer.tags)
    return page(f"Tags: {answer.title}", f'<div class="tags">{boxes}</div>', style)


def tags_lines(answer: TagsAnswer) -> Iterator[str]:
    """What `tags` prints: each tag on a line."""
    yield f"{cleaned(answer.title)}: {len(answer.tags)} tags"
    yield ""
    for tag in answer.tags:
        yield column(_name(tag, 34), 36) + cleaned(_made(tag), 42)


def _box(tag: Tag, title: str) -> str:
    """A tag: the piece, what it is, and of which order."""
    lines = f"<b>{safe(_name(tag))}</b><span>{safe(_made(tag))}</span><span>{safe(title)}</span>"
    return f'<div class="tag">{lines}</div>'


def _name(tag: Tag, most: int = 200) -> str:
    """The lot with the piece's number, and of how many it is where the numbers say that.

    In so many letters: the lot is cut, never the number.
    """
    number = f" {tag.number}" + ("" if tag.of is None else f" of {tag.of}")
    return with_tail(tag.lot, number, most)


def _made(tag: Tag) -> str:
    return full_name(tag.pattern, tag.size, tag.colourway)
