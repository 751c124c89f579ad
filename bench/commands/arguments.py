"""What several commands take."""

from __future__ import annotations

import argparse


def pattern_arguments(parser: argparse.ArgumentParser, *, optional: bool = False) -> None:
    """Declare what every command about a pattern takes."""
    parser.add_argument(
        "pattern",
        metavar="PATTERN",
        nargs="?" if optional else None,
        help="a pattern's name in the library, or its file",
    )
    parser.add_argument("--size", metavar="SIZE", help="one of the pattern's sizes")
    parser.add_argument("--colourway", metavar="COLOURWAY", help="one of its colourways")
