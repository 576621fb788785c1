"""Rain to come, from the forecast alone: other years cannot stand in for it."""

from __future__ import annotations

import datetime as dt

import numpy as np

from advisor.facts.fact import Fact
from advisor.weather.table import WeatherTable

NAME = "rain_forecast"
DAYS_AHEAD = 1
FRESH_DAYS = 1
"""A forecast issued earlier than yesterday says too little of tomorrow (chosen)."""


def rain_forecast(weather: WeatherTable | None, on: dt.date) -> Fact:
    """The most rain of a day, today or tomorrow, mm; unknown without a fresh forecast of it."""
    issued = weather.forecast_issued if weather is not None else None
    if weather is None or issued is None or weather.forecast_from is None:
        return Fact(NAME, None, "computed", None, "no forecast")
    if not 0 <= (on - issued).days <= FRESH_DAYS:
        return Fact(NAME, None, "computed", issued, "no forecast of these days")
    first = max(on, weather.forecast_from)
    wanted = np.datetime64(first), np.datetime64(on + dt.timedelta(days=DAYS_AHEAD))
    part = (weather.days >= wanted[0]) & (weather.days <= wanted[1])
    rain = weather.column("rain_mm")[part]
    known = rain[~np.isnan(rain)]
    if not len(known):
        return Fact(NAME, None, "computed", issued, "the forecast does not tell the rain")
    return Fact(NAME, float(known.max()), "computed", issued)
