"""Serves the app to browsers: one process of the app for each page that is open."""

from __future__ import annotations

import asyncio
import contextlib
import logging
import signal
import sys
from collections.abc import Callable
from importlib.resources import files
from pathlib import Path

from aiohttp import web
from aiohttp.http import HttpProcessingError
from aiohttp.typedefs import Handler

from bench.browser.door import Door
from bench.browser.guard import Guard, is_own_machine
from bench.browser.pages import Pages

PAGE = {"/": "page.html", "/page.js": "page.js", "/page.css": "page.css"}
KINDS = {"html": "text/html", "js": "text/javascript", "css": "text/css"}
ENDS_S = 0.9
"""So long the programs of all pages may take to end when the server does."""


def program(home: Path | None) -> list[str]:
    """The command that runs the app for one page."""
    words = [sys.executable, "-m", "bench"]
    return words if home is None else [*words, "--home", str(home.absolute())]


def make_site(guard: Guard, pages: Pages, door: Door) -> web.Application:
    """Return the pages: the bench's own, what they need, and the websocket of the app."""
    site = web.Application(middlewares=[door.middleware(), guard.middleware()])
    for path, name in PAGE.items():
        site.router.add_get(path, _sent(name))
    site.router.add_get("/ws", pages.open)
    site.router.add_static("/static", str(files("textual_serve") / "static"))
    return site


def _sent(name: str) -> Handler:
    text = files(__package__).joinpath(name).read_text("utf-8")
    kind = KINDS[name.rpartition(".")[2]]

    async def send(request: web.Request) -> web.Response:
        return web.Response(text=text, content_type=kind)

    return send


async def serve(home: Path | None, address: str, port: int, say: Callable[[str], None]) -> None:
    """Serve until a signal ends it; every page's app is closed in order.

    Raises OSError if the port cannot be had.
    """
    guard, pages, door = Guard(address), Pages(program(home)), Door()
    runner = web.AppRunner(
        make_site(guard, pages, door),
        access_log=None,
        shutdown_timeout=0.2,
        handler_cancellation=True,
        logger=complaints(),
    )
    await runner.setup()
    assert runner.server is not None
    try:
        loop = asyncio.get_running_loop()
        listening = await loop.create_server(door.entrance(runner.server), address, port)
        for line in greeting(guard, listening.sockets[0].getsockname()[1]):
            say(line)
        await _until_ended()
        listening.close()
        await pages.end(ENDS_S)
    finally:
        await runner.cleanup()


def complaints() -> logging.Logger:
    """Return what is told at the terminal when a request cannot be answered: a line, by its error.

    What is no request of HTTP is answered as such and not told: anyone can send that without end.
    """
    logger = logging.getLogger(__name__)
    logger.addFilter(_in_one_line)
    return logger


def _in_one_line(record: logging.LogRecord) -> bool:
    error = record.exc_info[1] if record.exc_info else None
    if error is not None:
        record.msg, record.args = "braid-bench: a page's request failed: %r", (error,)
        record.exc_info = None
    return not isinstance(error, HttpProcessingError)


def greeting(guard: Guard, port: int) -> list[str]:
    """What is said when it is open; the only place where the token is shown."""
    everywhere = guard.address in {"0.0.0.0", "::"}
    host = "THIS-MACHINE" if everywhere else guard.address
    host = f"[{host}]" if ":" in host else host
    lines = [f"The bench is open at http://{host}:{port}/?token={guard.token}"]
    if everywhere:
        lines.append("Put this machine's number in the network for THIS-MACHINE.")
    if is_own_machine(guard.address):
        lines.append(
            "It is open to this machine alone, and to whoever has this address. Ctrl+C closes it."
        )
    else:
        lines.append(
            "Whoever has this address can use the bench, and on its way it can be read by others in"
            " the network: use it at home only. Ctrl+C closes it."
        )
    return lines


async def _until_ended() -> None:
    ended, loop = asyncio.Event(), asyncio.get_running_loop()
    for name in ("SIGINT", "SIGTERM", "SIGHUP"):
        if hasattr(signal, name):
            # A loop that cannot watch signals ends by KeyboardInterrupt.
            with contextlib.suppress(NotImplementedError):
                loop.add_signal_handler(getattr(signal, name), ended.set)
    await ended.wait()
