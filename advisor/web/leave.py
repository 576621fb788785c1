"""The way out of a list: one click in a mail program (RFC 8058), or a page with one button."""

from __future__ import annotations

from functools import partial

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response

from advisor.base.dates import today
from advisor.mailing.use_cases.leaving import is_ours, leave
from advisor.web.pages import not_found, page
from advisor.web.served import served

#: What a body must hold, and the reason that is put down for it. RFC 8058 section 3.1.
WISHES = {
    ("List-Unsubscribe", "One-Click"): "left by one click in a mail program",
    ("leave", "yes"): "left by the page of the list",
}
_MOST_FIELDS = 20


async def way_out(request: Request) -> Response:
    """Both halves of one address."""
    return await (_go(request) if request.method == "POST" else _ask(request))


async def _ask(request: Request) -> Response:
    """The page that asks. Looking at it changes nothing: programs follow links in mails, too."""
    at = served(request)
    if not is_ours(at.identity, at.key, request.path_params["token"]):
        return not_found(request, "wrong_link.html")
    return page(request, "leave.html", amiss=False)


async def _go(request: Request) -> Response:
    """Leave, at once and without a question; again and again with the same answer."""
    at, token = served(request), request.path_params["token"]
    if not is_ours(at.identity, at.key, token):
        return not_found(request, "wrong_link.html")
    reason = await _wish(request)
    if reason is None:
        return page(request, "leave.html", status=400, amiss=True)
    todo = partial(leave, at.store, at.identity, at.key, token, reason, today())
    await run_in_threadpool(todo)
    return page(request, "left.html")


async def _wish(request: Request) -> str | None:
    """What the body asks for: a form, sent in either way (RFC 8058 section 3.2)."""
    async with request.form(max_files=0, max_fields=_MOST_FIELDS) as form:
        for field in form.multi_items():
            if field in WISHES:
                return WISHES[field]
    return None
