"""The door of the server, before any page: host, origin, role, size, and the security headers.

It wraps pages and API alike. What it refuses it refuses in one plain sentence, to a person in the
language of the bench.
"""

import re
from collections.abc import Callable, Iterable
from html import escape
from http import HTTPStatus
from http.cookies import CookieError, SimpleCookie
from urllib.parse import parse_qsl, quote

from starlette.types import ASGIApp, Message, Receive, Scope, Send

from tankside.web import words
from tankside.web.access import COOKIE, Access, Role

_KEY = re.compile(r"^[A-Za-z0-9_-]{24}$")
READING = ("GET", "HEAD", "OPTIONS")
OWNED = re.compile(r"^/(settings|work/[^/]+/remove|api/v1/preferences|api/v1/work/[^/]+)$")
"""What is changed for everybody who uses the bench, or forgotten: for its owner alone. To stop work
is for who operates (its address ends otherwise)."""
LARGEST_BODY = 200 * 2**20
"""Of a request [bytes]; a mesh of a few million triangles fits."""

POLICY = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self' data:",
        "connect-src 'self'",
        "manifest-src 'self'",
        "form-action 'self'",
        "base-uri 'none'",
        "frame-ancestors 'none'",
    )
)
HEADERS = {
    "content-security-policy": POLICY,
    "x-content-type-options": "nosniff",
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "permissions-policy": "camera=(), microphone=(), geolocation=(), usb=(), serial=()",
}


class Guard:
    """An ASGI application round another."""

    def __init__(self, inner: ASGIApp, access: Access, *, largest_body: int = LARGEST_BODY) -> None:
        self._inner = inner
        self._access = access
        self._largest = largest_body

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Lets a request through, or answers it."""
        if scope["type"] == "lifespan":
            await self._inner(scope, receive, send)
            return
        if scope["type"] != "http":
            await send({"type": "websocket.close", "code": 1008})
            return
        headers = {name.decode("latin-1"): v.decode("latin-1") for name, v in scope["headers"]}
        send = _with_headers(send)
        key = dict(parse_qsl(scope["query_string"].decode("latin-1"))).get("key", "")
        if _KEY.match(key) and self._access.knows_host(headers.get("host", "")):
            await _welcome(scope, key, send)
            return
        role = self._access.role(_peer(scope), _cookie(headers))
        as_page = not scope["path"].startswith("/api/")
        refused = self._refused(scope, headers, role, words._ if as_page else str)
        if refused is not None:
            await _say(send, *refused, as_page=as_page)
            return
        scope["state"] = {**scope.get("state", {}), "role": role}
        await self._inner(scope, _capped(receive, self._largest), send)

    def _refused(
        self, scope: Scope, headers: dict[str, str], role: Role, _: Callable[[str], str]
    ) -> tuple[HTTPStatus, str] | None:
        """Status and sentence of a refusal, or None; `_` puts it in the reader's language."""
        reads = scope["method"] in READING
        length = headers.get("content-length", "0")
        if not self._access.knows_host(headers.get("host", "")):
            return HTTPStatus.MISDIRECTED_REQUEST, _("this server is not known under that name")
        if not reads and self._foreign(scope, headers):
            return HTTPStatus.FORBIDDEN, _("another site may not do this; open Tankside's own page")
        if role is Role.NOBODY:
            return (
                HTTPStatus.FORBIDDEN,
                _("scan the code that the machine's own page 'On a phone' shows first"),
            )
        if not reads and role < Role.OPERATE:
            return HTTPStatus.FORBIDDEN, _("you may look, not change; ask for the other code")
        if not reads and role < Role.OWN and OWNED.match(scope["path"]):
            return HTTPStatus.FORBIDDEN, _("only who sits at the machine itself may change this")
        if not length.isdigit() or int(length) > self._largest:
            most = self._largest // 2**20
            said = _("more than %(most)s MiB; send a smaller file") % {"most": most}
            return HTTPStatus.REQUEST_ENTITY_TOO_LARGE, said
        return None

    def _foreign(self, scope: Scope, headers: dict[str, str]) -> bool:
        """Whether a browser says that another site sent it here."""
        origin = headers.get("origin")
        if origin is not None:
            return origin != f"{scope['scheme']}://{headers.get('host', '')}"
        return headers.get("sec-fetch-site", "none") not in ("none", "same-origin")


def _peer(scope: Scope) -> str:
    client = scope.get("client")
    return str(client[0]) if client else ""


def _cookie(headers: dict[str, str]) -> str:
    try:
        held = SimpleCookie(headers.get("cookie", "")).get(COOKIE)
    except CookieError:
        return ""
    return held.value if held is not None else ""


async def _welcome(scope: Scope, key: str, send: Send) -> None:
    """Turns the key of an address into a cookie, so that it stays in no history or screenshot."""
    cookie = SimpleCookie({COOKIE: key})[COOKIE]
    cookie["path"], cookie["httponly"], cookie["samesite"] = "/", True, "Strict"
    target = "/" + quote(scope["path"].lstrip("/"))
    headers = [("location", target), ("set-cookie", cookie.OutputString())]
    await _answer(send, HTTPStatus.SEE_OTHER, headers, b"")


async def _say(send: Send, status: HTTPStatus, sentence: str, *, as_page: bool) -> None:
    """The sentence alone; as a page that a phone shows in a size that is read, without a style, as
    who is refused may have none of our files."""
    text = f"{sentence[0].upper()}{sentence[1:]}.\n"
    kind = "text/plain"
    if as_page:
        kind, text = "text/html", _PAGE.format(sentence=escape(text))
    await _answer(send, status, [("content-type", f"{kind}; charset=utf-8")], text.encode())


_PAGE = (
    '<!doctype html>\n<html lang="en"><head><meta charset="utf-8"><title>Tankside</title>'
    '<meta name="viewport" content="width=device-width, initial-scale=1">'
    '<meta name="color-scheme" content="light dark"></head>'
    "<body><main><h1>Tankside</h1><p>{sentence}</p></main></body></html>\n"
)


async def _answer(
    send: Send, status: HTTPStatus, headers: Iterable[tuple[str, str]], body: bytes
) -> None:
    encoded = [(name.encode(), value.encode("latin-1")) for name, value in headers]
    await send(
        {
            "type": "http.response.start",
            "status": int(status),
            "headers": [*encoded, (b"content-length", str(len(body)).encode())],
        }
    )
    await send({"type": "http.response.body", "body": body})


def _with_headers(send: Send) -> Send:
    """Adds the security headers to every answer."""

    async def sent(message: Message) -> None:
        if message["type"] == "http.response.start":
            named = {name.lower() for name, _ in message["headers"]}
            more = [(k.encode(), v.encode()) for k, v in HEADERS.items() if k.encode() not in named]
            message = {**message, "headers": [*message["headers"], *more]}
        await send(message)

    return sent


def _capped(receive: Receive, largest: int) -> Receive:
    """Ends a request that sends more than it may, whatever length it announced."""
    total = 0

    async def received() -> Message:
        nonlocal total
        message = await receive()
        total += len(message.get("body", b""))
        return {"type": "http.disconnect"} if total > largest else message

    return received
