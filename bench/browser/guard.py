"""Who may open the page: a token for other machines, and the checks against foreign pages.

Every request passes here, the page's as well as the websocket's.
"""

from __future__ import annotations

import hmac
import ipaddress
import secrets
from dataclasses import dataclass, field
from typing import NoReturn

from aiohttp import hdrs, web
from aiohttp.typedefs import Handler, Middleware

COOKIE = "braid_bench"


@dataclass(frozen=True)
class Guard:
    """Lets in whoever knows the token, under a name that is really this machine's.

    token: what the address must carry at the first visit; None for this machine alone. Later
    visits are known by a cookie, so that the token does not stay in the address bar.
    """

    address: str
    token: str | None = None
    _pass: str = field(default_factory=lambda: secrets.token_urlsafe(32))

    def middleware(self) -> Middleware:
        """Return the check as aiohttp takes it."""

        @web.middleware
        async def checked(request: web.Request, handler: Handler) -> web.StreamResponse:
            if not self.knows_host(request.host):
                raise web.HTTPForbidden(text="This bench is not known by that name.\n")
            if request.path == "/ws" and not self.is_own_page(request):
                raise web.HTTPForbidden(text="Only the bench's own page may talk to it.\n")
            if self.token is not None and not same(request.cookies.get(COOKIE), self._pass):
                self._first_visit(request)
            response = await handler(request)
            if not response.prepared:
                response.headers.update(headers(request.host))
            return response

        return checked

    def _first_visit(self, request: web.Request) -> NoReturn:
        if request.path != "/" or not same(request.query.get("token"), self.token):
            raise web.HTTPForbidden(
                text="This bench asks for its token: open the whole address that stands in the"
                " terminal where it was started.\n"
            )
        inside = web.HTTPSeeOther("/")
        inside.set_cookie(COOKIE, self._pass, httponly=True, samesite="Strict", path="/")
        inside.headers.update(headers(request.host))
        raise inside

    def knows_host(self, host: str) -> bool:
        """Whether a Host header names this machine.

        A foreign page can point a name of its own at this machine (DNS rebinding), but no
        number: so numbers, localhost and the address that was asked for are taken, and other
        names are not.
        """
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


def same(given: str | None, wanted: str | None) -> bool:
    """Compare two secrets in a time that tells nothing of where they differ."""
    if given is None or wanted is None:
        return False
    return hmac.compare_digest(given.encode(), wanted.encode())


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
    """What every answer says: nothing is loaded from anywhere else, shown elsewhere or kept."""
    return {
        "Content-Security-Policy": (
            "default-src 'none'; script-src 'self'; style-src 'self' 'unsafe-inline';"
            f" img-src 'self' data:; font-src 'self'; connect-src 'self' ws://{host} wss://{host};"
            " base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
        ),
        "Referrer-Policy": "no-referrer",
        "X-Content-Type-Options": "nosniff",
        "Cache-Control": "no-store",
    }
