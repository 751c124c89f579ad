"""How many connections are open, and how long each may take to ask for something."""

from __future__ import annotations

import asyncio
from collections.abc import Callable

from aiohttp import web
from aiohttp.typedefs import Handler, Middleware

MOST = 64
"""Connections that are open at a time."""
PATIENCE_S = 10.0
"""So long a connection may be open without a whole request, or be sent an answer."""


class Door:
    """Closes connections that ask for nothing, the longest waiting first where there are many.

    `entrance` makes the protocol of a connection; `middleware` sees each request that is whole.
    """

    def __init__(self, most: int = MOST, patience_s: float = PATIENCE_S) -> None:
        self.most, self.patience_s = most, patience_s
        self._open: set[asyncio.BaseTransport] = set()
        self._waiting: dict[asyncio.BaseTransport, asyncio.TimerHandle] = {}

    def entrance(self, protocol: Callable[[], asyncio.Protocol]) -> Callable[[], asyncio.Protocol]:
        """Return what makes a protocol for each new connection, around one that reads requests."""
        return lambda: _Caller(self, protocol)

    def middleware(self) -> Middleware:
        """Return what tells the door of each request, as aiohttp takes it."""

        @web.middleware
        async def told(request: web.Request, handler: Handler) -> web.StreamResponse:
            transport = request.transport
            if transport is not None:
                self._stop_waiting(transport)
            try:
                return await handler(request)
            finally:
                if transport is not None and transport in self._open:
                    self._wait(transport)

        return told

    def come(self, transport: asyncio.Transport) -> bool:
        """Take a new connection in; say whether there is room for it."""
        if len(self._open) >= self.most:
            longest = next(iter(self._waiting), None)
            if longest is None:
                transport.abort()
                return False
            _abort(longest)
            self.go(longest)
        self._open.add(transport)
        self._wait(transport)
        return True

    def go(self, transport: asyncio.BaseTransport) -> None:
        """Forget a connection that is closed."""
        self._open.discard(transport)
        self._stop_waiting(transport)

    def _wait(self, transport: asyncio.BaseTransport) -> None:
        loop = asyncio.get_running_loop()
        self._waiting[transport] = loop.call_later(self.patience_s, _abort, transport)

    def _stop_waiting(self, transport: asyncio.BaseTransport) -> None:
        timer = self._waiting.pop(transport, None)
        if timer is not None:
            timer.cancel()


def _abort(transport: asyncio.BaseTransport) -> None:
    if isinstance(transport, asyncio.Transport):
        transport.abort()


class _Caller(asyncio.Protocol):
    """One connection: all of it goes on to the protocol inside, if the door has let it in."""

    def __init__(self, door: Door, protocol: Callable[[], asyncio.Protocol]) -> None:
        self._door, self._make = door, protocol
        self._inside: asyncio.Protocol | None = None
        self._transport: asyncio.Transport | None = None

    def connection_made(self, transport: asyncio.BaseTransport) -> None:
        assert isinstance(transport, asyncio.Transport)
        if self._door.come(transport):
            self._transport, self._inside = transport, self._make()
            self._inside.connection_made(transport)

    def data_received(self, data: bytes) -> None:
        if self._inside is not None:
            self._inside.data_received(data)

    def eof_received(self) -> bool | None:
        return None if self._inside is None else self._inside.eof_received()

    def pause_writing(self) -> None:
        if self._inside is not None:
            self._inside.pause_writing()

    def resume_writing(self) -> None:
        if self._inside is not None:
            self._inside.resume_writing()

    def connection_lost(self, error: Exception | None) -> None:
        if self._transport is not None and self._inside is not None:
            self._door.go(self._transport)
            self._inside.connection_lost(error)
