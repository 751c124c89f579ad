"""What Textual reads a page's keys by, held within bounds whatever a page sends."""

from __future__ import annotations

import asyncio
import contextlib
import time
from codecs import getincrementaldecoder
from collections.abc import Iterator
from concurrent.futures import CancelledError

from textual._xterm_parser import XTermParser
from textual.drivers._byte_stream import ByteStream
from textual.drivers.web_driver import WebDriver
from textual.message import Message

MOST_HELD = 65_536
"""Bytes that may come without making a key, as those of a paste; more of them are dropped."""
MOST_WAITING = 200
"""Keys that wait to be worked off; while there are more, no more are read."""
LOOK_S = 0.02


class PageDriver(WebDriver):
    """Reads keys no faster than the app works them off, and pastes no longer than a note needs.

    Textual's own keeps whatever comes: a page that sends without end would fill the memory.
    """

    def run_input_thread(self) -> None:
        """Read keys, and what is told of the page, until the input or the app ends."""
        packets, keys = ByteStream(), _Keys()
        with contextlib.suppress(RuntimeError, CancelledError):  # the app's loop is closed
            for data in self._input_reader:
                for letter, content in packets.feed(data) if data else ():
                    if letter == "D":
                        for key in keys.read(content):
                            self.process_message(key)
                    else:
                        self._on_meta(letter, content)
                        self._wait_for_room()
                for key in keys.late():
                    self.process_message(key)

    def send_message(self, message: Message) -> None:
        """Hand a key to the app, and wait while it has many."""
        posting = self._app._post_message(message)
        try:
            posted = asyncio.run_coroutine_threadsafe(posting, self._loop)
        except RuntimeError:
            posting.close()
            raise
        while not self.exit_event.is_set():
            try:
                posted.result(LOOK_S)
                break
            except TimeoutError:
                continue
        self._wait_for_room()

    def _wait_for_room(self) -> None:
        while not self.exit_event.is_set() and self._waiting() > MOST_WAITING:
            time.sleep(LOOK_S)

    def _waiting(self) -> int:
        pumps = (self._app, *self._app.screen_stack[-1:])
        return sum(pump.message_queue_size for pump in pumps)


class _Keys:
    """Makes keys of a terminal's bytes."""

    def __init__(self) -> None:
        self._decode = getincrementaldecoder("utf-8")("replace").decode
        self._parser, self._held = XTermParser(), 0

    def read(self, data: bytes) -> Iterator[Message]:
        """Yield the keys that bytes make; what makes none for too long is forgotten."""
        self._held += len(data)
        for key in self._parser.feed(self._decode(data)):
            self._held = 0
            yield key
        if self._held > MOST_HELD:
            self._parser, self._held = XTermParser(), 0

    def late(self) -> Iterator[Message]:
        """Yield the keys that waited for bytes that did not come."""
        yield from self._parser.tick()
