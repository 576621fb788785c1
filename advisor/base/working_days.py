"""Working days: Monday to Friday without public holidays."""

from __future__ import annotations

import datetime as dt
from functools import lru_cache

from advisor.base.dates import ONE_DAY

_SATURDAY = 5


def is_working_day(day: dt.date, country: str | None, subdivision: str | None = None) -> bool:
    """Whether a day is Monday to Friday and no public holiday of the country, where it is known.

    country: ISO 3166-1 code; an unknown one, or None, has no holidays here.
    """
    if day.weekday() >= _SATURDAY:
        return False
    return day not in _holidays(country, subdivision, day.year)


def working_days_before(
    day: dt.date, count: int, country: str | None, subdivision: str | None = None
) -> dt.date:
    """The day that lies `count` working days before a day."""
    while count > 0:
        day -= ONE_DAY
        if is_working_day(day, country, subdivision):
            count -= 1
    return day


@lru_cache(maxsize=64)
def _holidays(country: str | None, subdivision: str | None, year: int) -> frozenset[dt.date]:
    if country is None:
        return frozenset()
    # Only a digest with work that needs notice pays for this import.
    import holidays

    for part in (subdivision, None):
        try:
            return frozenset(holidays.country_holidays(country, subdiv=part, years=year))
        except NotImplementedError:
            continue
    return frozenset()
