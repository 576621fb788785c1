"""The limits of site.yaml as a record, and what they say of a day."""

from __future__ import annotations

import datetime as dt

from advisor.base.strict_yaml import load_text
from advisor.records.check_site import check_site
from advisor.records.limits import (
    NO_LIMITS,
    Limits,
    helpers_on,
    is_away,
    not_to_be_had,
    spans_on,
)

TODAY = dt.date(2026, 9, 1)
SATURDAY, SUNDAY = dt.date(2026, 9, 12), dt.date(2026, 9, 13)
SITE = """\
format: 1
name: Lawn
place: {latitude: -43.5, longitude: 172.6}
stand: [{grass: dont_know}]
areas: [{name: lawn, size: 100 m2}]
tools: [{kind: aerator, have: rented, first_time: yes}]
"""


def limits(text: str) -> Limits:
    return check_site(load_text(f"{SITE}limits:\n{text}", "f"), None, TODAY).limits


def test_nothing_said_is_no_limit() -> None:
    assert check_site(load_text(SITE, "f"), None, TODAY).limits == NO_LIMITS
    assert limits("  work:\n  helpers:\n  away:\n") == NO_LIMITS
    assert spans_on(NO_LIMITS.work, SATURDAY) is None


def test_hours_of_days() -> None:
    """A date stands above its day of the week, that above every day; what is not named is never."""
    work = limits(
        "  work: [08:00 to 12:00, 16:00 to 19:00, Sunday 13:00 to 17:00, 2026-09-20 never]\n"
    ).work
    assert spans_on(work, SATURDAY) == ((480, 720), (960, 1140))
    assert spans_on(work, SUNDAY) == ((780, 1020),)
    assert spans_on(work, dt.date(2026, 9, 20)) == ()
    only = limits("  shop: [saturday 08:00 to 10:00, saturday 10:00 to 24:00]\n").shop
    assert spans_on(only, SATURDAY) == ((480, 1440),)
    assert spans_on(only, SUNDAY) == ()


def test_the_rest() -> None:
    found = limits(
        "  helpers: [saturday 08:00 to 12:00, 10:00 to 11:00]\n  hire: 100\n  lifting: no\n"
        "  machines: no\n  away: [2026-09-20 to 2026-09-22]\n"
        "  hired_on: [{kind: aerator, days: [2026-09-12]}]\n"
    )
    assert helpers_on(found.helpers, SATURDAY) == ((480, 720), (600, 660))
    assert helpers_on(found.helpers, SUNDAY) == ((600, 660),)
    assert (found.hire, found.lifting, found.machines) == (100, False, False)
    assert [is_away(found, SATURDAY + dt.timedelta(days=n)) for n in (7, 8, 10, 11)] == [
        False, True, True, False,
    ]  # fmt: skip
    assert not_to_be_had(found, SATURDAY) == frozenset()
    assert not_to_be_had(found, SUNDAY) == {"core_aerator"}
