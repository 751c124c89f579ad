from __future__ import annotations

import asyncio
import builtins
import logging
from collections.abc import Mapping, Sequence
from types import ModuleType

import pytest
from aiohttp import web
from aiohttp.test_utils import TestClient, TestServer, make_mocked_request

from bench.browser.door import Door
from bench.browser.guard import COOKIE, Guard, is_own_machine, same
from bench.browser.pages import Pages
from bench.browser.server import complaints, greeting, make_site, program
from bench.cli import main

TOKEN = "t0ken"


def client(guard: Guard) -> TestClient:  # type: ignore[type-arg]
    """A client of the pages behind a guard; the app is never started by these tests."""
    return TestClient(TestServer(make_site(guard, Pages(["false"]), Door())))


@pytest.mark.parametrize("address", ["0.0.0.0", "127.0.0.1"])
@pytest.mark.parametrize("path", ["/", "/page.js", "/ws", "/static/js/textual.js", "/nothing"])
async def test_nothing_is_given_without_the_token(path: str, address: str) -> None:
    """Every path, page and websocket alike, is refused without the token, here as elsewhere."""
    async with client(Guard(address, TOKEN)) as visitor:
        for query in ({}, {"token": ""}, {"token": TOKEN + "x"}, {"token": "wrong"}):
            origin = {"Origin": str(visitor.make_url("/")).rstrip("/")}
            async with visitor.get(path, params=query, headers=origin) as answer:
                assert answer.status == 403
                assert not answer.cookies


async def test_the_token_is_asked_for_once() -> None:
    """The first visit with the token sets a cookie out of scripts' and other pages' reach.

    The token leaves the address bar at once, and the cookie is not the token.
    """
    async with client(Guard("0.0.0.0", TOKEN)) as visitor:
        first = await visitor.get("/", params={"token": TOKEN}, allow_redirects=False)
        assert (first.status, first.headers["Location"]) == (303, "/")
        (cookie,) = first.cookies.values()
        assert cookie.key == f"{COOKIE}_{visitor.port}"
        assert cookie["httponly"]
        assert cookie["samesite"] == "Strict"
        assert TOKEN not in cookie.value
        page = await visitor.get("/")
        assert page.status == 200
        assert "textual-terminal" in await page.text()
        again = await visitor.get("/", params={"token": TOKEN}, allow_redirects=False)
        assert again.status == 303


async def test_the_page_names_no_other_host() -> None:
    """No file of the page names a place outside, and its policy forbids the browser to go there."""
    async with client(Guard("127.0.0.1", TOKEN)) as visitor:
        await visitor.get("/", params={"token": TOKEN})
        for path in ("/", "/page.css", "/page.js"):
            answer = await visitor.get(path)
            assert answer.status == 200
            assert "//" not in (await answer.text()).replace("// ", "")
            policy = answer.headers["Content-Security-Policy"]
            assert policy.startswith("default-src 'none'")
            assert "http" not in policy


@pytest.mark.parametrize(
    ("address", "host", "taken"),
    [
        ("127.0.0.1", "127.0.0.1:8710", True),
        ("127.0.0.1", "localhost:8710", True),
        ("127.0.0.1", "[::1]:8710", True),
        ("127.0.0.1", "192.168.1.7:8710", False),
        ("127.0.0.1", "rebound.example:8710", False),
        ("127.0.0.1", "127.0.0.1.rebound.example", False),
        ("0.0.0.0", "192.168.1.7:8710", True),
        ("0.0.0.0", "rebound.example:8710", False),
        ("stairs.local", "STAIRS.local:8710", True),
        ("stairs.local", "", False),
        ("127.0.0.1", "127.0.0.1:8710; script-src *", False),
        ("127.0.0.1", "127.0.0.1:", False),
        ("127.0.0.1", "[::1", False),
        ("127.0.0.1", "[]:8710", False),
        ("127.0.0.1", "localhost:871000", False),
        ("stairs.local", "stäirs.local", False),
    ],
)
def test_other_names_are_not_taken(address: str, host: str, *, taken: bool) -> None:
    """A name that a foreign page has pointed at this machine (DNS rebinding) is refused."""
    assert Guard(address).knows_host(host) is taken


@pytest.mark.parametrize(
    ("origin", "own"),
    [
        ("http://127.0.0.1:8710", True),
        ("http://127.0.0.1:9999", False),
        ("http://elsewhere.example", False),
        ("null", False),
        (None, False),
    ],
)
def test_only_the_own_page_opens_the_websocket(origin: str | None, *, own: bool) -> None:
    """A websocket is opened only by a page of this address, as the Origin header says."""
    headers = {"Host": "127.0.0.1:8710"} | ({} if origin is None else {"Origin": origin})
    assert Guard.is_own_page(make_mocked_request("GET", "/ws", headers=headers)) is own


async def test_a_foreign_page_gets_no_websocket() -> None:
    """The refusal comes from the server, before any app is started."""
    async with client(Guard("127.0.0.1")) as visitor:
        for origin in ({}, {"Origin": "http://elsewhere.example"}):
            answer = await visitor.get("/ws", headers=origin)
            assert answer.status == 403


