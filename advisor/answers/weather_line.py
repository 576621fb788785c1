"""One line on the weather behind an answer: whose it is, how old, how long, what was filled."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

from advisor.cases.case import Case
from advisor.weather.gaps import fill_gaps, gap_report
from advisor.weather.table import WeatherTable


def weather_line(case: Case) -> str:
    """For instance `Weather: weather.csv, through today, 30 full years.`"""
    if case.weather is None or case.weather.first > case.on:
        basis = "monthly normals only, so dates are rough" if case.normals else "no record yet"
        return f"Weather: {basis}."
    known = case.weather.until(case.on)
    owners = {origin.attribution for origin in known.origins}
    notes = [note for note in known.notes if note not in owners]
    parts = list(dict.fromkeys((*_whose(known, case.on), _length(known), *notes)))
    gaps = gap_report(fill_gaps(known))
    if not gaps.startswith("no gaps"):
        parts.append(gaps)
    return f"Weather: {', '.join(parts)}."


def _whose(table: WeatherTable, on: dt.date) -> tuple[str, ...]:
    """Each record behind the table with its age."""
    file, name = table.source.file, Path(table.source.file).name
    if not table.origins:
        return table.source.attribution.replace(file, name), _age(table.age_days(on))
    said = []
    for origin in table.origins:
        if origin.forecast:
            made = (on - origin.last).days if origin.last else 0
            age = "issued today" if made <= 0 else _age(made)
        else:
            age = _age((on - min(origin.last, on)).days if origin.last else None)
        said.append(f"{origin.attribution.replace(file, name)}, {age}")
    return tuple(said)


def _age(days: int | None) -> str:
    if days is None:
        return "nothing observed yet"
    if days == 0:
        return "through today"
    return f"{days} day old" if days == 1 else f"{days} days old"


def _length(table: WeatherTable) -> str:
    years = len(table.years)
    if years == 0:
        return "less than a full year, so dates are rough or missing"
    return f"{years} full years" if years > 1 else "1 full year, so dates are rough"
