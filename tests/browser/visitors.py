"""`braid-bench serve`, run for a test, and pages that speak with it without a browser."""

from __future__ import annotations

import asyncio
import contextlib
import json
import re
import socket
import sys
import time
from collections.abc import AsyncIterator, Callable, Iterator
from contextlib import asynccontextmanager, contextmanager
from pathlib import Path
from subprocess import PIPE, Popen
from urllib.parse import urlsplit

import aiohttp

from tests.support.terminal import Screen


class Serving:
    """The server that runs: its process, the address that it printed, and its pages' programs."""

    def __init__(self, process: Popen[str], address: str) -> None:
        self.process, self.address = process, address
        self.site = address.split("?")[0]
        self.port = urlsplit(address).port or 0

    def programs(self) -> list[int]:
        """The processes of the pages."""
        children = Path(f"/proc/{self.process.pid}/task/{self.process.pid}/children").read_text()
        return [int(child) for child in children.split()]

    @asynccontextmanager
    async def page(self, width: int = 80, height: int = 24) -> AsyncIterator[Page]:
        """Open a page of a size, as a browser would: by the address, then by its cookie."""
        jar = aiohttp.CookieJar(unsafe=True)
        async with aiohttp.ClientSession(cookie_jar=jar) as visitor:
            async with visitor.get(self.address) as answer:
                assert answer.status == 200
            connected = await visitor.ws_connect(
                f"{self.site}ws?width={width}&height={height}",
                headers={"Origin": self.site.rstrip("/")},
                max_msg_size=0,
            )
            async with connected:
                yield Page(connected, width, height)


class Page:
    """One page's websocket, and what its terminal shows."""

    def __init__(
        self, socket: aiohttp.ClientWebSocketResponse, width: int = 80, height: int = 24
    ) -> None:
        self.socket = socket
        self.screen = Screen(width, height)

    async def send(self, *words: object) -> None:
        """Send a message as the page's script does."""
        await self.socket.send_str(json.dumps(words))

    async def wait_for(self, text: str, seconds: float = 20.0) -> None:
        """Wait until the terminal shows a text; AssertionError if it never does."""
        until = time.monotonic() + seconds
        while text not in " ".join(self.screen.text.split()):
            left = until - time.monotonic()
            assert left > 0, f"{text!r} never appeared:\n{self.screen.text}"
            try:
                message = await self.socket.receive(left)
            except TimeoutError:
                continue
            assert message.type is aiohttp.WSMsgType.BINARY, f"the page was closed: {message}"
            self.screen.feed(message.data)

    def drop(self) -> None:
        """Go as a page does whose device is switched off: without a word."""
        connection = self.socket.get_extra_info("socket")
        connection.shutdown(socket.SHUT_RDWR)

    async def flood(self, *words: object, seconds: float) -> None:
        """Send a message again and again, reading nothing, for so long."""
        text = json.dumps(words)
        with contextlib.suppress(TimeoutError):
            async with asyncio.timeout(seconds):
                while True:
                    await self.socket.send_str(text)
                    await asyncio.sleep(0)


@contextmanager
def served(home: Path, *, dies: bool = False) -> Iterator[Serving]:
    """Run `braid-bench serve` on a home folder; it ends in good order, unless the test kills it."""
    command = [sys.executable, "-m", "bench", "--home", str(home), "serve", "--port", "0"]
    with Popen(command, stdout=PIPE, text=True) as process:
        assert process.stdout is not None
        try:
            line = process.stdout.readline()
            found = re.search(r"http\S+", line)
            assert found, line
            yield Serving(process, found[0])
        finally:
            if process.poll() is None:
                process.terminate()
            status = process.wait(20)
            assert dies or status == 0


async def until(true: Callable[[], bool], seconds: float) -> float:
    """Wait until something holds; return how long it took. AssertionError if it never does."""
    began = time.monotonic()
    while not true():
        assert time.monotonic() - began < seconds, f"not within {seconds} s"
        await asyncio.sleep(0.02)
    return time.monotonic() - began


def runs(pid: int) -> bool:
    """Whether a process is there and no zombie."""
    try:
        return Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0] != "Z"
    except OSError:
        return False


def memory_mb(pid: int) -> float:
    """The most memory that a process has held so far, in megabytes (Linux)."""
    for line in Path(f"/proc/{pid}/status").read_text().splitlines():
        if line.startswith("VmHWM:"):
            return int(line.split()[1]) / 1024
    return 0.0
