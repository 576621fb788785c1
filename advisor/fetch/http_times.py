"""What the headers of an answer say about time: how long it is good, when to ask again, the clock.

RFC 9110 (HTTP Semantics) and RFC 9111 (HTTP Caching). Times are compared with the server's own
Date where there is one, so that a wrong clock here does no harm.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Mapping
from email.utils import parsedate_to_datetime

_MAX_AGE = re.compile(r"(?:^|[,\s])max-age\s*=\s*\"?([0-9]{1,10})")
_STALE = re.compile(r"(?:^|[,\s])no-(?:store|cache)\b")


def http_date(text: str | None) -> dt.datetime | None:
    """An HTTP date as UTC; None if there is none or it cannot be read."""
    if not text:
        return None
    try:
        found = parsedate_to_datetime(text)
    except ValueError:
        return None
    return found.replace(tzinfo=dt.UTC) if found.tzinfo is None else found.astimezone(dt.UTC)


def fresh_seconds(headers: Mapping[str, str]) -> int | None:
    """For how many seconds an answer is good: max-age, else Expires; less its Age.

    None if it does not say. Never negative.
    """
    control = headers.get("cache-control", "").lower()
    if _STALE.search(control):
        return 0
    age = _whole(headers.get("age")) or 0
    if found := _MAX_AGE.search(control):
        return max(int(found[1]) - age, 0)
    expires, sent = http_date(headers.get("expires")), http_date(headers.get("date"))
    if "expires" in headers and expires is None:
        return 0  # RFC 9111, 5.3: an invalid date, above all "0", means expired
    if expires is None or sent is None:
        return None
    return max(int((expires - sent).total_seconds()) - age, 0)


def retry_after(headers: Mapping[str, str], now: dt.datetime) -> float | None:
    """Seconds that the service asks to wait; None if it does not say. Never negative."""
    given = headers.get("retry-after")
    seconds = _whole(given)
    if seconds is not None:
        return float(seconds)
    until = http_date(given)
    if until is None:
        return None
    return max((until - (http_date(headers.get("date")) or now)).total_seconds(), 0.0)


def clock_ahead(headers: Mapping[str, str], now: dt.datetime) -> float | None:
    """Seconds by which `now` is ahead of the server's clock; None if the answer has no date."""
    sent = http_date(headers.get("date"))
    if sent is None:
        return None
    return (now - sent).total_seconds() - (_whole(headers.get("age")) or 0)


def _whole(text: str | None) -> int | None:
    plain = (text or "").strip()
    return int(plain) if plain.isascii() and plain.isdigit() and len(plain) <= 10 else None
