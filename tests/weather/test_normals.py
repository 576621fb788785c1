"""A typical year from monthly normals: exact means, and close to what was measured."""

from __future__ import annotations

import datetime as dt
import gzip
import io
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from advisor.weather.gaps import MonthlyNormals, typical_days
from advisor.weather.read_normals import read_normals
from advisor.weather.smooth_year import daily_curve
from advisor.weather.table import Fill

DATA = Path(__file__).parents[1] / "data" / "weather"
LENGTHS = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31]
RECORDS = ["central_iowa", "champion_ne", "norfolk_uk"]


def record(name: str) -> pd.DataFrame:
    raw = gzip.decompress((DATA / f"{name}.csv.gz").read_bytes())

    return pd.read_csv(io.BytesIO(raw), parse_dates=["date"]).set_index("date")


def normals(frame: pd.DataFrame) -> MonthlyNormals:
    means = frame.groupby(frame.index.month).mean()
    years = frame.index.year.nunique()
    rain = frame["rain_mm"].groupby(frame.index.month).sum() / years
    return MonthlyNormals(
        "n.csv", tuple(means["air_max_c"]), tuple(means["air_min_c"]), tuple(rain), "us"
    )


@pytest.mark.parametrize("name", RECORDS)
@pytest.mark.parametrize("year", [2023, 2024])
def test_monthly_means_and_totals_come_back(name: str, year: int) -> None:
    given = normals(record(name))
    table = typical_days(given, dt.date(year, 1, 1), dt.date(year, 12, 31))
    month = table.days.astype("datetime64[M]").astype(int) % 12
    for index in range(12):
        here = month == index
        for column in ("air_max_c", "air_min_c"):
            mean = table.columns[column][here].mean()
            assert mean == pytest.approx(getattr(given, column)[index], abs=1e-6)
        assert table.columns["rain_mm"][here].sum() == pytest.approx(given.rain_mm[index])
    assert (table.columns["rain_mm"] >= 0).all()
    assert (table.columns["air_max_c"] > table.columns["air_min_c"]).all()


@pytest.mark.parametrize("name", RECORDS)
def test_the_curve_lies_nearer_the_measured_mean_year_than_straight_lines(name: str) -> None:
    """31 to 37 years of measured days; straight lines join the middles of the months."""
    frame = record(name)
    frame = frame[~((frame.index.month == 2) & (frame.index.day == 29))]
    high = frame["air_max_c"]
    measured = high.groupby([high.index.month, high.index.day]).mean().to_numpy()
    means = high.groupby(high.index.month).mean().to_numpy()
    ours = daily_curve(list(means), LENGTHS)
    middles = np.cumsum(LENGTHS) - np.array(LENGTHS) / 2
    lines = np.interp(np.arange(365) + 0.5, middles, means, period=365)

    def error(curve: np.ndarray[tuple[int, ...], np.dtype[np.float64]]) -> float:
        return float(np.sqrt(np.mean((curve - measured) ** 2)))

    assert error(ours) < error(lines)
    assert error(ours) < 1.5


def test_a_cosine_year_is_recovered_from_its_monthly_means() -> None:
    """Analytic: the daily values of T = 11 - 14 cos(2 pi (t - 20) / 365)."""
    t = np.arange(365) + 0.5
    truth = 11 - 14 * np.cos(2 * np.pi * (t - 20) / 365)
    ends = np.cumsum(LENGTHS)
    means = [truth[e - n : e].mean() for e, n in zip(ends, LENGTHS, strict=True)]
    assert np.abs(daily_curve(means, LENGTHS) - truth).max() < 0.15


def test_it_is_the_smoothest_curve_of_all_with_these_means() -> None:
    """The same problem as one dense system of Lagrange's conditions, solved without Fourier."""
    means = [-8, -5, 2, 9, 16, 21, 24, 22, 18, 11, 3, -5]
    bend = np.roll(np.eye(365), 1, axis=1) - 2 * np.eye(365) + np.roll(np.eye(365), -1, axis=1)
    average = np.zeros((12, 365))
    for month, (end, length) in enumerate(zip(np.cumsum(LENGTHS), LENGTHS, strict=True)):
        average[month, end - length : end] = 1 / length
    system = np.block([[bend.T @ bend, average.T], [average, np.zeros((12, 12))]])
    dense = np.linalg.solve(system, np.concatenate([np.zeros(365), means]))[:365]
    np.testing.assert_allclose(daily_curve(means, LENGTHS), dense, atol=1e-8)


def test_the_year_closes_over_new_year_and_has_no_corners() -> None:
    curve = daily_curve([-8, -5, 2, 9, 16, 21, 24, 22, 18, 11, 3, -5], LENGTHS)
    around = np.concatenate([curve, curve[:2]])
    assert np.abs(np.diff(around, 2)).max() < 0.02


def test_a_rainless_season_never_gives_negative_rain() -> None:
    wet = (120.0, 100.0, 80.0, 20.0, 0.0, 0.0, 0.0, 0.0, 5.0, 30.0, 90.0, 130.0)
    given = MonthlyNormals("n.csv", (20.0,) * 12, (10.0,) * 12, wet, "us")
    rain = typical_days(given, dt.date(2023, 1, 1), dt.date(2023, 12, 31)).columns["rain_mm"]
    assert (rain >= 0).all()
    assert rain.sum() == pytest.approx(sum(wet))


def test_rain_changes_smoothly_where_no_month_is_dry() -> None:
    given = normals(record("central_iowa"))
    rain = typical_days(given, dt.date(2023, 1, 1), dt.date(2023, 12, 31)).columns["rain_mm"]
    months = np.array(given.rain_mm) / LENGTHS
    assert np.abs(np.diff(rain)).max() < 0.1 * np.abs(np.diff(months)).max()


def test_every_cell_says_that_it_is_no_observation(tmp_path: Path) -> None:
    path = tmp_path / "normals.csv"
    rows = [f"{m},{40 + 5 * m if m < 7 else 115 - 5 * m},{20 + 2 * m}" for m in range(12, 0, -1)]
    path.write_text("# a nearby station\nmonth,max temp (F),min temp (F)\n" + "\n".join(rows))
    given = read_normals(path)
    assert given.air_max_c[0] == pytest.approx((45 - 32) / 1.8)
    table = typical_days(given, dt.date(2024, 1, 1), dt.date(2026, 12, 31))
    assert (table.filled["air_max_c"] == Fill.NORMALS).all()
    assert (table.filled["rain_mm"] == Fill.OBSERVED).all()
    assert np.isnan(table.columns["rain_mm"]).all()
    assert table.last is None
    assert table.years == ()
    assert table.source.attribution == "a nearby station"
    assert table.until(dt.date(2025, 6, 1)).end == dt.date(2025, 6, 1)
    assert not np.isnan(table.until(dt.date(2025, 6, 1)).columns["air_max_c"]).any()
