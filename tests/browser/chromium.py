"""A real browser without a window, steered by its DevTools protocol over a websocket."""

from __future__ import annotations

import asyncio
import base64
import json
import shutil
import time
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

from aiohttp import ClientSession, ClientWebSocketResponse, WSMsgType

from tests.support.terminal import Screen

BROWSER = next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "chrome"))), None)


class Tab:
    """One page: what it asked the network for, and what its terminal shows."""

    def __init__(self, socket: ClientWebSocketResponse) -> None:
        self.socket = socket
        self.hosts: set[str] = set()
        self.complaints: list[str] = []
        self.screen: Screen | None = None
        self._number = 0
        self._answers: dict[int, asyncio.Future[dict[str, Any]]] = {}
        self._reader = asyncio.create_task(self._read())

    async def _read(self) -> None:
        async for message in self.socket:
            if message.type != WSMsgType.TEXT:
                continue
            said = message.json()
            if "id" in said:
                self._answers.pop(said["id"]).set_result(said)
            else:
                self._heard(said["method"], said["params"])

    def _heard(self, method: str, params: dict[str, Any]) -> None:
        if method == "Network.requestWillBeSent":
            self._asked(params["request"]["url"])
        elif method == "Network.webSocketCreated":
            self._asked(params["url"])
        elif method == "Network.webSocketFrameSent":
            self._sent(params["response"]["payloadData"])
        elif method == "Network.webSocketFrameReceived" and self.screen is not None:
            if params["response"]["opcode"] == 2:
                self.screen.feed(base64.b64decode(params["response"]["payloadData"]))
        elif method == "Log.entryAdded" and params["entry"]["level"] == "error":
            self.complaints.append(params["entry"]["text"])

    def _asked(self, url: str) -> None:
        parts = urlsplit(url)
        if parts.scheme != "data":
            self.hosts.add(parts.netloc)

    def _sent(self, payload: str) -> None:
        words = json.loads(payload)
        if words[0] == "resize":
            size = words[1]["width"], words[1]["height"]
            if self.screen is None or (self.screen.width, self.screen.height) != size:
                self.screen = Screen(*size)

    async def do(self, method: str, **params: object) -> dict[str, Any]:
        """Call a method of the protocol and return its result."""
        self._number += 1
        answer = asyncio.get_running_loop().create_future()
        self._answers[self._number] = answer
        await self.socket.send_json({"id": self._number, "method": method, "params": params})
        said = await asyncio.wait_for(answer, 20)
        assert "error" not in said, said
        result: dict[str, Any] = said["result"]
        return result

    async def open(self, url: str, width: int, height: int) -> None:
        """Open an address on a glass of so many pixels that is touched with fingers."""
        for domain in ("Page", "Network", "Log", "Runtime"):
            await self.do(f"{domain}.enable")
        await self.do(
            "Emulation.setDeviceMetricsOverride",
            width=width, height=height, deviceScaleFactor=1, mobile=True,
        )  # fmt: skip
        await self.do("Emulation.setTouchEmulationEnabled", enabled=True, maxTouchPoints=5)
        await self.do("Page.navigate", url=url)

    async def value(self, script: str) -> Any:
        """What a script comes to."""
        found = await self.do("Runtime.evaluate", expression=script, returnByValue=True)
        return found["result"].get("value")

    async def wait_for(self, text: str, seconds: float = 15.0) -> None:
        """Wait until the terminal shows a text; AssertionError if it never does."""
        until = time.monotonic() + seconds
        while self.screen is None or text not in self.screen.text:
            assert time.monotonic() < until, f"{text!r} never appeared:\n{self.screen_text}"
            await asyncio.sleep(0.02)

    @property
    def screen_text(self) -> str:
        """What the terminal shows."""
        return "" if self.screen is None else self.screen.text

    async def touch(self, text: str) -> None:
        """Touch the first letters of a text where it stands on the terminal."""
        assert self.screen is not None
        lines = self.screen.text.split("\n")
        row = next((y for y, line in enumerate(lines) if text in line), None)
        assert row is not None, f"{text!r} is not to be seen:\n{self.screen.text}"
        column = lines[row].index(text) + min(1, len(text) - 1)
        left, top, width, height = await self.glass()
        await self.tap(
            left + (column + 0.5) * width / self.screen.width,
            top + (row + 0.5) * height / self.screen.height,
        )

    async def glass(self) -> tuple[float, float, float, float]:
        """Where the terminal's letters lie on the page: left, top, width, height in pixels."""
        box = await self.value(
            "(b => [b.left, b.top, b.width, b.height])"
            "(document.querySelector('.xterm-screen').getBoundingClientRect())"
        )
        left, top, width, height = box
        return left, top, width, height

    async def tap(self, x: float, y: float) -> None:
        """Touch the glass at a point, as a finger does."""
        await self.do("Input.dispatchTouchEvent", type="touchStart", touchPoints=[{"x": x, "y": y}])
        await self.do("Input.dispatchTouchEvent", type="touchEnd", touchPoints=[])

    async def picture(self, path: Path) -> None:
        """Save what the page looks like, as PNG."""
        shot = await self.do("Page.captureScreenshot", format="png")
        path.write_bytes(base64.b64decode(shot["data"]))

    async def close(self) -> None:
        """Let go of the page."""
        self._reader.cancel()
        await self.socket.close()


class Browser:
    """The running browser."""

    def __init__(self, session: ClientSession, port: int) -> None:
        self._session = session
        self._at = f"http://127.0.0.1:{port}"
        self.tabs: list[Tab] = []

    async def tab(self) -> Tab:
        """Open an empty page."""
        async with self._session.put(f"{self._at}/json/new?about:blank") as answer:
            address = (await answer.json())["webSocketDebuggerUrl"]
        tab = Tab(await self._session.ws_connect(address, max_msg_size=0))
        self.tabs.append(tab)
        return tab


@asynccontextmanager
async def chromium(folder: Path) -> AsyncIterator[Browser]:
    """Run the browser with a profile of its own."""
    assert BROWSER is not None
    process = await asyncio.create_subprocess_exec(
        BROWSER, "--headless", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage",
        "--disable-background-networking", "--disable-component-update", "--disable-sync",
        "--disable-extensions", "--no-first-run", "--no-proxy-server", "--hide-scrollbars",
        f"--user-data-dir={folder}", "--remote-debugging-port=0", "about:blank",
        stdout=asyncio.subprocess.DEVNULL, stderr=asyncio.subprocess.DEVNULL,
    )  # fmt: skip
    try:
        port_file = folder / "DevToolsActivePort"
        until = time.monotonic() + 20
        while not port_file.exists() or not port_file.read_text():
            assert process.returncode is None, "the browser ended at once"
            assert time.monotonic() < until, "the browser never opened"
            await asyncio.sleep(0.05)
        async with ClientSession() as session:
            browser = Browser(session, int(port_file.read_text().split()[0]))
            yield browser
            for tab in browser.tabs:
                await tab.close()
    finally:
        if process.returncode is None:
            process.kill()
        await process.wait()
