"""Who may open the page: who knows the token, by a name of this machine, from the page itself.

Every request passes here, the page's as well as the websocket's.
"""

from __future__ import annotations

import hmac
import ipaddress
import re
import secrets
from dataclasses import dataclass, field
from typing import NoReturn

from aiohttp import hdrs, web
from aiohttp.typedefs import Handler, Middleware

COOKIE = "braid_bench"
HOST = re.compile(r"(\[[0-9A-Fa-f:.]+\]|[0-9A-Za-z._-]+)(:[0-9]{1,5})?")
"""What a browser sends as Host: a name or a number, perhaps with a port."""


def _secret() -> str:
    return secrets.token_urlsafe(24)


@dataclass(frozen=True)
class Guard:
    """Lets in whoever knows the token, under a name that is really this machine's.

    token: what the address must carry at the first visit. Later visits are known by a cookie, so
    that the token does not stay in the address bar.
    """

    address: str
    token: str = field(default_factory=_secret)
    _pass: str = field(default_factory=_secret)

    def middleware(self) -> Middleware:
        """Return the check as aiohttp takes it."""

        @web.middleware
        async def checked(request: web.Request, handler: Handler) -> web.StreamResponse:
            try:
                self._check(request)
                response = await handler(request)
            except web.HTTPException as refusal:
                refusal.headers.update(headers(""))
                raise
            if not response.prepared:
                response.headers.update(headers(request.host))
            return response

        return checked

    def _check(self, request: web.Request) -> None:
        """Raise what answers a request that is not to be let in, or a first visit."""
        if not self.knows_host(request.host):
            raise web.HTTPForbidden(text="This bench is not known by that name.\n")
        if request.path == "/ws" and not self.is_own_page(request):
            raise web.HTTPForbidden(text="Only the bench's own page may talk to it.\n")
        known = same(request.cookies.get(_cookie(request)), self._pass)
        if not known or "token" in request.query:
            self._first_visit(request)

    def _first_visit(self, request: web.Request) -> NoReturn:
        if request.path != "/" or not same(request.query.get("token"), self.token):
            raise web.HTTPForbidden(
                text="This bench asks for its token: open the whole address that stands in the"
                " terminal where it was started.\n"
            )
        inside = web.HTTPSeeOther("/")
        inside.set_cookie(_cookie(request), self._pass, httponly=True, samesite="Strict", path="/")
        raise inside

    def knows_host(self, host: str) -> bool:
        """Whether a Host header names this machine.

        A foreign page can point a name of its own at this machine (DNS rebinding), but no
        number: so numbers, localhost and the address that was asked for are taken, and other
        names are not.
        """
        if not HOST.fullmatch(host):
            return False
        name = host_name(host)
        if name in {"localhost", self.address.lower()}:
            return True
        try:
            number = ipaddress.ip_address(name)
        except ValueError:
            return False
        return number.is_loopback or not is_own_machine(self.address)

    @staticmethod
    def is_own_page(request: web.Request) -> bool:
        """Whether a websocket is opened by a page that came from here (its Origin header)."""
        origin = request.headers.get(hdrs.ORIGIN, "")
        return origin in {f"http://{request.host}", f"https://{request.host}"}


def _cookie(request: web.Request) -> str:
    """The cookie's name, of this port's own: browsers keep no cookies apart by port."""
    at = None if request.transport is None else request.transport.get_extra_info("sockname")
    return f"{COOKIE}_{at[1]}" if at else COOKIE


def same(given: str | None, wanted: str) -> bool:
    """Compare two secrets in a time that tells nothing of where they differ.

    What came in may be any bytes at all, which a string holds as lone surrogates.
    """
    if given is None:
        return False
    return hmac.compare_digest(given.encode("utf-8", "surrogatepass"), wanted.encode())


def host_name(host: str) -> str:
    """The name in a Host header, without its port and an IPv6 address's brackets."""
    if host.startswith("["):
        return host[1:].partition("]")[0].lower()
    return host.partition(":")[0].lower()


def is_own_machine(address: str) -> bool:
    """Whether an address to listen on is reached from this machine alone."""
    if address == "localhost":
        return True
    try:
        return ipaddress.ip_address(address).is_loopback
    except ValueError:
        return False


def headers(host: str) -> dict[str, str]:
    """What every answer says: nothing is loaded from anywhere else, shown elsewhere or kept.

    host: where the page's websocket may lead; with none, the answer is no page and has no socket.
    """
    sockets = f" ws://{host} wss://{host}" if host else ""
    return {
        "Content-Security-Policy": (
            "default-src 'none'; script-src 'self'; style-src 'self' 'unsafe-inline';"
            f" img-src 'self' data:; font-src 'self'; connect-src 'self'{sockets};"
            " base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
        ),
        "Referrer-Policy": "no-referrer",
        "X-Content-Type-Options": "nosniff",
        "Cache-Control": "no-store",
    }
