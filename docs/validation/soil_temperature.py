"""Fit and judge the soil temperature model on measured soil temperatures. Run by hand:

    TURF_USCRN_2020=FILE.csv.gz python docs/validation/soil_temperature.py

FILE holds daily rows of the US Climate Reference Network for 2020 (NOAA, public domain), columns
wban, lst_date, latitude, longitude, t_daily_max, t_daily_min, soil_temp_5_daily,
soil_temp_10_daily; empty = missing; °C. Writes soil_temperature.md beside this file.
"""

from __future__ import annotations

import csv
import datetime as dt
import gzip
import os
import sys
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from advisor.signals.running import FloatArray, exponential_mean, trailing_mean
from advisor.signals.soil_temperature import (
    COEFFICIENTS,
    FROZEN_DAMPING,
    SoilCoefficients,
    soil_temperature,
)

DATA_VARIABLE = "TURF_USCRN_2020"
FIRST_SCORED = 45  # 15 February: 45 days of spin-up
PAIR_DEGREES = 0.5  # stations nearer than this are one place and leave the fit together
FAST = np.arange(0.30, 0.71, 0.05).round(3)
SLOW = np.arange(0.04, 0.151, 0.01).round(3)
REFERENCE = {  # one exponential mean and a line, no damping
    10: SoilCoefficients(0.18, 0.18, 2.62, 1.0, 0.912, 1.0, float("nan")),
    5: SoilCoefficients(0.22, 0.22, 2.51, 1.0, 0.920, 1.0, float("nan")),
}
CROSSINGS = ((72, "down"), (65, "down"), (55, "down"), (55, "up"), (40, "up"))  # °F
NEIGHBOURS_F = np.arange(-2.0, 2.01, 0.5)
BOOTSTRAPS = 2000


@dataclass(frozen=True)
class Stations:
    """Arrays (stations, days) in °C, latitude and longitude (stations,), and the days."""

    ids: tuple[str, ...]
    place: FloatArray
    air_max: FloatArray
    air_min: FloatArray
    soil: dict[int, FloatArray]
    days: tuple[dt.date, ...]


@dataclass(frozen=True)
class Crossing:
    """Absolute errors (stations,) of a crossing date in days, NaN where it was not observed."""

    name: str
    errors: FloatArray
    missed: int
    nearby: FloatArray


