"""What every request passes: host, origin, token, size; and what every answer carries.

The server is for one person on one machine. A page of somewhere else, open in the same browser, must not be able to
read from it or write to it: neither by a form sent across sites, nor by a name that is made to point at this machine.
"""

from __future__ import annotations

import ipaddress
import secrets
from collections.abc import Awaitable, Callable, MutableMapping
from typing import Any, Final
from urllib.parse import parse_qs, urlsplit

from groundroll.web.work import Answer, answer_json, error_content

Scope = MutableMapping[str, Any]
Message = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[Message]]
Send = Callable[[Message], Awaitable[None]]
Application = Callable[[Scope, Receive, Send], Awaitable[None]]

LARGEST_BODY: Final = 2_000_000
"""Largest body of a request. [bytes] Assumption of this project: twice the largest scenario file."""

WRITES: Final = ("POST", "PUT", "DELETE", "PATCH")
COOKIE: Final = "groundroll_token"

CONTENT_POLICY: Final = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; font-src 'self'; "
    "connect-src 'self'; manifest-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)

HEADERS: Final = (
    (b"content-security-policy", CONTENT_POLICY.encode()),
    (b"x-content-type-options", b"nosniff"),
    (b"referrer-policy", b"no-referrer"),
    (b"cross-origin-opener-policy", b"same-origin"),
    (b"cross-origin-resource-policy", b"same-origin"),
    (b"permissions-policy", b"camera=(), geolocation=(), microphone=()"),
)


def is_loopback(host: str) -> bool:
    """Return whether an address reaches this machine only.

    Examples
    --------
    >>> [is_loopback(one) for one in ("127.0.0.1", "localhost", "::1", "0.0.0.0", "192.0.2.7")]
    [True, True, True, False, False]
    """
    if host == "localhost":
        return True
    try:
        return ipaddress.ip_address(host.strip("[]")).is_loopback
    except ValueError:
        return False


def host_of(authority: str) -> str:
    """Return the host in a Host header, without the port, lower case.

    Examples
    --------
    >>> host_of("LOCALHOST:8642"), host_of("[::1]:8642"), host_of("127.0.0.1")
    ('localhost', '::1', '127.0.0.1')
    """
    try:
        return (urlsplit(f"//{authority}").hostname or "").lower()
    except ValueError:
        return ""


class Guard:
    """Refuses what does not come from the page itself, and puts the policies on every answer."""

    def __init__(self, application: Application, *, hosts: frozenset[str], token: str | None) -> None:
        self._application = application
        self._hosts = hosts
        self._token = token

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] == "lifespan":
            await self._application(scope, receive, send)
            return
        if scope["type"] != "http":
            return  # no web sockets here
        headers = {key.decode("latin-1").lower(): value.decode("latin-1") for key, value in scope["headers"]}

        async def send_guarded(message: Message) -> None:
            if message["type"] == "http.response.start":
                message["headers"] = [*message.get("headers", []), *HEADERS, *_caching(scope["path"])]
            await send(message)

        refusal = self._refusal(scope, headers)
        if refusal is not None:
            await _reply(refusal, send_guarded)
            return
        if self._enters(scope):
            await _let_in(scope, self._token or "", send_guarded)
            return
        body = await _body(headers, receive)
        if isinstance(body, Answer):
            await _reply(body, send_guarded)
            return
        await self._application(scope, _replay(body, receive), send_guarded)

    def _refusal(self, scope: Scope, headers: dict[str, str]) -> Answer | None:
        host = headers.get("host", "")
        if host_of(host) not in self._hosts:
            return _refused(421, "host", "This server does not answer under that name.")
        origin = headers.get("origin")
        if origin is not None and origin != f"{scope.get('scheme', 'http')}://{host}":
            return _refused(403, "origin", "A page of another origin may not use this server.")
        site = headers.get("sec-fetch-site", "same-origin")
        if scope["method"] in WRITES:
            if site not in ("same-origin", "none"):
                return _refused(403, "origin", "Another site may not write here.")
            kind = headers.get("content-type", "").partition(";")[0].strip().lower()
            if scope["method"] != "DELETE" and kind != "application/json":
                return _refused(415, "content-type", "Send application/json.")
        elif site == "cross-site" and headers.get("sec-fetch-mode", "navigate") != "navigate":
            return _refused(403, "origin", "Another site may not read here.")
        if self._token is not None and not self._enters(scope) and not self._has_token(headers):
            return _refused(
                401, "token", "This server asks for a token: open the address that it printed at its start."
            )
        return None

    def _enters(self, scope: Scope) -> bool:
        """Return whether the request brings the right token in its address, once, to be kept in a cookie."""
        if self._token is None or scope["method"] != "GET" or scope["path"] != "/":
            return False
        given = parse_qs(scope.get("query_string", b"").decode("latin-1")).get("token", [""])[0]
        return _same(given, self._token)

    def _has_token(self, headers: dict[str, str]) -> bool:
        assert self._token is not None
        word, _, given = headers.get("authorization", "").partition(" ")
        if word.lower() == "bearer" and _same(given.strip(), self._token):
            return True
        for one in headers.get("cookie", "").split(";"):
            name, _, value = one.strip().partition("=")
            if name == COOKIE and _same(value, self._token):
                return True
        return False


def _same(given: str, token: str) -> bool:
    return secrets.compare_digest(given.encode("utf-8", "replace"), token.encode())


def _refused(status: int, kind: str, text: str) -> Answer:
    return answer_json(error_content(kind, text), status)


def _caching(path: str) -> list[tuple[bytes, bytes]]:
    # Built files have a digest in their name; everything else may change at any time.
    if path.startswith("/assets/"):
        return [(b"cache-control", b"public, max-age=31536000, immutable")]
    return [(b"cache-control", b"no-store")]


async def _body(headers: dict[str, str], receive: Receive) -> bytes | Answer:
    """Return the whole body, or the refusal of one that is too large."""
    too_large = _refused(413, "size", f"The request is larger than {LARGEST_BODY // 1_000_000} MB.")
    length = headers.get("content-length", "0")
    if not length.isdecimal() or int(length[:20]) > LARGEST_BODY:
        return too_large
    parts, size = [], 0
    while True:
        message = await receive()
        if message["type"] == "http.disconnect":
            return b""
        part = message.get("body", b"")
        size += len(part)
        if size > LARGEST_BODY:
            return too_large
        parts.append(part)
        if not message.get("more_body", False):
            return b"".join(parts)


def _replay(body: bytes, receive: Receive) -> Receive:
    given = False

    async def replay() -> Message:
        nonlocal given
        if given:
            return await receive()
        given = True
        return {"type": "http.request", "body": body, "more_body": False}

    return replay


async def _reply(answer: Answer, send: Send) -> None:
    headers = [
        (b"content-type", answer.media_type.encode()),
        (b"content-length", str(len(answer.body)).encode()),
        (b"connection", b"close"),  # a body not read to its end would be taken for the next request
    ]
    await send({"type": "http.response.start", "status": answer.status, "headers": headers})
    await send({"type": "http.response.body", "body": answer.body})


async def _let_in(scope: Scope, token: str, send: Send) -> None:
    secure = "; Secure" if scope.get("scheme") == "https" else ""
    cookie = f"{COOKIE}={token}; HttpOnly; SameSite=Strict; Path=/{secure}"
    headers = [(b"location", b"/"), (b"set-cookie", cookie.encode()), (b"content-length", b"0")]
    await send({"type": "http.response.start", "status": 303, "headers": headers})
    await send({"type": "http.response.body", "body": b""})
