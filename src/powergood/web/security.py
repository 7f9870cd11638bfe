"""What keeps other sites out: strict headers, and a token plus the sender's origin on every form.

A page on the local network is not a secure context, so browsers send no fetch metadata there; the
`Origin` header and a token in both cookie and form stand in for it.
"""

from __future__ import annotations

import ipaddress
import secrets
from collections.abc import Collection
from typing import Final
from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.requests import Request
from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

TOKEN_COOKIE: Final = "powergood_token"
_YEAR_S: Final = 365 * 24 * 3600
_POLICY: Final = (
    "default-src 'self'; img-src 'self' data: blob:; object-src 'none'; base-uri 'none'; "
    "frame-ancestors 'none'; form-action 'self'"
)
_HEADERS: Final = {
    "content-security-policy": _POLICY,
    "x-content-type-options": "nosniff",
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
}


class SecureHeaders:
    """Middleware that puts the security headers on every answer, and a token cookie where there is none."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass the request on; add headers to the answer."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        request = Request(scope)
        known = request.cookies.get(TOKEN_COOKIE, "")
        token = known if len(known) >= 32 else secrets.token_urlsafe(32)
        scope.setdefault("state", {})["token"] = token

        async def send_with_headers(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in _HEADERS.items():
                    headers.setdefault(name, value)
                if token != known:
                    headers.append("set-cookie", _cookie(token))
            await send(message)

        await self.app(scope, receive, send_with_headers)


class KnownHost:
    """Middleware that refuses a `Host` which is neither a bare address nor a name this computer goes by.

    A foreign name can be made to point here after its page was loaded; an address cannot.
    """

    def __init__(self, app: ASGIApp, names: Collection[str]) -> None:
        self.app = app
        self.names = frozenset(name.lower() for name in names)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass the request on, or answer 400."""
        if scope["type"] != "http" or self._known(Headers(scope=scope).get("host", "")):
            await self.app(scope, receive, send)
            return
        words = "This bench does not go by that name. Use the address it printed when it started."
        await PlainTextResponse(words, status_code=400)(scope, receive, send)

    def _known(self, host: str) -> bool:
        name = urlsplit(f"//{host}").hostname or ""
        if name in self.names:
            return True
        try:
            ipaddress.ip_address(name)
        except ValueError:
            return False
        return True


def _cookie(token: str) -> str:
    return f"{TOKEN_COOKIE}={token}; Max-Age={_YEAR_S}; Path=/; HttpOnly; SameSite=Strict"


def from_here(headers: Headers) -> bool:
    """Return whether the request was sent by a page of this very host."""
    sender = headers.get("origin") or headers.get("referer") or ""
    return bool(sender) and urlsplit(sender).netloc == headers.get("host", "")


def token_fits(request: Request, given: str) -> bool:
    """Return whether a form's token is the one in the sender's cookie."""
    return secrets.compare_digest(given.encode(), str(request.state.token).encode())
