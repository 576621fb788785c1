"""The daily weather table: consecutive calendar days, unknown values as NaN, nothing to change."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from enum import IntEnum
from types import MappingProxyType
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from advisor.base.problems import BadInput, Place
from advisor.base.record import Record, field, force_setattr, replace
from advisor.weather.columns import BASIC, COLUMNS

Days = NDArray[np.datetime64]
Values = NDArray[np.float64]
Marks = NDArray[np.uint8]

#: A calendar year counts as a year of the record with at least this many days known (our choice).
DAYS_OF_A_YEAR = 330


class Fill(IntEnum):
    """How a cell came by its value. An unknown cell is NaN and marked `OBSERVED`."""

    OBSERVED = 0
    INTERPOLATED = 1
    OTHER_YEARS = 2
    NORMALS = 3


class Source(Record, frozen=True):
    """Where a record comes from. `attribution` is printed with every answer that uses it."""

    file: str
    kind: Literal["own file", "NCEI daily summaries", "USCRN daily", "monthly normals"]
    attribution: str


class Origin(Record, frozen=True):
    """One of the records that a table was joined from.

    last: its newest observed day, or the day a forecast was issued; None if nothing was observed.
    """

    attribution: str
    last: dt.date | None
    forecast: bool = False


class WeatherTable(Record, frozen=True, eq=False):
    """One row a day, without holes.

    days: datetime64[D], consecutive. columns: canonical name → float64 (days,), NaN = unknown.
    filled: canonical name → `Fill` code (days,). notes: what a reader of the file should know.
    wind_height_m: height of the wind gauge. forecast_from: first day that is forecast, if any, and
    forecast_issued: the day it was made. origins: the records it was joined from, if it was.
    Raises `ValueError` when days or columns do not fit together.
    """

    days: Days
    columns: Mapping[str, Values]
    source: Source
    filled: Mapping[str, Marks] = field(default_factory=dict)
    notes: tuple[str, ...] = ()
    wind_height_m: float = 2.0
    forecast_from: dt.date | None = None
    forecast_issued: dt.date | None = None
    origins: tuple[Origin, ...] = ()

    def __post_init__(self) -> None:
        days = np.array(self.days, dtype="datetime64[D]")
        if days.ndim != 1 or not len(days):
            raise ValueError("a weather table has at least one day")
        if np.any(np.diff(days).astype(np.int64) != 1):
            raise ValueError("days must be consecutive")
        unknown = np.full(len(days), np.nan)
        columns = {name: np.array(self.columns.get(name, unknown)) for name in BASIC}
        columns |= {name: np.array(values) for name, values in self.columns.items()}
        marks = {
            name: np.array(self.filled.get(name, np.zeros(len(days))), dtype=np.uint8)
            for name in columns
        }
        for name, values in columns.items():
            if name not in COLUMNS:
                raise ValueError(f"'{name}' is no weather column")
            if values.dtype != np.float64 or values.shape != days.shape:
                raise ValueError(f"column '{name}' needs {len(days)} float64 values")
            if np.any(np.isinf(values)) or marks[name].shape != days.shape:
                raise ValueError(f"column '{name}' holds infinity or marks of another length")
            values.setflags(write=False)
            marks[name].setflags(write=False)
        days.setflags(write=False)
        force_setattr(self, "days", days)
        force_setattr(self, "columns", MappingProxyType(columns))
        force_setattr(self, "filled", MappingProxyType(marks))

    def __len__(self) -> int:
        return len(self.days)

    def column(self, name: str) -> Values:
        """The column (days,), all NaN if the record lacks it. Raises `KeyError` for no column."""
        if name not in COLUMNS:
            raise KeyError(name)
        found = self.columns.get(name)
        return np.full(len(self), np.nan) if found is None else found

    @property
    def first(self) -> dt.date:
        """The first day of the table."""
        return _date(self.days[0])

    @property
    def end(self) -> dt.date:
        """The last day of the table, observed or not."""
        return _date(self.days[-1])

    @property
    def last(self) -> dt.date | None:
        """The last day with an observed temperature or rain; None if nothing was observed."""
        seen = np.flatnonzero(self.observed)
        return _date(self.days[seen[-1]]) if len(seen) else None

    @property
    def observed(self) -> NDArray[np.bool_]:
        """Whether a day (days,) has an observed temperature or rain amount."""
        known = np.zeros(len(self), dtype=bool)
        for name in BASIC:
            known |= ~np.isnan(self.columns[name]) & (self.filled[name] == Fill.OBSERVED)
        return known & ~self.forecast

    @property
    def forecast(self) -> NDArray[np.bool_]:
        """Whether a day (days,) is a forecast."""
        if self.forecast_from is None:
            return np.zeros(len(self), dtype=bool)
        later: NDArray[np.bool_] = self.days >= np.datetime64(self.forecast_from)
        return later

    @property
    def years(self) -> tuple[int, ...]:
        """Calendar years with at least `DAYS_OF_A_YEAR` days of both temperatures observed."""
        known = ~self.forecast
        for name in ("air_max_c", "air_min_c"):
            known &= ~np.isnan(self.columns[name]) & (self.filled[name] == Fill.OBSERVED)
        year = self.days.astype("datetime64[Y]").astype(np.int64) + 1970
        found, counts = np.unique(year[known], return_counts=True)
        return tuple(int(y) for y in found[counts >= DAYS_OF_A_YEAR])

    def index(self, day: dt.date) -> int | None:
        """Position of a day, or None outside the table."""
        at = (day - self.first).days
        return at if 0 <= at < len(self) else None

    def age_days(self, on: dt.date) -> int | None:
        """Days from the newest observation known on `on` to `on`; None if there is none."""
        seen = self.days[self.observed & (self.days <= np.datetime64(on))]
        return (on - _date(seen[-1])).days if len(seen) else None

    def until(self, day: dt.date) -> WeatherTable:
        """The table as it stood on `day`: later days are gone, but for a forecast made by then.

        Filled cells become unknown again, since their filling may have looked at later days;
        fill after hiding. Raises `BadInput` if no day is left.
        """
        keep = (day - self.first).days + 1
        if keep <= 0:
            raise BadInput.at(
                Place(self.source.file),
                f"the weather record starts on {self.first}, after {day}; "
                "ask about a later day or add earlier weather",
            )
        foreseen = self.forecast_issued is not None and self.forecast_issued <= day
        seen = self.days <= np.datetime64(day)
        if foreseen:
            keep, seen = len(self), seen | self.forecast
        columns = {
            name: np.where(seen & self._from_the_sky(name), values, np.nan)[:keep]
            for name, values in self.columns.items()
        }
        filled = {
            name: np.where(marks == Fill.NORMALS, marks, 0).astype(np.uint8)[:keep]
            for name, marks in self.filled.items()
        }
        known = replace(self, days=self.days[:keep], columns=columns, filled=filled)
        if foreseen:
            return known
        origins = tuple(origin for origin in self.origins if not origin.forecast)
        start = self.forecast_from
        left = start if start is not None and start <= day else None
        return replace(known, forecast_from=left, forecast_issued=None, origins=origins)

    def _from_the_sky(self, name: str) -> NDArray[np.bool_]:
        """Cells that were not filled from their neighbours in this record."""
        return np.isin(self.filled[name], (Fill.OBSERVED, Fill.NORMALS))


def _date(day: np.datetime64) -> dt.date:
    found = day.astype("datetime64[D]").item()
    assert isinstance(found, dt.date)
    return found
