"""Hardly any weather, in all its combinations, through every command: a refusal at the most."""

from __future__ import annotations

import datetime as dt
from itertools import product
from pathlib import Path

import pytest
from every_command import ON, run, site_commands
from little_sites import forecast_rows, normals_rows, weather_rows

SITE = """\
format: 1
name: Little weather
place: {latitude: 41.2, longitude: -81.9, elevation: 250 m, country: US, subdivision: OH}
stand: [{grass: kentucky_bluegrass}]
areas: [{name: lawn, size: 300 m2, sun: full, slope: flat}]
soil: {texture: loam}
water: {irrigated: true, can_water_seed: true, zones: [{name: one, precipitation_rate: 1 in/h}]}
"""
RECORDS = {"none": None, "a day": "2026-09-04", "some days": "2026-08-30", "old days": "old"}
FORECASTS = {"none": None, "fresh": ON, "of last month": "2026-08-10"}
NO_WEATHER = (
    "without a weather record", "no weather", "no whole season of a window",
    "nothing has been fetched yet", "no temperatures to judge",
)  # fmt: skip
"""How a command says that it cannot do without more."""


@pytest.mark.slow
@pytest.mark.sample(5)
@pytest.mark.parametrize(
    ("normals", "record", "forecast"), list(product((True, False), RECORDS, FORECASTS))
)
def test_little_weather(normals: bool, record: str, forecast: str, tmp_path: Path) -> None:
    (tmp_path / "site.yaml").write_text(SITE)
    rows = ("id,date,kind,what,value,area,note", f"r1,{ON},observation,thatch_depth,0.5 in,,", "")
    (tmp_path / "journal.csv").write_text("\n".join(rows))
    if normals:
        (tmp_path / "normals.csv").write_text(normals_rows())
    first, issued = RECORDS[record], FORECASTS[forecast]
    if first is not None:
        span = ("2024-03-01", "2024-03-09") if first == "old" else (first, "2026-09-04")
        (tmp_path / "weather.csv").write_text(weather_rows(*span))
    if issued is not None:
        (tmp_path / "fetched").mkdir()
        (tmp_path / "fetched" / "forecast.csv").write_text(forecast_rows(issued))
    for name, more in site_commands():
        ran = run(tmp_path, name, more)
        assert ran.status in (0, 2), (name, ran.refused)
        assert ran.status == 0 or any(word in ran.refused for word in NO_WEATHER), ran.refused


def test_the_forecast_of_last_month_is_over() -> None:
    """So that the combinations above hold a day asked about that no file tells of."""
    last = forecast_rows("2026-08-10").strip().rpartition("\n")[2][:10]
    assert dt.date.fromisoformat(last) < dt.date.fromisoformat(ON)
