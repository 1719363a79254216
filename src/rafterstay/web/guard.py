"""Who may speak to the page: this machine's browser, with this run's token, from this page."""

from __future__ import annotations

import hmac
from collections.abc import Mapping
from http.cookies import CookieError, SimpleCookie
from typing import Final
from urllib.parse import parse_qs

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import PlainTextResponse, RedirectResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

__all__ = ["HEADERS", "LARGEST_BODY", "Guard"]

LARGEST_BODY: Final = 64_000  # bytes of a form; nothing is uploaded
_POLICY: Final = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; "
    "form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
HEADERS: Final[Mapping[str, str]] = {
    "content-security-policy": _POLICY,
    "x-content-type-options": "nosniff",
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "cache-control": "no-store",
}
_READING: Final = ("GET", "HEAD")


class Guard:
    """Lets a request through when Host, Origin and token are right; else says why not.

    Host stands against names that are made to point at this machine, Origin against forms on
    other sites, the token against other users and programs of this machine.
    """

    def __init__(self, app: ASGIApp, *, port: int, token: str) -> None:
        self._app = app
        self._hosts = (f"127.0.0.1:{port}", f"localhost:{port}")
        self._cookie = f"rafterstay-{port}"
        self._token = token

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            if scope["type"] == "lifespan":
                await self._app(scope, receive, send)
            return
        headers = Headers(scope=scope)
        guarded = _with_headers(send)
        refused = self._refused(scope, headers)
        if refused is not None:
            await refused(scope, receive, guarded)
            return
        if scope["path"] == "/" and self._opens(scope):
            welcome = RedirectResponse("/", 303)
            welcome.set_cookie(self._cookie, self._token, httponly=True, samesite="strict")
            await welcome(scope, receive, guarded)
            return
        if not self._known(headers):
            await _refuse(403, _STRANGER)(scope, receive, guarded)
            return
        await self._app(scope, _bounded(receive), guarded)

    def _refused(self, scope: Scope, headers: Headers) -> PlainTextResponse | None:
        host = headers.get("host", "")
        if host not in self._hosts:
            return _refuse(421, "This page answers at 127.0.0.1 only.")
        if scope["method"] not in (*_READING, "POST"):
            return _refuse(405, "Pages are read and forms are sent, nothing else.")
        if scope["method"] == "POST" and headers.get("origin") != f"http://{host}":
            return _refuse(403, "This form was not sent from this page.")
        length = headers.get("content-length", "0")
        if not length.isascii() or not length.isdigit() or int(length) > LARGEST_BODY:
            return _refuse(413, f"A form takes at most {LARGEST_BODY} bytes.")
        return None

    def _opens(self, scope: Scope) -> bool:
        """Whether the address carries the token: the browser was opened by this run."""
        if scope["method"] != "GET":
            return False
        asked = parse_qs(scope["query_string"].decode("latin-1"), max_num_fields=20)
        return self._same(asked.get("key", [""])[0])

    def _known(self, headers: Headers) -> bool:
        for line in headers.getlist("cookie"):
            try:
                found = SimpleCookie(line).get(self._cookie)
            except CookieError:
                continue
            if found is not None and self._same(found.value):
                return True
        return False

    def _same(self, given: str) -> bool:
        return hmac.compare_digest(given.encode("utf-8", "replace"), self._token.encode())


_STRANGER: Final = (
    "This page belongs to another run of rafterstay. Open the address that this run printed; "
    "what you typed is kept."
)


def _refuse(status: int, said: str) -> PlainTextResponse:
    return PlainTextResponse(said + "\n", status)


def _with_headers(send: Send) -> Send:
    async def guarded(message: Message) -> None:
        if message["type"] == "http.response.start":
            MutableHeaders(scope=message).update(HEADERS)
        await send(message)

    return guarded


def _bounded(receive: Receive) -> Receive:
    """The body of a request, cut off where it grows beyond what it said."""
    read = 0

    async def bounded() -> Message:
        nonlocal read
        message = await receive()
        read += len(message.get("body", b""))
        if read > LARGEST_BODY:
            return {"type": "http.disconnect"}
        return message

    return bounded
