"""Who may talk to the desk: the browser that was given the key, from the desk's own page.

Host and Origin as in RFC 9110 (7.2) and RFC 6454; cookie as in RFC 6265bis (SameSite, HttpOnly);
policy as in W3C Content Security Policy Level 3.
"""

from __future__ import annotations

import hmac
import secrets
from collections.abc import MutableMapping
from dataclasses import dataclass, field
from http.cookies import CookieError, SimpleCookie
from typing import Any

from starlette.datastructures import Headers, MutableHeaders, QueryParams
from starlette.middleware.trustedhost import TrustedHostMiddleware
from starlette.responses import JSONResponse, PlainTextResponse, RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from longdry.desk.refusals import FORBIDDEN, RefusedError, answer_to

HOST = "127.0.0.1"
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; "
    "connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)
_HEADERS = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cache-Control": "no-store",
}
_READING = frozenset({"GET", "HEAD"})
_FROM_ITSELF = frozenset({"same-origin", "none"})
WRONG_CONTENT = 415


@dataclass(frozen=True, slots=True)
class Keys:
    """The secrets of one desk, 256 bits each."""

    port: int
    key: str = field(default_factory=lambda: secrets.token_urlsafe(32))
    """In the link that is printed."""
    once: str = field(default_factory=lambda: secrets.token_urlsafe(32))
    """In the link that a browser is started with: others can see it, so it opens once."""
    cookie: str = field(default_factory=lambda: secrets.token_urlsafe(32))
    """What the browser that followed the link sends from then on."""

    @property
    def origin(self) -> str:
        """Where the desk is, as a browser writes it."""
        return f"http://{HOST}:{self.port}"

    @property
    def link(self) -> str:
        """The link that is printed."""
        return f"{self.origin}/?key={self.key}"

    @property
    def link_for_browser(self) -> str:
        """The link that a browser is started with."""
        return f"{self.origin}/?key={self.once}"

    @property
    def cookie_name(self) -> str:
        """A browser keeps cookies by host, not by port: each desk has a name of its own."""
        return f"longdry_desk_{self.port}"


def guarded(app: ASGIApp, keys: Keys) -> ASGIApp:
    """Return the app behind all that is checked of a request."""
    return _Walls(app, keys)


class _Walls:
    """Sets the headers of every answer; lets a request through where all is right with it."""

    def __init__(self, app: ASGIApp, keys: Keys) -> None:
        self._inner = TrustedHostMiddleware(
            _Door(app, keys), allowed_hosts=[HOST], www_redirect=False
        )

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request; of another host's name with 403, as of everything else refused."""
        if scope["type"] == "lifespan":
            await self._inner(scope, receive, send)
            return
        if scope["type"] != "http":
            raise RuntimeError("the desk speaks HTTP alone")

        async def send_with_headers(message: Message) -> None:
            if message["type"] == "http.response.start":
                if not scope.get(_KNOWN_HOST):
                    message["status"] = FORBIDDEN
                headers = MutableHeaders(scope=message)
                for name, value in _HEADERS.items():
                    headers.setdefault(name, value)
            await send(message)

        await self._inner(scope, receive, send_with_headers)


_KNOWN_HOST = "longdry.known_host"


class _Door:
    """Checks key, cookie and origin."""

    def __init__(self, app: ASGIApp, keys: Keys) -> None:
        self._app = app
        self._keys = keys
        self._is_once_used = False

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] == "lifespan":
            await self._app(scope, receive, send)
            return
        scope[_KNOWN_HOST] = True
        try:
            answer = self._let_in(scope)
        except RefusedError as refused:
            answer = _refusal(refused, for_a_person=_wants_a_page(scope))
        await (answer or self._app)(scope, receive, send)

    def _let_in(self, scope: MutableMapping[str, Any]) -> Response | None:
        """Return an answer that ends the request here; None lets it through."""
        headers = Headers(scope=scope)
        if headers.get("host") != f"{HOST}:{self._keys.port}":
            raise _refused("this is not the address of this desk", "open the link again")
        if scope["method"] == "GET" and scope["path"] == "/":
            key = QueryParams(scope["query_string"]).get("key")
            if key is not None:
                return self._first_visit(key)
        if not self._has_cookie(headers):
            raise _refused("this browser has no key", "open the link that longdry desk printed")
        site = headers.get("sec-fetch-site")
        if site is not None and site not in _FROM_ITSELF:
            raise _refused("another page asks", "open the desk itself")
        if scope["method"] not in _READING:
            _check_change(headers, scope["method"], self._keys.origin)
        return None

    def _first_visit(self, key: str) -> Response:
        if _is_same(key, self._keys.once):
            if self._is_once_used:
                raise _refused("this link has been opened", "open the one that was printed")
            self._is_once_used = True
        elif not _is_same(key, self._keys.key):
            raise _refused("this key is not the desk's", "open the link that longdry desk printed")
        answer = RedirectResponse("/", 303)
        answer.set_cookie(
            self._keys.cookie_name, self._keys.cookie, path="/", httponly=True, samesite="strict"
        )
        return answer

    def _has_cookie(self, headers: Headers) -> bool:
        try:
            cookies = SimpleCookie(headers.get("cookie", ""))
        except CookieError:
            return False
        found = cookies.get(self._keys.cookie_name)
        return found is not None and hmac.compare_digest(
            found.value.encode(), self._keys.cookie.encode()
        )


def _wants_a_page(scope: MutableMapping[str, Any]) -> bool:
    return "text/html" in Headers(scope=scope).get("accept", "")


def _refusal(refused: RefusedError, *, for_a_person: bool) -> Response:
    """Return the refusal as plain words where a person looks at it, else as JSON."""
    status, body = answer_to(refused)
    if for_a_person:
        return PlainTextResponse(f"{str(refused)[:1].upper()}{str(refused)[1:]}\n", status)
    return JSONResponse(body, status)


def _check_change(headers: Headers, method: str, origin: str) -> None:
    if headers.get("origin") != origin:
        raise _refused("the change does not come from the desk's own page", "open the desk itself")
    kind = headers.get("content-type", "").partition(";")[0].strip().lower()
    if method == "POST" and kind != "application/json":
        raise RefusedError(WRONG_CONTENT, "", "the change is no JSON", "send application/json")


def _refused(what: str, mend: str) -> RefusedError:
    return RefusedError(FORBIDDEN, "", what, mend)


def _is_same(key: str, secret: str) -> bool:
    return hmac.compare_digest(key.encode(), secret.encode())
