"""The year for other programs: stable keys, plain values, ISO dates, temperatures in °C."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from typing import Any

import numpy as np

from advisor.advice.gates import gate_rules
from advisor.answers.to_json import head_json, spread_json
from advisor.decide.windows.tracks import Chances
from advisor.facts.weather_facts import COLD_SOIL_C
from advisor.planning.kept_json import kept_plan_json
from advisor.render.yearly.growing_days import FROST_C
from advisor.render.yearly.place_dates import PlaceDate
from advisor.render.yearly.year import Year, YearWindow
from advisor.signals.freeze import FreezeDates

FORMAT = 1
_NAMES = ("p10", "p50", "p90")


def year_json(year: Year) -> dict[str, Any]:
    """The year as plain data.

    `by_week` lists the weeks with a chance, by ISO week and its Monday; a week left out has none,
    or none that is known, where `unknown` counts all years.
    `by_day` lists the days on which the chance of a day changes, from the first of them on.
    """
    return {
        **head_json(year.advice, FORMAT),
        "from": year.weeks[0].isoformat(),
        "to": (year.weeks[-1] + dt.timedelta(days=6)).isoformat(),
        "basis": year.basis or "none",
        "years": year.years,
        "rough": year.rough,
        "windows": [_window(window, year) for window in year.windows],
        "plan": kept_plan_json(year.advice),
        "waits": list(_waits(year)),
        "place": [_place_date(date) for date in year.dates],
        "growing_days": {
            "left": _counts(year.growing.left, COLD_SOIL_C),
            "frost_free": _counts(year.growing.frost_free, FROST_C),
        },
        "weather": year.weather,
        "law": f"{year.forbidden} {year.law}".strip(),
    }


def _waits(year: Year) -> Iterator[dict[str, Any]]:
    """What jobs wait for, whatever the day, and how many days ahead it is to be seen to."""
    book, place = year.case.book, year.case.site.place
    for operation in book.operations.values():
        for rule in gate_rules(operation, book):
            yield {
                "operation": operation.id,
                "gate": rule.id,
                "ask": rule.asked(place.country),
                "days": rule.days_ahead(place.country, place.subdivision),
                "working_days": rule.working_days,
            }


def _window(window: YearWindow, year: Year) -> dict[str, Any]:
    found, opening = window.found, window.found.opening
    facts = year.facts
    assert facts is not None
    return {
        "operation": window.operation.id,
        "id": found.track.window.id,
        "title": found.track.window.title,
        "area": window.area,
        "grass": window.grass,
        "season": found.track.season,
        "opens": spread_json(window.opens) if window.opens else None,
        "closes": spread_json(window.closes) if window.closes else None,
        "by_week": [
            {"week": f"{day:%G-W%V}", "from": day.isoformat(), "chance": round(float(chance), 3)}
            for day, chance in zip(year.weeks, found.weeks, strict=True)
            if chance > 0
        ],
        "by_day": [
            {"from": facts.axis.date(index).isoformat(), "chance": round(float(chance), 3)}
            for index, chance in _steps(found.days)
        ],
        "years": opening.years if opening else 0,
        "without": opening.never if opening else found.known,
        "unknown": facts.axis.shape[0] - found.known,
        "rough": window.rough,
    }


def _steps(days: Chances) -> Iterator[tuple[int, float]]:
    """Indices at which the chance changes, with the new chance; nothing where it is not known."""
    before = 0.0
    for index in np.flatnonzero(np.diff(days, prepend=0.0)):
        if days[index] == days[index] and days[index] != before:
            before = float(days[index])
            yield int(index), before


def _place_date(date: PlaceDate) -> dict[str, Any]:
    intervals = date.intervals
    return {
        "event": date.kind,
        "limit_c": round(date.limit_c, 1),
        "by": dict(zip(_NAMES, (_iso(day) for day in date.by), strict=True)),
        "interval_90": None
        if intervals is None
        else {n: [_iso(a), _iso(b)] for n, (a, b) in zip(_NAMES, intervals, strict=True)},
        "this_season": _iso(date.this_season),
        "seen": [_iso(day) for day in date.seen] if date.found.method == "none" else None,
        "last_seen": _iso(date.seen[-1] if date.seen else None),
        "years": date.found.seasons,
        "without": date.found.without,
        "from_the_start": date.before if date.kind.startswith("soil") else 0,
        "method": date.found.method,
    }


def _counts(found: FreezeDates | None, limit: float) -> dict[str, Any] | None:
    if found is None or found.method == "none":
        return None
    intervals = found.intervals
    return {
        "limit_c": round(limit, 1),
        **{name: _days(value) for name, value in zip(_NAMES, found.quantiles, strict=True)},
        "interval_90": None
        if intervals is None
        else {n: [_days(a), _days(b)] for n, (a, b) in zip(_NAMES, intervals, strict=True)},
        "years": found.seasons,
        "method": found.method,
    }


def _days(value: float) -> int | None:
    return round(value) if np.isfinite(value) else None


def _iso(day: dt.date | None) -> str | None:
    return day.isoformat() if day else None
