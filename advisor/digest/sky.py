"""The week's water and the soil against other years, in sentences."""

from __future__ import annotations

import numpy as np

from advisor.base.units import System, show
from advisor.cases.case import Case
from advisor.cases.parts import Part
from advisor.facts.weather_facts import WeatherFacts

_A_YEAR = 365
WORTH_SAYING_C = 0.8
"""Under about 1.5 °F the soil is as usual, within what the model can tell."""


def water_lines(case: Case, parts: tuple[Part, ...]) -> tuple[str, ...]:
    """Rain of the last week and what is left in the root zone, by area where it differs."""
    units = case.site.unit_system
    weather = parts[0].decider.day.weather
    if weather is None:
        return ()
    said = []
    rain = _sum_last_week(weather)
    if rain is not None:
        said.append(f"Rain of the last seven days: {show(rain, 'mm', units)}.")
    shares: dict[str, list[str]] = {}
    for part in parts:
        left = part.decider.day.facts["soil_moisture_share"].value
        if isinstance(left, float):
            text = f"About {show(left, 'share', units)} of the root zone's water is left"
        else:
            hint = "" if case.site.water.irrigated is False else "; note waterings or feel the soil"
            text = f"The root zone's water is not known{hint}"
        shares.setdefault(text, []).append(part.label)
    for text, labels in shares.items():
        where = f" in the {' and '.join(labels)}" if len(shares) > 1 else ""
        said.append(f"{text}{where}.")
    return tuple(said)


def _sum_last_week(weather: WeatherFacts) -> float | None:
    axis = weather.axis
    rain = axis.columns["rain_mm"][0, max(axis.today - 6, 0) : axis.today + 1]
    total = float(rain.sum())
    return total if axis.observed > axis.today and total == total else None


def soil_departure(weather: WeatherFacts | None, units: System) -> str:
    """`the soil is 3 °F warmer than the middle of 29 years`; empty where that cannot be told.

    Each member of the axis goes on with a past year, so a year from today it stands on this
    calendar day of that year.
    """
    if weather is None or len(weather.axis.years) < 2:
        return ""
    soil = weather.series("soil_temperature_4in")
    at = weather.axis.today
    if at + _A_YEAR >= soil.shape[1] or np.isnan(soil[:, at]).any():
        return ""
    others = soil[:, at + _A_YEAR]
    others = others[~np.isnan(others)]
    if not len(others):
        return ""
    departure = float(np.quantile(soil[:, at], 0.5) - np.quantile(others, 0.5))
    if abs(departure) < WORTH_SAYING_C:
        return f"the soil is as warm as in the middle of {len(others)} years"
    way = "warmer" if departure > 0 else "cooler"
    by = show(abs(departure), "Δ°C", units)
    return f"the soil is {by} {way} than the middle of {len(others)} years"
