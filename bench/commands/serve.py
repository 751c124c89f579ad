"""`serve`: the same app in a browser, on this machine or, if asked for, in the network."""

from __future__ import annotations

import argparse
from collections.abc import Iterable
from typing import TYPE_CHECKING

from bench.craft.text import Fault
from bench.session import Session

if TYPE_CHECKING:
    from rich.console import RenderableType

MISSING = (
    "serving to a browser needs one more part: pip install 'braid-bench[serve]', or in a checkout"
    " pip install -e '.[serve]'"
)


def arguments(parser: argparse.ArgumentParser) -> None:
    """Take where to listen."""
    parser.add_argument(
        "--address",
        default="127.0.0.1",
        help="listen here; by default for this machine alone",
    )
    parser.add_argument("--port", type=_port, default=8710, help="by default 8710; 0 takes any")


def _port(text: str) -> int:
    if not text.isdecimal() or int(text) > 65_535:
        raise argparse.ArgumentTypeError("a port is a number from 0 to 65535")
    return int(text)


def answer(args: argparse.Namespace, session: Session) -> None:
    """Serve until it is ended. Raises Fault if the optional part is not installed."""
    import asyncio

    try:
        from bench.browser.server import serve
    except ModuleNotFoundError as missing:
        if missing.name in {"aiohttp", "textual_serve"}:
            raise Fault(MISSING) from None
        raise
    try:
        asyncio.run(serve(session.given, args.address, args.port, _say))
    except OSError as error:
        raise Fault(
            f"nothing can be served at {args.address}, port {args.port}"
            f" ({error.strerror or error}); try another --port"
        ) from error


def _say(line: str) -> None:
    print(line, flush=True)


def sheet(answer: None) -> Iterable[RenderableType]:
    """Nothing is printed but what was said."""
    return ()
