"""The app's process behind one page: what the page sends goes in, what it paints comes out.

The app speaks with whoever started it in packets: a letter (D for a terminal's bytes, M for JSON
about the page itself), four bytes of length, the content. A line of its own comes before the first.
"""

from __future__ import annotations

import asyncio
import json
import os
from asyncio.subprocess import PIPE, Process
from collections.abc import Sequence

READY = b"__GANGLION__\n"
"""The line after which packets come."""
DRIVER = "textual.drivers.web_driver:WebDriver"
NARROWEST, WIDEST = 20, 300
LOWEST, HIGHEST = 8, 120
"""Letters that a page may have across and lines that it may have; far beyond any glass."""

MOST_UNREAD = 65_536
"""Bytes that may wait for the app to read them, beside those in the pipe."""


def clamped(width: object, height: object) -> tuple[int, int] | None:
    """Bring a size that a page asks for into bounds; None for what is no size."""
    sizes = []
    for asked, least, most in ((width, NARROWEST, WIDEST), (height, LOWEST, HIGHEST)):
        if isinstance(asked, bool) or not isinstance(asked, int):
            return None
        sizes.append(min(max(asked, least), most))
    return sizes[0], sizes[1]


class PageProgram:
    """A running app; `start` makes one. Its last words go to the terminal of the server."""

    def __init__(self, process: Process, size: tuple[int, int]) -> None:
        assert process.stdin is not None
        assert process.stdout is not None
        self._process, self._size = process, size
        self._in, self._out = process.stdin, process.stdout
        self._packets = False

    @classmethod
    async def start(cls, command: Sequence[str], size: tuple[int, int]) -> PageProgram:
        """Start the app for a page of a size. Raises OSError if it cannot be started."""
        width, height = size
        process = await asyncio.create_subprocess_exec(
            *command,
            stdin=PIPE,
            stdout=PIPE,
            # Ctrl+C at the server is the server's; the pages' programs are asked to end by it.
            start_new_session=True,
            env={
                **os.environ,
                "TEXTUAL_DRIVER": DRIVER,
                "TEXTUAL_COLOR_SYSTEM": "truecolor",
                "COLUMNS": str(width),
                "ROWS": str(height),
            },
        )
        return cls(process, size)

    async def painted(self) -> bytes | None:
        """Wait for the next bytes for the page's terminal; None once there are no more."""
        try:
            while not self._packets:
                line = await self._out.readline()
                if not line:
                    return None
                self._packets = line == READY
            while True:
                head = await self._out.readexactly(5)
                content = await self._out.readexactly(int.from_bytes(head[1:], "big"))
                if head[:1] == b"D":
                    return content
        except (asyncio.IncompleteReadError, ValueError, ConnectionError):
            return None

    def type(self, text: str) -> None:
        """Hand keys and touches over."""
        self._send(b"D", text.encode("utf-8", "replace"))

    def resize(self, size: tuple[int, int]) -> None:
        """Say how large the page has become."""
        if size != self._size:
            self._size = size
            self._tell({"type": "resize", "width": size[0], "height": size[1]})

    def focus(self, *, gained: bool) -> None:
        """Say that the page got or lost the keys."""
        self._tell({"type": "focus" if gained else "blur"})

    def _tell(self, words: dict[str, object]) -> None:
        self._send(b"M", json.dumps(words).encode())

    def _send(self, letter: bytes, content: bytes) -> None:
        """Send a packet without waiting; it is dropped where far more wait than hands can type.

        Whoever waited here would not see the page go.
        """
        if self._in.transport.get_write_buffer_size() <= MOST_UNREAD:
            self._in.write(letter + len(content).to_bytes(4, "big") + content)

    async def end(self, within_s: float) -> None:
        """Ask the app to end, and see that it has ended in so many seconds.

        An app whose input closes keeps what is not saved and ends; one that hangs is killed.
        """
        if not self._in.is_closing():
            self._in.transport.abort()  # what the app has not read by now it need not read
        rest = asyncio.create_task(self._let_out())
        # No asyncio.timeout: early Pythons 3.11 take it for a cancellation that led here.
        ending = asyncio.create_task(self._process.wait())
        try:
            await asyncio.wait({ending}, timeout=within_s)
        finally:
            rest.cancel()
            if self._process.returncode is None:
                self._process.kill()
        await ending

    async def _let_out(self) -> None:
        """Take what is still painted, so that nothing stands in the app's way to its end."""
        while await self._out.read(65_536):
            pass
