"""Public holidays by name, and working days: Monday to Friday without them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from functools import lru_cache

from advisor.base.dates import ONE_DAY

_SATURDAY = 5


def is_working_day(day: dt.date, country: str | None, subdivision: str | None = None) -> bool:
    """Whether a day is Monday to Friday and no public holiday of the country, where it is known."""
    if day.weekday() >= _SATURDAY:
        return False
    return day not in holiday_names(country, subdivision, day.year)


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
def holiday_names(country: str | None, subdivision: str | None, year: int) -> Mapping[dt.date, str]:
    """The public holidays of a calendar year, in English where the library has that.

    country: ISO 3166-1 code; an unknown one, or None, has no holidays here. An unknown subdivision
    has those of its country.
    """
    if country is None:
        return {}
    # Only work that hangs on free or working days pays for this import.
    import holidays

    for part in (subdivision, None):
        try:
            return dict(
                holidays.country_holidays(country, subdiv=part, years=year, language="en_US")
            )
        except NotImplementedError:
            continue
    return {}