def read(path: Path) -> Stations:
    """The stations of the file, in its order."""
    rows: dict[str, list[dict[str, str]]] = {}
    with gzip.open(path, "rt", encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            rows.setdefault(row["wban"], []).append(row)

    def column(name: str) -> FloatArray:
        return np.array([[float(r[name] or "nan") for r in part] for part in rows.values()])

    return Stations(
        ids=tuple(rows),
        place=np.stack([column("latitude")[:, 0], column("longitude")[:, 0]], axis=-1),
        air_max=column("t_daily_max"),
        air_min=column("t_daily_min"),
        soil={d: column(f"soil_temp_{d}_daily") for d in (5, 10)},
        days=tuple(dt.date.fromisoformat(r["lst_date"]) for r in next(iter(rows.values()))),
    )


def predict(stations: Stations, coefficients: SoilCoefficients) -> FloatArray:
    """The model as the program runs it."""
    return soil_temperature(stations.air_max, stations.air_min, coefficients=coefficients)


def fit(stations: Stations, depth: int, members: FloatArray) -> SoilCoefficients:
    """Least squares on days with soil above 2 °C, every station of the same weight by its error.

    The two lags come from a grid: the pair with the smallest mean of the stations' RMSE.
    """
    air = (stations.air_max + stations.air_min)[members] / 2.0
    measured = stations.soil[depth][members]
    means = {a: exponential_mean(air, a)[0] for a in (*FAST, *SLOW)}
    scored = np.arange(measured.shape[-1]) >= FIRST_SCORED
    scored = scored & ~np.isnan(measured) & ~np.isnan(air)
    warm = scored & (np.nan_to_num(measured) > 2.0)
    best: tuple[float, SoilCoefficients] | None = None
    for fast in FAST:
        for slow in SLOW:
            columns = np.stack([np.ones_like(air), means[fast] - means[slow]], axis=-1)
            wanted = measured - means[slow]
            weight = np.ones(len(members))
            for _ in range(4):
                root = np.sqrt(np.broadcast_to(weight[:, None], warm.shape)[warm])
                line, *_ = np.linalg.lstsq(
                    columns[warm] * root[:, None], wanted[warm] * root, rcond=None
                )
                miss = np.where(warm, columns @ line - wanted, np.nan)
                weight = 1.0 / np.sqrt(np.nanmean(miss**2, axis=-1))
            soil = columns @ line + means[slow]
            soil = np.where(soil >= 0.0, soil, FROZEN_DAMPING * soil)
            error = np.where(scored, soil - measured, np.nan)
            loss = float(np.mean(np.sqrt(np.nanmean(error**2, axis=-1))))
            if best is None or loss < best[0]:
                found = SoilCoefficients(
                    float(fast),
                    float(slow),
                    float(line[0]),
                    float(line[1]),
                    1.0,
                    FROZEN_DAMPING,
                    float("nan"),
                )
                best = (loss, found)
    assert best is not None
    return best[1]


def leave_one_place_out(stations: Stations, depth: int) -> FloatArray:
    """Each station as predicted by a fit without it and without its near neighbours."""
    out = np.full(stations.air_max.shape, np.nan)
    for k, here in enumerate(stations.place):
        far = np.abs(stations.place - here).max(axis=-1) > PAIR_DEGREES
        out[k] = predict(stations, fit(stations, depth, np.flatnonzero(far)))[k]
    return out


def leave_region_out(stations: Stations, depth: int) -> dict[str, tuple[int, float]]:
    """RMSE on all scored days of each region, fitted on the other two."""
    latitude, longitude = stations.place.T
    south = latitude < 37.0
    regions = {
        "South (below 37° N)": south,
        "Upper Midwest and plains": ~south & (longitude < -80.0),
        "Northeast": ~south & (longitude >= -80.0),
    }
    out = {}
    for name, inside in regions.items():
        model = predict(stations, fit(stations, depth, np.flatnonzero(~inside)))
        measured = np.where(inside[:, None], stations.soil[depth], np.nan)
        out[name] = (int(inside.sum()), rmse(model, measured)[0])
    return out


def rmse(model: FloatArray, measured: FloatArray) -> tuple[float, float, float]:
    """RMSE on all scored days, RMSE on those with soil above 2 °C, bias; °C."""
    error = (model - measured)[:, FIRST_SCORED:]
    warm = np.where(measured[:, FIRST_SCORED:] > 2.0, error, np.nan)
    return (
        float(np.sqrt(np.nanmean(error**2))),
        float(np.sqrt(np.nanmean(warm**2))),
        float(np.nanmean(error)),
    )


def crossing_days(
    soil: FloatArray, days: tuple[dt.date, ...], limit_c: float, way: str
) -> FloatArray:
    """First day the trailing 5-day mean is past the limit: down from 1 August, up 15 Feb - 30 June.

    NaN where the series does not start on the other side or never crosses.
    """
    year = days[0].year
    first, last = (
        (dt.date(year, 8, 1), dt.date(year, 12, 31))
        if way == "down"
        else (dt.date(year, 2, 15), dt.date(year, 6, 30))
    )
    low, high = days.index(first), days.index(last) + 1
    part = trailing_mean(soil, 5, min_known=3)[:, low:high]
    past = part < limit_c if way == "down" else part > limit_c
    started = ~past[:, 0] & ~np.isnan(part[:, 0])
    return np.where(started & past.any(axis=-1), low + past.argmax(axis=-1), np.nan)


def crossing_errors(
    stations: Stations, model: FloatArray, depth: int, limit_f: float, way: str
) -> tuple[FloatArray, int]:
    limit_c = (limit_f - 32.0) / 1.8
    seen = crossing_days(stations.soil[depth], stations.days, limit_c, way)
    guess = crossing_days(model, stations.days, limit_c, way)
    return np.abs(guess - seen), int((np.isnan(guess) & ~np.isnan(seen)).sum())


def crossings(stations: Stations, model: FloatArray, depth: int) -> list[Crossing]:
    """Errors at each limit, and their mean over limits within 2 °F of it, station by station."""
    out = []
    for limit, way in CROSSINGS:
        errors, missed = crossing_errors(stations, model, depth, limit, way)
        around = [
            crossing_errors(stations, model, depth, limit + step, way)[0] for step in NEIGHBOURS_F
        ]
        known = ~np.all(np.isnan(around), axis=0)
        nearby = np.full(errors.shape, np.nan)
        nearby[known] = np.nanmean(np.array(around)[:, known], axis=0)
        out.append(Crossing(f"{limit} °F {way}", errors, missed, nearby))
    return out


def interval(values: FloatArray, statistic: str) -> tuple[float, float]:
    """95 % bootstrap interval over stations of the mean or median of the known values."""
    known = values[~np.isnan(values)]
    picks = np.random.default_rng(1).choice(known, size=(BOOTSTRAPS, known.size))
    drawn = picks.mean(axis=-1) if statistic == "mean" else np.median(picks, axis=-1)
    low, high = np.quantile(drawn, [0.025, 0.975])
    return float(low), float(high)


def difference(model: Crossing, reference: Crossing, statistic: str) -> tuple[float, float]:
    """95 % bootstrap interval of model minus reference, the same stations drawn for both."""
    pairs = np.stack([model.errors, reference.errors], axis=-1)
    pairs = pairs[~np.isnan(pairs).any(axis=-1)]
    draws = np.random.default_rng(1).integers(0, len(pairs), size=(BOOTSTRAPS, len(pairs)))
    take = np.mean if statistic == "mean" else np.median
    both = take(pairs[draws], axis=1)
    low, high = np.quantile(both[:, 0] - both[:, 1], [0.025, 0.975])
    return float(low), float(high)


def pooled(parts: list[Crossing]) -> FloatArray:
    return np.concatenate([p.errors[~np.isnan(p.errors)] for p in parts])


def frozen_agreement(model: FloatArray, measured: FloatArray) -> tuple[int, int, int, int]:
    """Days both frozen, only the model, only the ground, neither; frozen = at or below 0 °C."""
    known = ~np.isnan(model) & ~np.isnan(measured)
    a, b = (model <= 0.0)[known], (measured <= 0.0)[known]
    return int((a & b).sum()), int((a & ~b).sum()), int((~a & b).sum()), int((~a & ~b).sum())


def _span(pair: tuple[float, float]) -> str:
    return f"{pair[0]:.1f} to {pair[1]:.1f}"


def section(stations: Stations, depth: int) -> list[str]:
    """The tables of one depth."""
    everyone = np.arange(len(stations.ids))
    found = fit(stations, depth, everyone)
    model, reference = leave_one_place_out(stations, depth), predict(stations, REFERENCE[depth])
    measured = stations.soil[depth]
    lines = [
        f"## {depth} cm",
        "",
        "Fitted on all stations: "
        f"`fast_share` {found.fast_share:.2f}, `slow_share` {found.slow_share:.2f}, "
        f"`intercept_c` {found.intercept_c:.3f}, `fast_weight` {found.fast_weight:.3f}.",
        "",
        "| °C | RMSE, all days | RMSE, soil above 2 °C | bias |",
        "|---|---|---|---|",
    ]
    for name, values in (
        ("model, place left out", model),
        ("model, fitted on all (flatters)", predict(stations, found)),
        ("reference", reference),
    ):
        lines.append(
            "| " + " | ".join([name, *(f"{x:.2f}" for x in rmse(values, measured))]) + " |"
        )
    lines += ["", "Region left out (RMSE, all days):", ""]
    for name, (count, error) in leave_region_out(stations, depth).items():
        lines.append(f"- {name}, {count} stations: {error:.2f} °C")
    lines += [
        "",
        "| crossing | stations | missed | model: mean error, days | median | reference: mean "
        "| median | difference of means | of medians | model, limits within 2 °F "
        "| reference, same |",
        "|---|---|---|---|---|---|---|---|---|---|---|",
    ]
    ours, theirs = crossings(stations, model, depth), crossings(stations, reference, depth)
    for a, b in zip(ours, theirs, strict=True):
        both = a.errors - b.errors
        known, other = a.errors[~np.isnan(a.errors)], b.errors[~np.isnan(b.errors)]
        lines.append(
            f"| {a.name} | {known.size} | {a.missed} / {b.missed} "
            f"| {known.mean():.1f} ({_span(interval(known, 'mean'))}) "
            f"| {np.median(known):.1f} ({_span(interval(known, 'median'))}) "
            f"| {other.mean():.1f} ({_span(interval(other, 'mean'))}) "
            f"| {np.median(other):.1f} ({_span(interval(other, 'median'))}) "
            f"| {np.nanmean(both):+.1f} ({_span(difference(a, b, 'mean'))}) "
            f"| {np.median(known) - np.median(other):+.1f} ({_span(difference(a, b, 'median'))}) "
            f"| {np.nanmean(a.nearby):.1f} | {np.nanmean(b.nearby):.1f} |"
        )
    mine, other = pooled(ours), pooled(theirs)
    lines += [
        "",
        f"All crossings together: model mean {mine.mean():.2f}, median {np.median(mine):.1f} days "
        f"({mine.size}); reference mean {other.mean():.2f}, median {np.median(other):.1f} days "
        f"({other.size}).",
        "",
    ]
    hit, false, unseen, neither = frozen_agreement(model, measured)
    lines += [
        f"Frozen (at or below 0 °C), station-days: model and ground {hit}, model only {false}, "
        f"ground only {unseen}, neither {neither}.",
        "",
    ]
    return lines


HEAD = """# Soil temperature: how good is the model?

Written by `docs/validation/soil_temperature.py`; do not edit by hand.

Data: {count} stations of the US Climate Reference Network east of 100° W, daily, 2020 (NOAA
National Centers for Environmental Information, public domain). Not part of this project: name a
file by the environment variable `{variable}` and run the script, or the test
`tests/published/test_soil_temperature.py`, which skips without it.

How it is judged:

- Each station is predicted by a fit that saw neither it nor any station within {pair}° of it.
- Scored from 15 February; the 45 days before are spin-up.
- Reference: one exponential mean of air temperature and a line (10 cm: share 0.18,
  2.62 + 0.912 E; 5 cm: share 0.22, 2.51 + 0.920 E), coefficients fixed, no damping. It was fitted
  on stations of the same network and year, so it is no stranger to these data.
- A crossing is the first day on which the trailing 5-day mean is past the limit (down: from
  1 August; up: 15 February to 30 June) at stations that start on the other side. Errors are
  absolute days, with 95 % bootstrap intervals over stations ({boots} draws, fixed seed); the
  difference is model minus reference on the same stations. "missed": model / reference did not
  cross though the soil did; these are not in the means.
- Limits within 2 °F: the same error averaged over nine limits 0.5 °F apart, which depends less on
  where one warm day falls.

How to read it: the model is closer in temperature. In dates it is far better at 40 °F in spring;
at the other limits the two cannot be told apart with so few stations, and single figures lean
either way. Both miss by weeks where a season is flat, so the program shows windows, not dates.

What it does not show: irrigated dense turf (these plots are not watered), other years, the arid
West (coefficients there have a stated error of 2.3 °C from a run on all 94 stations with half of
them in the fit), snow physics.

"""


def main() -> int:
    path = os.environ.get(DATA_VARIABLE)
    if not path:
        print(f"set {DATA_VARIABLE} to the data file (see the top of this script)", file=sys.stderr)
        return 2
    stations = read(Path(path))
    text = HEAD.format(
        count=len(stations.ids), variable=DATA_VARIABLE, pair=PAIR_DEGREES, boots=BOOTSTRAPS
    )
    for depth in (10, 5):
        text += "\n".join(section(stations, depth)) + "\n"
    text += "## Coefficients in use\n\n| climate | cm | fast share | slow share | intercept | "
    text += "fast weight | slope | damping | stated RMSE |\n|---|---|---|---|---|---|---|---|---|\n"
    for (climate, depth), c in COEFFICIENTS.items():
        text += (
            f"| {climate} | {depth} | {c.fast_share} | {c.slow_share} | {c.intercept_c} "
            f"| {c.fast_weight} | {c.slope} | {c.frozen_damping} | {c.rmse_c} |\n"
        )
    Path(__file__).with_suffix(".md").write_text(text, encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
