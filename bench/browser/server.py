"""Serves the app to browsers: one process of the app for each page that is open."""

from __future__ import annotations

import asyncio
import contextlib
import secrets
import shlex
import signal
import sys
from collections.abc import Callable
from importlib.resources import files
from pathlib import Path

from aiohttp import web
from aiohttp.typedefs import Handler
from textual_serve.server import Server

from bench.browser.guard import Guard, is_own_machine

PAGE = {"/": "page.html", "/page.js": "page.js", "/page.css": "page.css"}
KINDS = {"html": "text/html", "js": "text/javascript", "css": "text/css"}
LETS_GO_S = 5.0


def program(home: Path | None) -> str:
    """The command that runs the app for one page."""
    words = [sys.executable, "-m", "bench"]
    if home is not None:
        words += ["--home", str(home.absolute())]
    return shlex.join(words)


def make_site(guard: Guard, command: str) -> web.Application:
    """Return the pages: the bench's own, what they need, and the websocket of the app."""
    server = Server(command, title="braid-bench")
    site = web.Application(middlewares=[guard.middleware()])
    for path, name in PAGE.items():
        site.router.add_get(path, _sent(name))
    site.router.add_get("/ws", server.handle_websocket)
    site.router.add_static("/static", server.statics_path)
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
    alone = is_own_machine(address)
    guard = Guard(address, None if alone else secrets.token_urlsafe(24))
    site = make_site(guard, program(home))
    runner = web.AppRunner(site, access_log=None, shutdown_timeout=LETS_GO_S)
    await runner.setup()
    try:
        await web.TCPSite(runner, address, port).start()
        for line in greeting(guard, runner.addresses[0][1]):
            say(line)
        await _until_ended()
    finally:
        await runner.cleanup()


def greeting(guard: Guard, port: int) -> list[str]:
    """What is said when it is open; the only place where the token is shown."""
    if guard.token is None:
        host = f"[{guard.address}]" if ":" in guard.address else guard.address
        return [
            f"The bench is open at http://{host}:{port}/ on this machine alone. Ctrl+C closes it.",
        ]
    everywhere = guard.address in {"0.0.0.0", "::"}
    host = "THIS-MACHINE" if everywhere else guard.address
    host = f"[{host}]" if ":" in host else host
    return [
        f"The bench is open at http://{host}:{port}/?token={guard.token}",
        *(["Put this machine's number in the network for THIS-MACHINE."] if everywhere else []),
        "Whoever has this address can use the bench, and on its way it can be read by others in"
        " the network: use it at home only. Ctrl+C closes it.",
    ]


async def _until_ended() -> None:
    ended, loop = asyncio.Event(), asyncio.get_running_loop()
    for name in ("SIGINT", "SIGTERM", "SIGHUP"):
        if hasattr(signal, name):
            # A loop that cannot watch signals ends by KeyboardInterrupt.
            with contextlib.suppress(NotImplementedError):
                loop.add_signal_handler(getattr(signal, name), ended.set)
    await ended.wait()
