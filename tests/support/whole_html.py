"""Whether a page's tags are all closed, each in its place."""

from __future__ import annotations

from html.parser import HTMLParser

ALONE = {"br", "meta", "line", "rect", "circle", "path", "img", "hr", "input", "col"}
"""Tags that stand for themselves."""


class _Nesting(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.wrong: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag not in ALONE:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        pass

    def handle_endtag(self, tag: str) -> None:
        if tag in ALONE:
            return
        if not self.open or self.open.pop() != tag:
            self.wrong.append(tag)


def unclosed(page: str) -> list[str]:
    """The tags of a page that are closed where they are not open, or not closed at all."""
    found = _Nesting()
    found.feed(page)
    return [*found.wrong, *found.open]
