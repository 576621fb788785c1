"""What cannot be true in a daily weather record, and what is odd enough to mention.

Limits of single values stand in `columns.py` with their evidence.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from advisor.base.problems import Place, Problems
from advisor.base.record import Record, replace
from advisor.weather.columns import COLUMNS, REQUIRED
from advisor.weather.offences import report
from advisor.weather.table import DAYS_OF_A_YEAR, Days, Values

#: A year whose warmest day is colder than this is taken to have no lawn (our choice). Any air
#: temperature on Earth in °C, read as °F, ends up below it: 56.7 °F is 13.7 °C.
WARMEST_DAY_C = 15.0
#: Some of the wettest places on Earth get 11.9 m of rain in a mean year (from memory).
WETTEST_YEAR_MM = 11_900.0
#: A day that differs from the days before and after by more, both in the same direction, is odd.
#: Derived: the largest such spike in 99 station-years of Nebraska, Iowa and Norfolk is 18.4 °C.
SPIKE_C = 20.0
#: Archives round temperatures to a tenth of a degree, and once more when they change the unit.
ROUNDING_C = 0.05
#: Share of values beyond the limit (and at least three) from which the unit is doubted instead.
UNIT_DOUBT = 0.02


class DailyRows(Record, frozen=True):
    """Rows of a file in file order: line numbers, dates, canonical values (rows,).

    titles and cells: the headings and the cells as they are written in the file. units_at: where
    the keeper tells the units.
    """

    file: str
    header_line: int
    lines: Sequence[int]
    days: Days
    columns: Mapping[str, Values]
    titles: Mapping[str, str]
    cells: Mapping[str, Sequence[str]]
    units_at: str = "in the header"

    def place(self, row: int) -> Place:
        """Where a row stands."""
        return Place(self.file, self.lines[row])

    def only(self, chosen: NDArray[np.intp]) -> DailyRows:
        """The chosen rows, in the order of their indices."""
        if len(chosen) == len(self.days):
            return self
        return replace(
            self,
            lines=[self.lines[at] for at in chosen],
            days=self.days[chosen],
            columns={name: values[chosen] for name, values in self.columns.items()},
            cells={name: [cells[at] for at in chosen] for name, cells in self.cells.items()},
        )


def check_values(rows: DailyRows, problems: Problems) -> list[str]:
    """Report what cannot be true. Returns notes, one sentence each, on what is merely odd."""
    doubted = _too_cold(rows, problems)
    doubted = check_limits(rows, problems, doubted)
    if not doubted:
        report(
            problems, rows.place, upside_down(rows.columns).tolist(),
            lambda at: f"{rows.days[at]}: '{rows.titles['air_max_c']}' is lower than "
            f"'{rows.titles['air_min_c']}'; are they swapped?", "days with maximum below minimum",
        )  # fmt: skip
        _check_rain(rows, problems)
    return _spikes(rows)


def check_limits(rows: DailyRows, problems: Problems, doubted: bool = False) -> bool:
    """Report single values beyond the limits of their column; rows may be hours as well as days.

    doubted: whether the unit of the air temperatures is doubtful already, so that their single
    values say nothing. Returns whether it is.
    """
    for name, values in rows.columns.items():
        doubted |= name in REQUIRED and _too_hot(rows, name, problems)
        if doubted and name in REQUIRED:
            continue
        column = COLUMNS[name]
        slack = ROUNDING_C if column.temperature else 0.0
        with np.errstate(invalid="ignore"):
            wrong = np.flatnonzero((values < column.low - slack) | (values > column.high + slack))
        report(
            problems, rows.place, wrong.tolist(),
            lambda at, name=name: _out_of_range(rows, name, at),  # type: ignore[misc]
            f"impossible values of '{rows.titles[name]}'",
        )  # fmt: skip
    return doubted


def upside_down(columns: Mapping[str, Values]) -> NDArray[np.intp]:
    """Rows whose maximum lies below their minimum by more than rounding."""
    with np.errstate(invalid="ignore"):
        return np.flatnonzero(columns["air_max_c"] < columns["air_min_c"] - ROUNDING_C)


def _out_of_range(rows: DailyRows, name: str, at: int) -> str:
    column = COLUMNS[name]
    value = rows.columns[name][at]
    unit = {"share": "%"}.get(column.unit, column.unit)
    written = f"{rows.titles[name]}: '{rows.cells[name][at]}'"
    if name == "rain_mm" and value < 0:
        return f"{written} cannot be an amount of rain; leave the cell empty if it is unknown"
    return (
        f"{written} is {value:.4g} {unit}, which is not possible; "
        f"wanted {column.low:g} to {column.high:g} {unit} ({column.evidence})"
    )


def _too_hot(rows: DailyRows, name: str, problems: Problems) -> bool:
    """Whether a column of air temperatures looks as if it were in °F; then one problem says so."""
    values = rows.columns[name]
    known = int(np.count_nonzero(~np.isnan(values)))
    with np.errstate(invalid="ignore"):
        hot = int(np.count_nonzero(values > COLUMNS[name].high))
    if hot >= 3 and hot > UNIT_DOUBT * known:
        what = (
            f"'{rows.titles[name]}': {hot:,} of {known:,} values are hotter than 56.7 °C, the "
            f"hottest ever measured; is the column in °F? Write the right unit {rows.units_at}"
        )
        problems.add(Place(rows.file, rows.header_line), what)
        return True
    return False


def _too_cold(rows: DailyRows, problems: Problems) -> bool:
    """Whether the maxima look as if they were in °C, not °F; then one problem says so."""
    values, title = rows.columns["air_max_c"], rows.titles["air_max_c"]
    cold = [f"{year} ({warmest:.0f} °C)" for year, warmest in _cold_years(rows.days, values)]
    if cold:
        what = (
            f"'{title}': the warmest day of {', '.join(cold[:5])} stays below "
            f"{WARMEST_DAY_C:.0f} °C, too cold for any lawn; is the column in °C, not °F? "
            f"Write the right unit {rows.units_at}"
        )
        problems.add(Place(rows.file, rows.header_line), what)
    return bool(cold)


def _cold_years(days: Days, values: Values) -> list[tuple[int, float]]:
    """Calendar years, nearly complete, whose warmest day stays under `WARMEST_DAY_C`."""
    known = ~np.isnan(values)
    years = days[known].astype("datetime64[Y]").astype(np.int64) + 1970
    found, at, counts = np.unique(years, return_inverse=True, return_counts=True)
    warmest = np.full(len(found), -np.inf)
    np.maximum.at(warmest, at, values[known])
    cold = (counts >= DAYS_OF_A_YEAR) & (warmest < WARMEST_DAY_C)
    return [(int(y), float(w)) for y, w in zip(found[cold], warmest[cold], strict=True)]


def _check_rain(rows: DailyRows, problems: Problems) -> None:
    rain = rows.columns.get("rain_mm")
    if rain is None or np.count_nonzero(~np.isnan(rain)) < DAYS_OF_A_YEAR:
        return
    a_year = float(np.nanmean(rain)) * 365.25
    if a_year > WETTEST_YEAR_MM:
        what = (
            f"'{rows.titles['rain_mm']}': {a_year:,.0f} mm of rain a year, more than the wettest "
            f"places on Earth get ({WETTEST_YEAR_MM:,.0f} mm); is the column in mm, not in inches?"
        )
        problems.add(Place(rows.file, rows.header_line), what)


def _spikes(rows: DailyRows) -> list[str]:
    notes = []
    order = np.argsort(rows.days, kind="stable")
    neighbours = np.diff(rows.days[order]).astype(np.int64) == 1
    for name in ("air_max_c", "air_min_c"):
        step = np.where(neighbours, np.diff(rows.columns[name][order]), np.nan)
        with np.errstate(invalid="ignore"):
            size = np.minimum(np.abs(step[:-1]), np.abs(step[1:]))
            odd = np.flatnonzero((step[:-1] * step[1:] < 0) & (size > SPIKE_C))
        notes += [
            f"{rows.file}:{rows.lines[at]}: '{rows.titles[name]}' of {rows.days[at]} differs from "
            f"the days before and after by more than {SPIKE_C:.0f} °C; check it"
            for at in order[odd + 1][:5]
        ]
    return notes