@pytest.mark.parametrize(
    "odd",
    [
        b"Host: 127.0.0.1:8710; script-src *\r\n",
        b"Host: [::1\r\n",
        b"Host: \xff\xfe\r\n",
        b"Host: rebound.example\r\n",
        b"Host:\r\n",
        b"Host: localhost\r\nCookie: braid_bench=\xff\xfe\xc3\x28\r\n",
        "Host: localhost\r\nCookie: braid_bench_{port}=größe\r\n".encode(),
        b"Host: localhost\r\nCookie: \xe2\x82=\xac; ;;=\r\n",
    ],
)
async def test_odd_headers_are_refused_in_order(odd: bytes) -> None:
    """Whatever bytes stand as Host or cookie, the answer is a refusal with the policy."""
    async with client(Guard("127.0.0.1", TOKEN)) as visitor:
        line = odd.replace(b"{port}", str(visitor.port).encode())
        reader, writer = await asyncio.open_connection("127.0.0.1", visitor.port)
        writer.write(b"GET / HTTP/1.1\r\n" + line + b"Connection: close\r\n\r\n")
        head = (await asyncio.wait_for(reader.readuntil(b"\r\n\r\n"), 5)).decode()
        writer.close()
        assert head.startswith("HTTP/1.1 403 ")
        policy = next(line for line in head.split("\r\n") if line.startswith("Content-Security"))
        assert "default-src 'none'" in policy
        assert "*" not in policy


async def test_what_is_no_request_is_not_told_at_the_terminal(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A caller that sends anything at all writes nothing there; a page that fails, one line."""
    monkeypatch.setattr(logging.getLogger("bench.browser.server"), "propagate", False)
    guard = Guard("127.0.0.1", TOKEN)
    site = make_site(guard, Pages(["false"]), Door())

    async def fail(request: web.Request) -> web.Response:
        raise ValueError("odd\x1b[2J")

    site.router.add_get("/fails", fail)
    server = TestServer(site)
    await server.start_server(logger=complaints())
    sent = (b"GET /" + b"a" * 9000, b"\xff\r\n\r\n", b"GET / HTTP/1.1\r\n" + b"X: y\r\n" * 500)
    for words in sent:
        reader, writer = await asyncio.open_connection("127.0.0.1", server.port)
        writer.write(words + b"\r\n\r\n")
        assert (await asyncio.wait_for(reader.readline(), 5)).split()[1] == b"400"
        writer.close()
    assert capsys.readouterr().err == ""
    async with TestClient(server) as visitor:
        await visitor.get("/", params={"token": TOKEN})
        assert (await visitor.get("/fails")).status == 500
    told = capsys.readouterr().err
    assert told == "braid-bench: a page's request failed: ValueError('odd\\x1b[2J')\n"


def test_which_addresses_are_this_machine_alone() -> None:
    """Only an address that no other machine can reach is said to be open to this one alone."""
    assert [is_own_machine(a) for a in ("127.0.0.1", "127.8.0.1", "::1", "localhost")] == [True] * 4
    assert not any(map(is_own_machine, ("0.0.0.0", "::", "192.168.1.7", "stairs.local", "")))


def test_secrets_are_compared_whole() -> None:
    """Nothing counts as the token but the token, whatever letters come in."""
    assert same(TOKEN, TOKEN)
    assert not any(same(given, TOKEN) for given in (None, "", "t", TOKEN + "x", "tökén", "\udcff"))


@pytest.mark.parametrize("address", ["0.0.0.0", "127.0.0.1"])
def test_the_greeting_shows_the_token_once(address: str) -> None:
    """The token stands once in the address to open, which holds all that must be known."""
    guard = Guard(address)
    lines = "\n".join(greeting(guard, 8710))
    assert lines.count(guard.token) == 1
    assert f":8710/?token={guard.token}" in lines
    assert ("this machine alone" in lines) is (address == "127.0.0.1")
    assert guard.token != Guard(address).token


def test_the_program_of_a_page() -> None:
    """A page runs this very program; without --home on the usual data folder."""
    assert program(None)[1:] == ["-m", "bench"]


def test_without_the_optional_part_one_sentence_says_what_to_do(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Where textual-serve is not installed, `serve` says how to get it and ends with status 1."""
    real = builtins.__import__

    def without(
        name: str,
        globals: Mapping[str, object] | None = None,
        locals: Mapping[str, object] | None = None,
        fromlist: Sequence[str] | None = (),
        level: int = 0,
    ) -> ModuleType:
        if name == "bench.browser.server":
            raise ModuleNotFoundError(name="textual_serve")
        return real(name, globals, locals, fromlist, level)

    monkeypatch.setattr(builtins, "__import__", without)
    assert main(["serve"]) == 1
    said = capsys.readouterr().err
    assert "pip install 'braid-bench[serve]'" in said
    assert said.count("\n") == 1


@pytest.mark.parametrize("port", ["-1", "65536", "x"])
def test_a_port_that_is_none(port: str) -> None:
    """A port out of range is wrong usage."""
    with pytest.raises(SystemExit) as ended:
        main(["serve", "--port", port])
    assert ended.value.code == 2
