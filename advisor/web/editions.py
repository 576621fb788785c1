"""What was sent, for everybody: the editor's words, and the digests by place and grass."""

from __future__ import annotations

import datetime as dt
import re
from functools import partial
from itertools import groupby

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response

from advisor.base.dates import say_period
from advisor.mailing.outbox.run import WEEK, edition_name
from advisor.mailing.store.archive import (
    LEAST_READERS,
    PAGES_AT_ONCE,
    SentEdition,
    sent_edition,
    sent_editions,
    shown_html,
    shown_pages,
)
from advisor.render.digest.render import render
from advisor.web.pages import ANYONE, conditional, not_found
from advisor.web.served import served

MEDIA_TYPE = "text/html; charset=utf-8"
_WEEK = re.compile(r"([0-9]{4})-W([0-9]{2})")
_NUMBER = re.compile(r"[0-9]{1,9}")
_END = "</main>"


async def all_editions(request: Request) -> Response:
    """The editions that were sent, newest first."""
    at = served(request)
    found = await run_in_threadpool(sent_editions, at.store) if at.archive else []
    if not found:
        return not_found(request)
    weeks = [(edition_name(one.first_day), _period(one)) for one in found]
    return _kept(request, render("web/editions.html", identity=at.identity, weeks=weeks))


async def one_edition(request: Request) -> Response:
    """The editor's words and the list of its digests, a hundred at once."""
    at = served(request)
    found, part = await _edition(request), request.query_params.get("part", "1")
    if found is None or not _NUMBER.fullmatch(part) or part == "0":
        return not_found(request)
    number = int(part)
    skip = (number - 1) * PAGES_AT_ONCE
    pages, more = await run_in_threadpool(partial(shown_pages, at.store, found.id, skip))
    if number > 1 and not pages:
        return not_found(request)
    html = render(
        "web/edition.html",
        identity=at.identity,
        name=edition_name(found.first_day),
        period=_period(found),
        editor=found.editor.lines if number == 1 else (),
        places=[(place, list(of)) for place, of in groupby(pages, lambda one: one.page.place)],
        part=number,
        more=more,
        least=LEAST_READERS,
    )
    return _kept(request, html)


async def one_digest(request: Request) -> Response:
    """A digest as it went out, to those who had told no more than their place and grass."""
    found, number = await _edition(request), request.path_params["number"]
    if found is None or not _NUMBER.fullmatch(number):
        return not_found(request)
    html = await run_in_threadpool(shown_html, served(request).store, found.id, int(number))
    if html is None:
        return not_found(request)
    body, end, rest = html.rpartition(_END)
    back = render("web/back.html", name=edition_name(found.first_day), period=_period(found))
    return _kept(request, body + back + end + rest)


async def _edition(request: Request) -> SentEdition | None:
    at, match = served(request), _WEEK.fullmatch(request.path_params["week"])
    if match is None or not at.archive:
        return None
    try:
        first = dt.date.fromisocalendar(int(match[1]), int(match[2]), 1)
    except ValueError:
        return None
    return await run_in_threadpool(sent_edition, at.store, first)


def _period(found: SentEdition) -> str:
    return say_period(found.first_day, found.first_day + WEEK - dt.timedelta(days=1))


def _kept(request: Request, html: str) -> Response:
    return conditional(request, html.encode(), MEDIA_TYPE, ANYONE)
