"""Hourly rows to days: maximum and minimum of the air, sums of rain, means of the rest.

A row belongs to the day that its date names. A day of which fewer than `FEWEST_HOURS` clock hours
are known is unknown (our choice): the warmest or the wettest hour may be among the others.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from advisor.base.problems import BadInput, Place, Problems
from advisor.base.record import replace
from advisor.weather.checks import DailyRows, check_limits
from advisor.weather.columns import COLUMNS
from advisor.weather.frames import HOURS, DayOfHours, Method, Stamps, hours_to_days
from advisor.weather.offences import counted, report

FEWEST_HOURS = 20
#: What a day takes from an hourly column; the mean, where nothing is said.
_DAILY_OF: dict[str, tuple[tuple[str, Method], ...]] = {
    "air_max_c": (("air_max_c", "max"), ("air_min_c", "min")),
    "humidity_pct": (
        ("humidity_pct", "mean"), ("humidity_max_pct", "max"), ("humidity_min_pct", "min"),
    ),
    "rain_mm": (("rain_mm", "sum"),),
}  # fmt: skip


def to_days(rows: DailyRows, times: Stamps) -> tuple[DailyRows, list[str]]:
    """Daily rows, at the line of each day's first hour, and notes on what is not whole.

    rows: one a reading, hourly or finer; times (rows,), NaT where unknown. Raises `BadInput` for
    values beyond the limits of their column and for times that stand twice with other values.
    """
    dated = np.flatnonzero(~np.isnat(times))
    rows, times = rows.only(dated), times[dated]
    if not len(times):
        return rows, []
    problems = Problems()
    check_limits(rows, problems)
    kept, notes = _settle_twice(rows, times, problems)
    problems.raise_if_any()
    rows, times = rows.only(kept), times[kept]
    wanted = [
        DayOfHours(name, source, method)
        for source in rows.columns
        for name, method in _DAILY_OF.get(source, ((source, "mean"),))
    ]
    daily = hours_to_days(times, rows.columns, wanted, FEWEST_HOURS)
    some = np.any([~np.isnan(values) for values in daily.columns.values()], axis=0)
    if not np.any(some):
        what = f"no day has {FEWEST_HOURS} known hours; is the file hourly, and the day whole?"
        raise BadInput.at(Place(rows.file, rows.header_line), what)
    for source, known in daily.hours.items():
        short = int(np.count_nonzero(known < FEWEST_HOURS))
        if short:
            days = counted(short, "day")
            notes.append(
                f"{days} with fewer than {FEWEST_HOURS} hours of '{rows.titles[source]}'; unknown"
            )
    # A day of the change to summer time has 23 hours.
    partial = daily.hours.get("rain_mm", np.full(len(some), HOURS))
    low = int(np.count_nonzero((partial >= FEWEST_HOURS) & (partial < HOURS - 1)))
    if low:
        notes.append(f"{counted(low, 'day')} without all hours of rain; the sums may be low")
    _, first = np.unique(rows.days, return_index=True)
    source_of = {one.name: one.source for one in wanted}
    return replace(
        rows,
        lines=[rows.lines[at] for at in first[some]],
        days=daily.days[some],
        columns={name: np.round(values[some], 6) for name, values in daily.columns.items()},
        titles={
            name: f"{rows.titles[source]}, {COLUMNS[name].label}"
            for name, source in source_of.items()
        },
        cells={
            name: [f"{value:g}" for value in values[some]] for name, values in daily.columns.items()
        },
    ), notes


def _settle_twice(
    rows: DailyRows, times: Stamps, problems: Problems
) -> tuple[NDArray[np.intp], list[str]]:
    """Rows to keep. A time that stands twice with the same values is kept once.

    With other values both are kept if it is one hour of its day, as when the clocks go back;
    otherwise it is a problem.
    """
    order = np.argsort(times, kind="stable")
    twice = np.flatnonzero(np.diff(times[order]).astype(np.int64) == 0)
    first, second = order[twice], order[twice + 1]
    same = np.ones(len(first), dtype=bool)
    for values in rows.columns.values():
        a, b = values[first], values[second]
        same &= (a == b) | (np.isnan(a) & np.isnan(b))
    hours = np.unique(times[second[~same]].astype("datetime64[h]"))
    days, count = np.unique(hours.astype("datetime64[D]"), return_counts=True)
    pairs = {
        int(b): int(a)
        for a, b in zip(first[~same], second[~same], strict=True)
        if rows.days[b] in days[count > 1]
    }

    def say(at: int) -> str:
        time = str(times[at]).replace("T", " ")
        return f"{time} stands already on line {rows.lines[pairs[at]]} with other values; keep one"

    report(problems, rows.place, list(pairs), say, "times that stand twice")
    notes = []
    if np.any(same):
        readings = counted(int(np.count_nonzero(same)), "reading")
        notes.append(f"{readings} twice in the file with the same values; kept once")
    if len(hours) and not pairs:
        notes.append(f"{counted(len(hours), 'hour')} twice, as when clocks go back; both kept")
    return np.setdiff1d(np.arange(len(times)), second[same]), notes
