"""The application: which address leads to what, and what is said when something is amiss."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from typing import Any

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from advisor.mailing.store.store import UNAVAILABLE
from advisor.web.calendar import calendar
from advisor.web.editions import all_editions, one_digest, one_edition
from advisor.web.guarded import Guarded
from advisor.web.leave import way_out
from advisor.web.pages import not_found, page
from advisor.web.served import Served

Handler = Callable[[Request, Exception], Awaitable[Response]]

_ROUTES = (
    Route("/leave/{token}", way_out, methods=["GET", "POST"]),
    Route("/calendar/{token}.ics", calendar, methods=["GET"]),
    Route("/editions", all_editions, methods=["GET"]),
    Route("/editions/{week}", one_edition, methods=["GET"]),
    Route("/editions/{week}/{number}", one_digest, methods=["GET"]),
)
_LATER = "60"
"""Seconds after which a busy store is asked again."""


def make_app(of: Served, told: Callable[[str], None] = lambda line: None) -> Guarded:
    """The pages of a list as an ASGI application. told: gets a line for each request."""
    handlers: dict[Any, Handler] = {HTTPException: _refused, Exception: _fault}
    handlers |= dict.fromkeys(UNAVAILABLE, _busy)
    inside = Starlette(routes=_ROUTES, exception_handlers=handlers)
    # An address with a slash too many is no address; a redirect would carry the token along.
    inside.router.redirect_slashes = False
    inside.state.served = of
    return Guarded(inside, told)


async def _refused(request: Request, error: Exception) -> Response:
    assert isinstance(error, HTTPException)
    if error.status_code == 404:
        return not_found(request)
    headers = dict(error.headers or {})
    return page(request, "refused.html", status=error.status_code, headers=headers)


async def _busy(request: Request, error: Exception) -> Response:
    return page(request, "busy.html", status=503, headers={"Retry-After": _LATER})


async def _fault(request: Request, error: Exception) -> Response:
    return page(request, "busy.html", status=500)
