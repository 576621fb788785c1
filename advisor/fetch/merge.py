"""New data beside old: what may replace what."""

from __future__ import annotations

import datetime as dt
from zoneinfo import ZoneInfo

import numpy as np

from advisor.base.record import replace
from advisor.fetch.failure import FetchFailed
from advisor.weather.join import overlay
from advisor.weather.kept_weather import Fetched
from advisor.weather.table import WeatherTable

#: An answer with a smaller share of the days that were known before is taken for half of one. An
#: archive does withdraw days, but not one in ten (our choice).
_ENOUGH = 0.9


def merge_history(old: WeatherTable, new: WeatherTable, first: dt.date) -> WeatherTable:
    """The new days, and the old ones before them. first: the day from which was asked.

    Raises `FetchFailed` if the new ones are far fewer than those known since then.
    """
    had, has = _known_between(old, first, old.end), _known_between(new, first, old.end)
    if has < _ENOUGH * had:
        host = new.source.file
        what = f"{host}: {has:,} days came of the {had:,} that are already known since {first}"
        raise FetchFailed(f"{what}; taken for half an answer")
    before = part_of(old, old.first, new.first - dt.timedelta(days=1))
    return new if before is None else overlay(new, before)


def carry_today(new: WeatherTable, old: Fetched, today: dt.date, zone: ZoneInfo) -> WeatherTable:
    """The new forecast, with today's values from one issued earlier today if it has none.

    A forecast made in the afternoon no longer tells this morning's low.
    """
    if new.first <= today or old.issued.astimezone(zone).date() != today:
        return new
    gap = part_of(old.table, today, new.first - dt.timedelta(days=1))
    return new if gap is None else overlay(new, gap)


def part_of(table: WeatherTable, first: dt.date, last: dt.date) -> WeatherTable | None:
    """The days from first to last; None if the table has none of them."""
    chosen = (table.days >= np.datetime64(first)) & (table.days <= np.datetime64(last))
    if not chosen.any():
        return None
    columns = {name: values[chosen] for name, values in table.columns.items()}
    return replace(table, days=table.days[chosen], columns=columns, filled={})


def _known_between(table: WeatherTable, first: dt.date, last: dt.date) -> int:
    part = part_of(table, first, last)
    if part is None:
        return 0
    known = ~np.isnan(part.columns["air_max_c"]) & ~np.isnan(part.columns["air_min_c"])
    return int(np.count_nonzero(known))
