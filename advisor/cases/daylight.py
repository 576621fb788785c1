"""Sunrise and sunset on the lawn's own clock."""

from __future__ import annotations

import datetime as dt
from zoneinfo import ZoneInfo


def daylight(
    date: dt.date, latitude: float, longitude: float, time_zone: str | None
) -> tuple[int, int]:
    """Sunrise and sunset, minutes after midnight, in the zone.

    Where it is not known it is the hour of the longitude, one for each 15 degrees (nautical time).
    Where the sun does not set, or does not rise: the whole day, or an empty one.
    """
    from astral import Observer
    from astral.sun import elevation, sunrise, sunset

    observer = Observer(latitude, longitude)
    by_longitude = dt.timezone(dt.timedelta(hours=round(longitude / 15)))
    zone = ZoneInfo(time_zone) if time_zone else by_longitude
    try:
        return tuple(  # type: ignore[return-value]
            _minutes(event(observer, date, tzinfo=zone), date) for event in (sunrise, sunset)
        )
    except ValueError:
        noon = dt.datetime.combine(date, dt.time(12), zone)
        return (0, 24 * 60) if elevation(observer, noon) > 0 else (12 * 60, 12 * 60)


def _minutes(moment: dt.datetime, date: dt.date) -> int:
    start = dt.datetime.combine(date, dt.time(), moment.tzinfo)
    return round((moment.replace(tzinfo=None) - start.replace(tzinfo=None)).total_seconds() / 60)
