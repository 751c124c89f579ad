"""What pages may do to the server and to each other; without a browser, by the websocket alone."""

from __future__ import annotations

import asyncio
import os
import signal
import sys
import time
from collections.abc import Iterator
from contextlib import AsyncExitStack
from pathlib import Path

import pytest
from aiohttp import web

from bench.browser.door import Door
from bench.browser.guard import Guard
from bench.browser.page_program import clamped
from bench.browser.pages import MOST_PAGES, Pages
from bench.browser.server import make_site
from bench.journal.errors import Locked
from bench.journal.lock import FileLock
from tests.support.homes import furnished

from .visitors import Serving, memory_mb, runs, served, until

pytestmark = pytest.mark.skipif(
    not Path("/proc/self/task").is_dir(), reason="processes are counted as Linux tells them"
)
MOST_MB, MOST_OF_SERVER_MB = 200.0, 100.0
"""The server has some 40; with a second of a page's keys kept, 160 and more were measured."""


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """A data folder with four pieces in the making."""
    return furnished(tmp_path)


@pytest.fixture(scope="module")
def serving(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Serving]:
    """One server for all pages that leave it as it was, on a data folder of its own."""
    with served(furnished(tmp_path_factory.mktemp("served"))) as serving:
        yield serving


def is_held(home: Path) -> bool:
    """Whether a program holds the journal for writing."""
    try:
        FileLock(home / "journal.lock").release()
    except Locked:
        return True
    return False


def _let_go(program: int, home: Path) -> bool:
    """Whether a program is gone, with all its threads: the last one to go frees the journal."""
    return not runs(program) and not is_held(home)


@pytest.mark.parametrize(
    ("asked", "given"),
    [
        ((80, 24), (80, 24)),
        ((100_000, 100_000), (300, 120)),
        ((0, -5), (20, 8)),
        ((2**70, 24), (300, 24)),
        ((80.5, 24), None),
        (("80", 24), None),
        ((True, 24), None),
        ((None, None), None),
    ],
)
def test_sizes_are_brought_into_bounds(
    asked: tuple[object, object], given: tuple[int, int] | None
) -> None:
    """A size that no glass has becomes the nearest one that is allowed; what is none is nothing."""
    assert clamped(*asked) == given


async def test_a_huge_page_takes_little_memory(serving: Serving) -> None:
    """A page that says it is 100,000 letters wide and high is served as a large one."""
    async with serving.page(300, 120) as page:
        await page.wait_for("IN THE MAKING")
        (program,) = serving.programs()
        for width, height in ((100_000, 100_000), (2**62, 1), (-1, 2**40), (300, 120)):
            await page.send("resize", {"width": width, "height": height})
        for odd in (("resize", {"width": "9", "height": None}), ("resize",), ("stdin", 7), ()):
            await page.send(*odd)
        await page.send("stdin", "\x1b[H\r")
        await page.wait_for("cross 31 of 72")
        assert memory_mb(program) < MOST_MB
        assert memory_mb(serving.process.pid) < MOST_OF_SERVER_MB


@pytest.mark.parametrize(
    "text",
    [
        "j" * 30_000,
        "\x1b[200~" + "j" * 60_000,
        "\x1b[<35;5;5M" * 3000,
        "\x1b[" + "1;" * 20_000,
        "\ud800\udfff" * 5000,
    ],
    ids=["keys", "pastes", "touches", "escapes", "halves of letters"],
)
async def test_a_page_that_sends_without_end_takes_little_memory(
    serving: Serving, text: str
) -> None:
    """Keys and pastes that come faster than hands can type are held back or dropped."""
    async with serving.page() as page:
        await page.wait_for("IN THE MAKING")
        (program,) = serving.programs()
        await page.flood("stdin", text, seconds=1.0)
        assert memory_mb(program) < MOST_MB
        assert memory_mb(serving.process.pid) < MOST_OF_SERVER_MB
        page.drop()
        await until(lambda: not runs(program), 5.0)


async def test_so_many_pages_and_no_more(serving: Serving) -> None:
    """Of twenty pages eight get a program, one each; the others are told, and may come later."""
    async with AsyncExitStack() as stack:
        pages = [await stack.enter_async_context(serving.page()) for _ in range(20)]
        for page in pages[:MOST_PAGES]:
            await page.wait_for("COMMISSIONS", 60)
        await pages[-1].wait_for("So many pages are open (8). Close one,")
        assert len(serving.programs()) == MOST_PAGES
        pages[0].drop()
        await until(lambda: len(serving.programs()) < MOST_PAGES, 6.0)
        async with serving.page() as page:
            await page.wait_for("COMMISSIONS", 60)


