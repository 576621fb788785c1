"""Answers with a page, with what may be kept of them, and conditional ones."""

from __future__ import annotations

import hashlib
import re

from starlette.requests import Request
from starlette.responses import HTMLResponse, Response

from advisor.render.digest.render import render
from advisor.web.served import served

KEEP_NOTHING = "no-store"
#: Kept by the reader's own program alone, and asked for anew each time.
ASK_AGAIN = "private, no-cache"
ANYONE = "public, max-age=600"

_ENTITY_TAG = re.compile(r'(?:W/)?("[\x21\x23-\x7e\x80-\xff]*")')  # RFC 9110 section 8.8.3


def page(
    request: Request,
    template: str,
    *,
    status: int = 200,
    keep: str = KEEP_NOTHING,
    headers: dict[str, str] | None = None,
    **values: object,
) -> Response:
    """A page of the folder templates/web. keep: its Cache-Control."""
    html = render(f"web/{template}", identity=served(request).identity, **values)
    return HTMLResponse(html, status, {"Cache-Control": keep, **(headers or {})})


def not_found(request: Request, template: str = "nothing.html") -> Response:
    """The same page for whatever does not exist, was altered or was taken back."""
    return page(request, template, status=404)


def conditional(request: Request, body: bytes, media_type: str, keep: str) -> Response:
    """The body, or 304 where the asker has it already (RFC 9110 sections 13.1.2 and 15.4.5)."""
    tag = f'"{hashlib.sha256(body).hexdigest()[:32]}"'
    headers = {"ETag": tag, "Cache-Control": keep}
    asked = request.headers.getlist("if-none-match")
    if any(_names(value, tag) for value in asked):
        return Response(status_code=304, headers=headers)
    return Response(body, media_type=media_type, headers=headers)


def _names(value: str, tag: str) -> bool:
    """Whether a list of entity tags names this one, compared weakly (RFC 9110 section 8.8.3.2)."""
    return value.strip() == "*" or tag in _ENTITY_TAG.findall(value)
