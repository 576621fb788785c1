"""Expiry and pauses, with the examples of RFC 9110 and RFC 9111."""

from __future__ import annotations

import datetime as dt

import pytest

from advisor.fetch.http_times import clock_ahead, fresh_seconds, http_date, retry_after

NOW = dt.datetime(1999, 12, 31, 23, 57, 59, tzinfo=dt.UTC)


def test_http_dates():
    """RFC 9110, 5.6.7: the same moment in the preferred and the two obsolete forms."""
    moment = dt.datetime(1994, 11, 6, 8, 49, 37, tzinfo=dt.UTC)
    for text in (
        "Sun, 06 Nov 1994 08:49:37 GMT",
        "Sunday, 06-Nov-94 08:49:37 GMT",
        "Sun Nov  6 08:49:37 1994",
    ):
        assert http_date(text) == moment
    assert http_date("soon") is None
    assert http_date(None) is None


@pytest.mark.parametrize(
    ("headers", "seconds"),
    [
        ({}, None),
        ({"retry-after": "120"}, 120),  # RFC 9110, 10.2.3
        ({"retry-after": "Fri, 31 Dec 1999 23:59:59 GMT"}, 120),  # RFC 9110, 10.2.3
        ({"retry-after": "Thu, 30 Dec 1999 23:59:59 GMT"}, 0),
        ({"retry-after": "later"}, None),
        ({"retry-after": "-5"}, None),
        # The server's clock counts, not ours, which is a day off here.
        ({"retry-after": "Sat, 01 Jan 2000 23:59:59 GMT",
          "date": "Sat, 01 Jan 2000 23:59:50 GMT"}, 9),
    ],
)  # fmt: skip
def test_retry_after(headers, seconds):
    assert retry_after(headers, NOW) == seconds


@pytest.mark.parametrize(
    ("headers", "seconds"),
    [
        ({}, None),
        ({"cache-control": "public, max-age=3600"}, 3600),
        ({"cache-control": "public,max-age=3600, s-maxage=120", "age": "600"}, 3000),
        ({"cache-control": "max-age=60", "age": "61"}, 0),
        ({"cache-control": "no-cache, max-age=60"}, 0),
        ({"cache-control": "no-store"}, 0),
        # RFC 9111, 5.3: max-age counts over Expires; "0" and other invalid dates mean expired.
        ({"cache-control": "max-age=60", "expires": "0"}, 60),
        ({"expires": "0", "date": "Thu, 01 Dec 1994 15:00:00 GMT"}, 0),
        ({"expires": "Thu, 01 Dec 1994 16:00:00 GMT",
          "date": "Thu, 01 Dec 1994 15:00:00 GMT"}, 3600),
        ({"expires": "Thu, 01 Dec 1994 16:00:00 GMT"}, None),
    ],
)  # fmt: skip
def test_freshness(headers, seconds):
    assert fresh_seconds(headers) == seconds


def test_the_clock_is_compared_with_the_server_less_the_age_of_a_stored_answer():
    headers = {"date": "Fri, 31 Dec 1999 22:57:59 GMT", "age": "3000"}
    assert clock_ahead(headers, NOW) == 600
    assert clock_ahead({}, NOW) is None
