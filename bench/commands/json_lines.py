"""Lines that a command reads from standard input, each answered before the next is read."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from typing import TextIO


def asked_lines(most: int, hint: str) -> Iterator[str]:
    """The lines of standard input, blank ones left out, none longer than so many characters.

    At a terminal the hint is printed first. Nothing without a standard input.
    """
    if sys.stdin is None:
        return
    if sys.stdin.isatty():
        print(hint, file=sys.stderr)
    yield from _lines(sys.stdin, most)


def _lines(stream: TextIO, most: int) -> Iterator[str]:
    reconfigure = getattr(stream, "reconfigure", None)
    if reconfigure is not None:
        reconfigure(encoding="utf-8", errors="replace")
    while text := stream.readline(most):
        rest = text
        while rest and not rest.endswith("\n"):
            rest = stream.readline(most)
        if text.strip():
            yield text.rstrip("\n") if len(text) < most else text
