"""The soil chart's lines: from °C and days to the points of a drawing, and the same in words."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterator

import numpy as np

from advisor.answers.words import listed, sentence
from advisor.base.dates import say_date
from advisor.base.record import Record
from advisor.base.units import System, convert, show
from advisor.render.yearly.soil_chart import SoilLimit, SoilYear, Values

WIDTH, HEIGHT = 480, 300
LEFT, RIGHT, TOP, BOTTOM = 36, 54, 8, 24
LABEL_GAP = 17
"""Least distance of two labels of limits."""


class Mark(Record, frozen=True):
    """A line or tick: where it lies, its label, and where the label lies."""

    at: float
    label: str
    label_at: float


class Drawing(Record, frozen=True):
    """Points in units of a WIDTH x HEIGHT drawing, as SVG path data; empty for what is unknown."""

    observed: str
    forecast: str
    middle: str
    spread: str
    readings: tuple[tuple[float, float], ...]
    today: float
    band: tuple[float, float] | None
    limits: tuple[Mark, ...]
    ticks: tuple[Mark, ...]
    months: tuple[Mark, ...]
    left: int = LEFT
    right: int = WIDTH - RIGHT
    top: int = TOP
    bottom: int = HEIGHT - BOTTOM


class _Scale:
    """Days across, degrees up, in whole tens of the keeper's degrees."""

    def __init__(self, soil: SoilYear, units: System) -> None:
        self.unit = "°F" if units == "us" else "°C"
        self.step = 20 if units == "us" else 10
        values = np.concatenate([soil.observed, soil.forecast, soil.low, soil.high])
        known = [float(v) for v in values[np.isfinite(values)]] or [0.0, 25.0]
        known += [limit.limit_c for limit in soil.limits]
        shown = [convert(value, "°C", self.unit) for value in known]
        self.low = math.floor(min(shown) / 10) * 10
        self.high = math.ceil((max(shown) + 1) / 10) * 10
        self.days = max(len(soil.observed) - 1, 1)

    def x(self, day: float) -> float:
        return round(LEFT + day / self.days * (WIDTH - LEFT - RIGHT), 1)

    def y(self, celsius: float) -> float:
        return self.y_shown(convert(float(celsius), "°C", self.unit))

    def y_shown(self, degrees: float) -> float:
        share = (degrees - self.low) / (self.high - self.low)
        return round(HEIGHT - BOTTOM - share * (HEIGHT - TOP - BOTTOM), 1)


def draw(soil: SoilYear, units: System) -> Drawing:
    """The drawing of a soil year in the keeper's degrees."""
    scale = _Scale(soil, units)
    ticks = range(math.ceil(scale.low / scale.step) * scale.step, scale.high + 1, scale.step)
    return Drawing(
        observed=_path(soil.observed, scale),
        forecast=_path(soil.forecast, scale),
        middle=_path(soil.middle, scale),
        spread=_spread(soil, scale),
        readings=tuple((scale.x((d - soil.first).days), scale.y(v)) for d, v in soil.readings),
        today=scale.x((soil.on - soil.first).days),
        band=(scale.y(soil.band[1]), scale.y(soil.band[0])) if soil.band else None,
        limits=tuple(_limits(soil.limits, scale, units)),
        ticks=tuple(Mark(scale.y_shown(t), str(t), scale.y_shown(t)) for t in ticks),
        months=tuple(_months(soil, scale)),
    )


def limit_lines(soil: SoilYear, units: System) -> tuple[str, ...]:
    """What each limit means: `78 °F: overseeding opens once the soil is under it`."""
    said = []
    for limit in soil.limits:
        degrees = show(limit.limit_c, "°C", units)
        parts = [
            f"{listed(titles)} {'waits' if len(titles) == 1 else 'wait'} for soil {way} it"
            for titles, way in ((limit.below, "under"), (limit.above, "at or over"))
            if titles
        ]
        said.append(f"{degrees}: {'; '.join(parts)}.")
    return tuple(said)


def soil_sentence(soil: SoilYear, units: System) -> str:
    """Where the soil is and where it goes, in one or two sentences."""
    now = np.concatenate([soil.observed, soil.forecast])
    known = now[np.isfinite(now)]
    today = (soil.on - soil.first).days
    here = soil.observed[today]
    said = ""
    if np.isfinite(here):
        said = f"The soil at 4 in (10 cm) is about {show(float(here), '°C', units)} today"
    elif len(known):
        said = "Today's soil temperature is not known"
    ahead = soil.middle[today:]
    if not np.isfinite(ahead).any() or soil.years == 0:
        return sentence(said)
    coldest = int(np.nanargmin(ahead))
    day = soil.first + dt.timedelta(days=today + coldest)
    low = show(float(ahead[coldest]), "°C", units)
    return sentence(f"{said}; in a usual year it goes down to {low} about {say_date(day)}")


def soil_rows(soil: SoilYear, units: System) -> Iterator[tuple[str, str, str]]:
    """The chart in words: the 1st and 15th of each month, what the soil was or will be, and how far
    8 years in 10 reach."""
    for index in range(len(soil.observed)):
        day = soil.first + dt.timedelta(days=index)
        if day.day not in (1, 15):
            continue
        known = soil.observed[index] if day <= soil.on else soil.forecast[index]
        if np.isfinite(known):
            how = "observed" if day <= soil.on else "forecast"
            yield say_date(day), show(float(known), "°C", units), how
        elif np.isfinite(soil.middle[index]):
            low, high = (show(float(v[index]), "°C", units) for v in (soil.low, soil.high))
            reach = f"8 years in 10: {low} to {high}" if soil.years > 1 else "expected"
            yield say_date(day), show(float(soil.middle[index]), "°C", units), reach


def _path(values: Values, scale: _Scale) -> str:
    """A polyline with a gap wherever a value is unknown."""
    parts, pen_down = [], False
    for day, value in enumerate(values):
        if np.isfinite(value):
            parts.append(f"{'L' if pen_down else 'M'}{scale.x(day)} {scale.y(value)}")
        pen_down = bool(np.isfinite(value))
    return "".join(parts)


def _spread(soil: SoilYear, scale: _Scale) -> str:
    known = [int(d) for d in np.flatnonzero(np.isfinite(soil.low) & np.isfinite(soil.high))]
    if soil.years < 2 or not known:
        return ""
    there = [f"{scale.x(day)} {scale.y(soil.high[day])}" for day in known]
    back = [f"{scale.x(day)} {scale.y(soil.low[day])}" for day in known[::-1]]
    return "M" + "L".join([*there, *back]) + "Z"


def _limits(limits: tuple[SoilLimit, ...], scale: _Scale, units: System) -> Iterator[Mark]:
    free = float(-LABEL_GAP)
    for limit in limits:
        at = scale.y(limit.limit_c)
        label_at = max(at, free + LABEL_GAP)
        free = label_at
        yield Mark(at, show(limit.limit_c, "°C", units), label_at)


def _months(soil: SoilYear, scale: _Scale) -> Iterator[Mark]:
    for index in range(len(soil.observed)):
        day = soil.first + dt.timedelta(days=index)
        if day.day == 1:
            at = scale.x(index)
            label = scale.x(index + 15)
            if label <= WIDTH - RIGHT:
                yield Mark(at, f"{day:%b}", label)
