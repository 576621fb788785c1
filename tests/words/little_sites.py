"""Invented weather, as short or as long as a test wants it."""

from __future__ import annotations

import datetime as dt
import math

from advisor.demo.invent import LAKE, Climate, invented_days

HEADER = "date,max temp (C),min temp (C),rain (mm)"


def weather_rows(first: str, last: str, climate: Climate = LAKE) -> str:
    """A daily record of invented weather."""
    days = invented_days(dt.date.fromisoformat(first), dt.date.fromisoformat(last), 1, climate)
    rows = (f"{d.date},{d.air_max_c},{d.air_min_c},{d.rain_mm}" for d in days)
    return "\n".join([HEADER, *rows]) + "\n"


def normals_rows() -> str:
    """Monthly normals of about the same place."""
    rows = ["month,max temp (C),min temp (C),rain (mm)"]
    for month in range(1, 13):
        mean = 10 - 13 * math.cos(2 * math.pi * (month - 0.7) / 12)
        rows.append(f"{month},{mean + 5:.1f},{mean - 5:.1f},80")
    return "\n".join(rows) + "\n"


def forecast_rows(issued: str, days: int = 7) -> str:
    """A forecast as it is kept when it was fetched."""
    first = dt.date.fromisoformat(issued)
    rows = [
        "# invented", f"# fetched: {issued}T12:00:00+00:00", f"# issued: {issued}T12:00:00+00:00",
        HEADER, *(f"{first + dt.timedelta(days=i)},24.0,12.0,1.0" for i in range(days)),
    ]  # fmt: skip
    return "\n".join(rows) + "\n"