async def test_a_page_that_goes_takes_its_program_with_it(home: Path) -> None:
    """Within five seconds of a page that is closed, or gone without a word, its program is gone."""
    with served(home) as serving:
        for how in ("closed", "dropped", "stopped"):
            async with serving.page() as page:
                await page.wait_for("IN THE MAKING")
                (program,) = serving.programs()
                await until(lambda: is_held(home), 5.0)
                if how == "stopped":
                    os.kill(program, signal.SIGSTOP)
                if how != "closed":
                    page.drop()
            await until(lambda program=program: _let_go(program, home), 5.0)  # type: ignore[misc]


async def test_a_server_that_is_killed_takes_the_programs_with_it(home: Path) -> None:
    """Within five seconds of a server that was killed nothing holds the journal any more."""
    with served(home, dies=True) as serving:
        async with serving.page() as page:
            await page.wait_for("IN THE MAKING")
            (program,) = serving.programs()
            await until(lambda: is_held(home), 5.0)
            serving.process.kill()
            await until(lambda: _let_go(program, home), 5.0)


@pytest.mark.parametrize("hangs", [False, True])
async def test_the_server_ends_at_once(home: Path, *, hangs: bool) -> None:
    """Ctrl+C ends the server and every page's program within two seconds, one that hangs too."""
    with served(home) as serving:
        async with serving.page() as page, serving.page() as second:
            await page.wait_for("IN THE MAKING")
            await second.wait_for("IN THE MAKING")
            programs = serving.programs()
            if hangs:
                os.kill(programs[0], signal.SIGSTOP)
            began = time.monotonic()
            serving.process.send_signal(signal.SIGINT)
            assert await asyncio.to_thread(serving.process.wait, 10) == 0
            assert time.monotonic() - began < 2.0
            assert not any(map(runs, programs))


async def test_connections_that_ask_for_nothing_are_closed() -> None:
    """Half a request, or none, is waited for so long and no longer, and never by many at once."""
    door, guard = Door(most=4, patience_s=0.5), Guard("127.0.0.1")
    site = make_site(guard, Pages([sys.executable, "-c", ""]), door)
    runner = web.AppRunner(site, access_log=None)
    await runner.setup()
    assert runner.server is not None
    loop = asyncio.get_running_loop()
    listening = await loop.create_server(door.entrance(runner.server), "127.0.0.1", 0)
    port = listening.sockets[0].getsockname()[1]

    async def open_half(sent: bytes) -> asyncio.StreamReader:
        reader, writer = await asyncio.open_connection("127.0.0.1", port)
        writer.write(sent)
        kept.append(writer)
        return reader

    kept: list[asyncio.StreamWriter] = []
    began = time.monotonic()
    halves = [await open_half(sent) for sent in (b"", b"GET / HTTP/1.1\r\nHo", b"\r\n", b"GET")]
    halves += [await open_half(b"GET / HT") for _ in range(4)]
    for half in halves[:4]:  # the first make room for those that come after
        with pytest.raises((ConnectionError, asyncio.IncompleteReadError)):
            await asyncio.wait_for(half.readexactly(1), 0.4)
    whole = await open_half(b"GET / HTTP/1.1\r\nHost: localhost\r\n\r\n")
    assert (await asyncio.wait_for(whole.readline(), 2)).startswith(b"HTTP/1.1 403")
    for half in halves[4:]:
        with pytest.raises((ConnectionError, asyncio.IncompleteReadError)):
            await asyncio.wait_for(half.readexactly(1), 2)
    assert time.monotonic() - began < 2.0
    for writer in kept:
        writer.close()
    listening.close()
    await runner.cleanup()


async def test_a_page_that_looked_on_comes_to_write(home: Path) -> None:
    """A second page looks on; once the first has gone it writes, and says so."""
    with served(home) as serving:
        async with AsyncExitStack() as stack:
            async with serving.page() as first:
                await first.wait_for("IN THE MAKING")
                second = await stack.enter_async_context(serving.page())
                await second.wait_for("Another braid-bench writes")
                await second.send("stdin", "\x1b[H\r")
                await second.wait_for("LOOKING ON")
            await second.wait_for("this one writes to the journal from now on", 15)
            await second.send("stdin", " ")
            await second.wait_for("cross 32 of 72")
