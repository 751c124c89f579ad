"""The pages that are open, each with a process of the app of its own."""

from __future__ import annotations

import asyncio
import contextlib
import json
from collections.abc import Sequence

from aiohttp import WSMsgType, web

from bench.browser.page_program import PageProgram, clamped

MOST_PAGES = 8
"""Programs that run at a time; each takes some 50 MB."""
FULL = f"So many pages are open ({MOST_PAGES}). Close one, then load this page again."
LONGEST = 65_536
"""Bytes of one message; a pasted note is far shorter."""
LETS_GO_S = 4.5
"""A program that has not ended so long after its page went is killed."""
ALIVE_S = 15.0
"""How often a page is asked whether it is still there."""


class Pages:
    """Connects the websocket of each page with a program of its own, while there is room."""

    def __init__(self, command: Sequence[str], most: int = MOST_PAGES) -> None:
        self._command = tuple(command)
        self._room = asyncio.Semaphore(most)
        self._open: set[asyncio.Task[None]] = set()
        self._lets_go_s = LETS_GO_S

    async def open(self, request: web.Request) -> web.WebSocketResponse:
        """Serve one page until it or its program goes."""
        socket = web.WebSocketResponse(
            heartbeat=ALIVE_S, max_msg_size=LONGEST, timeout=0.5, compress=False
        )
        await socket.prepare(request)
        try:
            # The program of a page that was loaded anew may still be ending.
            async with asyncio.timeout(LETS_GO_S):
                await self._room.acquire()
        except TimeoutError:
            await _say_full(socket)
            return socket
        running = asyncio.create_task(self._run(socket, _size_asked(request)))
        self._open.add(running)
        running.add_done_callback(self._closed)
        await running
        return socket

    def _closed(self, running: asyncio.Task[None]) -> None:
        self._open.discard(running)
        self._room.release()

    async def _run(self, socket: web.WebSocketResponse, size: tuple[int, int]) -> None:
        program = await PageProgram.start(self._command, size)
        tasks = [
            asyncio.create_task(_paint(program, socket)),
            asyncio.create_task(_listen(socket, program)),
        ]
        try:
            await asyncio.wait(tasks, return_when=asyncio.FIRST_COMPLETED)
        finally:
            for task in tasks:
                task.cancel()
            await asyncio.gather(*tasks, return_exceptions=True)
            await program.end(self._lets_go_s)
        await socket.close()

    async def end(self, within_s: float) -> None:
        """End every page's program, those that hang too, in so many seconds."""
        self._lets_go_s = within_s
        for running in self._open:
            running.cancel()
        if self._open:
            await asyncio.wait(self._open, timeout=within_s + 0.2)


def _size_asked(request: web.Request) -> tuple[int, int]:
    asked = [request.query.get(key, "") for key in ("width", "height")]
    if not all(text.isascii() and text.isdecimal() and len(text) < 10 for text in asked):
        return 80, 24
    return clamped(*map(int, asked)) or (80, 24)


async def _say_full(socket: web.WebSocketResponse) -> None:
    """Write on the page's terminal that there is no room, and wait until the page goes."""
    with contextlib.suppress(ConnectionError):
        await socket.send_bytes(f"\x1b[2J\x1b[H{FULL}".encode())
    async for _ in socket:
        pass


async def _paint(program: PageProgram, socket: web.WebSocketResponse) -> None:
    """Send what the program paints until it ends or the page takes no more."""
    with contextlib.suppress(ConnectionError):
        while (painted := await program.painted()) is not None:
            await socket.send_bytes(painted)


async def _listen(socket: web.WebSocketResponse, program: PageProgram) -> None:
    """Hand on what the page sends until it goes; what is no message of a page is passed over."""
    async for message in socket:
        if message.type is not WSMsgType.TEXT:
            continue
        try:
            match json.loads(message.data):
                case ["stdin", str(text)]:
                    program.type(text)
                case ["resize", {"width": width, "height": height}]:
                    size = clamped(width, height)
                    if size is not None:
                        program.resize(size)
                case ["focus" | "blur" as what]:
                    program.focus(gained=what == "focus")
        except (ValueError, RecursionError):
            continue
