"""Around all pages: headers against harm, a bound on bodies, and a log without secrets.

An address here is a secret: whoever knows it can leave for a reader, or read the calendar. So the
log has the room that was asked for and nothing else of the address.
"""

from __future__ import annotations

from collections.abc import Callable

from starlette.exceptions import HTTPException
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from advisor.base.dates import now_utc

MOST_BYTES = 8_192
"""Of a request's body. A one-click request has about 200 (our choice)."""
HEADERS = (
    # Nothing is fetched, run or framed; styles stand in the pages and on their elements.
    (b"content-security-policy",
     b"default-src 'none'; style-src 'unsafe-inline'; form-action 'self'; base-uri 'none'; "
     b"frame-ancestors 'none'"),
    (b"referrer-policy", b"no-referrer"),
    (b"x-content-type-options", b"nosniff"),
    (b"x-robots-tag", b"noindex, nofollow"),
)  # fmt: skip
ROOMS = frozenset({"leave", "calendar", "editions"})


class Guarded:
    """The application `inside`, guarded. told: gets a line for each request."""

    def __init__(self, inside: ASGIApp, told: Callable[[str], None]) -> None:
        self._inside, self._told = inside, told

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self._inside(scope, receive, send)
            return
        taken = 0

        async def counted() -> Message:
            nonlocal taken
            message = await receive()
            taken += len(message.get("body", b""))
            if taken > MOST_BYTES:
                raise HTTPException(413)
            return message

        async def with_headers(message: Message) -> None:
            if message["type"] == "http.response.start":
                message = {**message, "headers": [*message.get("headers", ()), *HEADERS]}
                self._told(_line(scope, message["status"]))
            await send(message)

        await self._inside(scope, counted, with_headers)


def _line(scope: Scope, status: int) -> str:
    room = scope["path"].strip("/").partition("/")[0]
    # Whatever else was asked for may be an address with a slip in it.
    shown = room if room in ROOMS else "other"
    return f"{now_utc():%Y-%m-%dT%H:%M:%SZ} {scope['method'][:10]} {shown} {status}"
