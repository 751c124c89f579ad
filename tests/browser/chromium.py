"""Debian's Chromium without a window, steered by Playwright's driver; it brings no browser here."""

from __future__ import annotations

import asyncio
import json
import shutil
import time
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from urllib.parse import urlsplit

from playwright.async_api import Browser, Page, WebSocket, async_playwright

from tests.support.terminal import Screen

BROWSER = next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "chrome"))), None)


class Tab:
    """One page: what it asked the network for, and what its terminal shows."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.hosts: set[str] = set()
        self.complaints: list[str] = []
        self.screen: Screen | None = None
        page.on("request", lambda request: self._asked(request.url))
        page.on("websocket", self._connected)
        page.on("console", lambda said: self._complained(said.type, said.text))
        page.on("pageerror", lambda error: self.complaints.append(str(error)))

    def _connected(self, socket: WebSocket) -> None:
        self._asked(socket.url)
        socket.on("framesent", self._sent)
        socket.on("framereceived", self._received)

    def _asked(self, url: str) -> None:
        parts = urlsplit(url)
        if parts.scheme != "data":
            self.hosts.add(parts.netloc)

    def _complained(self, kind: str, text: str) -> None:
        if kind == "error":
            self.complaints.append(text)

    def _sent(self, payload: str | bytes) -> None:
        words = json.loads(payload)
        if words[0] == "resize":
            size = words[1]["width"], words[1]["height"]
            if self.screen is None or (self.screen.width, self.screen.height) != size:
                self.screen = Screen(*size)

    def _received(self, payload: str | bytes) -> None:
        if isinstance(payload, bytes) and self.screen is not None:
            self.screen.feed(payload)

    async def wait_for(self, text: str, seconds: float = 15.0) -> None:
        """Wait until the terminal shows a text; AssertionError if it never does."""
        until = time.monotonic() + seconds
        while text not in self.screen_text:
            assert time.monotonic() < until, f"{text!r} never appeared:\n{self.screen_text}"
            await asyncio.sleep(0.02)

    @property
    def screen_text(self) -> str:
        """What the terminal shows."""
        return "" if self.screen is None else self.screen.text

    async def touch(self, text: str) -> None:
        """Touch the first letters of a text where it stands on the terminal, as a finger does."""
        assert self.screen is not None
        lines = self.screen.text.split("\n")
        row = next((y for y, line in enumerate(lines) if text in line), None)
        assert row is not None, f"{text!r} is not to be seen:\n{self.screen.text}"
        column = lines[row].index(text) + min(1, len(text) - 1)
        left, top, width, height = await self.glass()
        await self.page.touchscreen.tap(
            left + (column + 0.5) * width / self.screen.width,
            top + (row + 0.5) * height / self.screen.height,
        )

    async def glass(self) -> tuple[float, float, float, float]:
        """Where the terminal's letters lie on the page: left, top, width, height in pixels."""
        box = await self.page.locator(".xterm-screen").bounding_box()
        assert box is not None
        return box["x"], box["y"], box["width"], box["height"]


async def touched(browser: Browser, url: str, width: int, height: int) -> Tab:
    """Open an address in a new page on a glass of so many pixels that is touched with fingers."""
    page = await browser.new_page(
        viewport={"width": width, "height": height}, has_touch=True, is_mobile=True
    )
    tab = Tab(page)
    await page.goto(url)
    return tab


@asynccontextmanager
async def chromium() -> AsyncIterator[Browser]:
    """Run the browser with a profile of its own."""
    async with async_playwright() as driver:
        browser = await driver.chromium.launch(
            executable_path=BROWSER, args=["--no-sandbox", "--no-proxy-server"]
        )
        try:
            yield browser
        finally:
            await browser.close()
