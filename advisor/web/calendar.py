"""A reader's calendar to subscribe to, behind a link that can be taken back."""

from __future__ import annotations

from functools import partial

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response

from advisor.mailing.store.calendar_links import calendar_behind
from advisor.web.pages import ASK_AGAIN, conditional, not_found
from advisor.web.served import served

MEDIA_TYPE = "text/calendar; charset=utf-8"  # RFC 5545 section 8.1


async def calendar(request: Request) -> Response:
    """The calendar of the last approved edition."""
    at = served(request)
    todo = partial(calendar_behind, at.store, at.identity, at.key, request.path_params["token"])
    raw = await run_in_threadpool(todo)
    if raw is None:
        return not_found(request, "wrong_calendar.html")
    return conditional(request, raw, MEDIA_TYPE, ASK_AGAIN)
