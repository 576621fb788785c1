"""Public holidays by name, and working days: Monday to Friday without them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from functools import cache, lru_cache
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from advisor.base.cache import keep_json, key_of, read_json
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
    library, what = _library(), (country, subdivision or "", str(year))
    if not library:
        return _asked(country, subdivision, year)
    name, key = f"holidays-{key_of(*what)[:16]}", key_of(*library, *what)
    kept = _read_names(read_json(name, key))
    if kept is None:
        kept = _asked(country, subdivision, year)
        keep_json(name, key, {day.isoformat(): said for day, said in kept.items()})
    return kept


def _read_names(found: Any) -> dict[dt.date, str] | None:
    """The holidays as they were kept; None for whatever else stands there."""
    if not isinstance(found, dict) or not all(isinstance(said, str) for said in found.values()):
        return None
    try:
        return {dt.date.fromisoformat(day): said for day, said in found.items()}
    except ValueError:
        return None


@cache
def _library() -> tuple[str, ...]:
    """The library's name with its version, without its long import; none if that is not told."""
    found = find_spec("holidays")
    if found is None or found.origin is None:
        return ()
    packages = Path(found.origin).parents[1]
    return tuple(sorted(path.name for path in packages.glob("holidays-*.dist-info")))


def _asked(country: str, subdivision: str | None, year: int) -> dict[dt.date, str]:
    # Only work that hangs on free or working days, and has not been done before, pays for this.
    import holidays

    for part in (subdivision, None):
        try:
            return dict(
                holidays.country_holidays(country, subdiv=part, years=year, language="en_US")
            )
        except NotImplementedError:
            continue
    return {}
