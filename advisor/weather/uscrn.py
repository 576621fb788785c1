"""Daily files of the U.S. Climate Reference Network (product daily01): air, rain, sun and soil.

Format: readme.txt of the product, NOAA National Centers for Environmental Information. 28 columns
divided by blanks, °C, mm and MJ/m², days of local standard time, the soil means of three sensors.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterator
from itertools import zip_longest

import numpy as np

from advisor.base.problems import BadInput, Place, Problems
from advisor.weather.cells import within_time
from advisor.weather.checks import DailyRows
from advisor.weather.frames import spaced_numbers, stamps
from advisor.weather.offences import counted, report
from advisor.weather.reading import Reading
from advisor.weather.table import Days, Source, Values

_DEPTHS = (5, 10, 20, 50, 100)
NAMES = (
    "WBANNO", "LST_DATE", "CRX_VN", "LONGITUDE", "LATITUDE", "T_DAILY_MAX", "T_DAILY_MIN",
    "T_DAILY_MEAN", "T_DAILY_AVG", "P_DAILY_CALC", "SOLARAD_DAILY", "SUR_TEMP_DAILY_TYPE",
    "SUR_TEMP_DAILY_MAX", "SUR_TEMP_DAILY_MIN", "SUR_TEMP_DAILY_AVG", "RH_DAILY_MAX",
    "RH_DAILY_MIN", "RH_DAILY_AVG",
    *(f"SOIL_MOISTURE_{depth}_DAILY" for depth in _DEPTHS),
    *(f"SOIL_TEMP_{depth}_DAILY" for depth in _DEPTHS),
)  # fmt: skip
#: Name in the file → (column, factor to its unit).
_COLUMN_OF = {
    "T_DAILY_MAX": ("air_max_c", 1.0),
    "T_DAILY_MIN": ("air_min_c", 1.0),
    "P_DAILY_CALC": ("rain_mm", 1.0),
    "SOLARAD_DAILY": ("radiation_mj", 1.0),
    "RH_DAILY_AVG": ("humidity_pct", 1.0),
    "RH_DAILY_MAX": ("humidity_max_pct", 1.0),
    "RH_DAILY_MIN": ("humidity_min_pct", 1.0),
    "SOIL_TEMP_5_DAILY": ("soil_5cm_c", 1.0),
    "SOIL_TEMP_10_DAILY": ("soil_10cm_c", 1.0),
    "SOIL_MOISTURE_5_DAILY": ("soil_water_5cm_pct", 100.0),
    "SOIL_MOISTURE_10_DAILY": ("soil_water_10cm_pct", 100.0),
}
_MISSING = (-9999.0,)
#: Soil moisture has a code of its own.
_MOISTURE = (-99.0, -9999.0)
#: T_DAILY_MEAN is halfway between the extremes, each rounded to a tenth of a degree.
_HALFWAY_C = 0.11
_FIRST = re.compile(r"\s*[0-9]{4,5}\s+[0-9]{8}\s")


def is_uscrn(lines: list[str]) -> bool:
    """Whether a file starts as daily01 files do: a station number and a date, or their names."""
    first = next((line for line in lines if _is_content(line)), "")
    return bool(_FIRST.match(first)) or _is_header(first)


def read_uscrn(lines: list[str], file: str, today: dt.date, problems: Problems) -> Reading:
    """Read a daily01 file, with or without a header line.

    What is wrong with rows goes to `problems`; raises `BadInput` if the columns are others than
    those of daily01, if no row is whole, or if the rows are of several stations.
    """
    numbers = [at for at, line in enumerate(lines, 1) if _is_content(line)]
    header_line = numbers[0]
    if _is_header(lines[header_line - 1]):
        _check_header(lines[header_line - 1], Place(file, header_line))
        del numbers[0]
    split = {at: lines[at - 1].split() for at in numbers}
    wrong = [row for row, at in enumerate(numbers) if len(split[at]) != len(NAMES)]
    report(
        problems, lambda row: Place(file, numbers[row]), wrong,
        lambda row: f"{len(split[numbers[row]])} columns; a daily01 row has {len(NAMES)}",
        "rows of the wrong length",
    )  # fmt: skip
    whole = [at for at in numbers if len(split[at]) == len(NAMES)]
    if not whole:
        problems.raise_if_any()
        raise BadInput.at(Place(file, header_line), "only a header, no days; fetch the file again")
    cells = dict(zip(NAMES, map(list, zip(*(split[at] for at in whole), strict=True)), strict=True))
    station = _one_station(cells["WBANNO"], file, whole)
    values = _numbers([lines[at - 1] for at in whole], cells, file, whole, problems)
    rows = DailyRows(
        file, header_line, whole, _dates(cells["LST_DATE"], file, whole, today, problems),
        {ours: np.round(values[name] * by, 6) for name, (ours, by) in _COLUMN_OF.items()},
        {ours: name for name, (ours, _) in _COLUMN_OF.items()},
        {ours: cells[name] for name, (ours, _) in _COLUMN_OF.items()},
    )  # fmt: skip
    at = f"{cells['LATITUDE'][0]} N {cells['LONGITUDE'][0]} E"
    attribution = f"NOAA U.S. Climate Reference Network, daily01, station {station} ({at})"
    source = Source(file, "USCRN daily", attribution)
    return Reading(rows, source, tuple(_shifted(rows, values)), station)


def _is_content(line: str) -> bool:
    return bool(line.strip()) and not line.startswith("#")


def _is_header(line: str) -> bool:
    return line.split()[:2] == list(NAMES[:2])


def _check_header(line: str, place: Place) -> None:
    given = line.split()
    for at, (found, wanted) in enumerate(zip_longest(given, NAMES), 1):
        if found != wanted:
            what = (
                f"column {at} is called '{found or ''}'; in daily01 files it is '{wanted or ''}' "
                f"and there are {len(NAMES)}; fetch the product daily01 again"
            )
            raise BadInput.at(place, what)


def _one_station(codes: list[str], file: str, lines: list[int]) -> str:
    for code, line in zip(codes, lines, strict=True):
        if code != codes[0]:
            what = f"station '{code}' after '{codes[0]}'; keep the rows of one station"
            raise BadInput.at(Place(file, line), what)
    return codes[0]


def _numbers(
    rows: list[str], cells: dict[str, list[str]], file: str, lines: list[int], problems: Problems
) -> dict[str, Values]:
    """The columns that are used, with unknown values and wrong cells as NaN."""
    codes = {name: _MOISTURE if "MOISTURE" in name else _MISSING for name in _COLUMN_OF}
    values = spaced_numbers(rows, NAMES, {**codes, "T_DAILY_MEAN": _MISSING})
    for name, column in values.items():
        wrong = np.isinf(column)
        report(
            problems, lambda at: Place(file, lines[at]), np.flatnonzero(wrong).tolist(),
            lambda at, name=name: f"{name}: '{cells[name][at]}' is not a number; "  # type: ignore[misc]
            "write -9999 if it is unknown", f"cells of '{name}' that are no numbers",
        )  # fmt: skip
        column[wrong] = np.nan
    return values


def _dates(
    cells: list[str], file: str, lines: list[int], today: dt.date, problems: Problems
) -> Days:
    def where(at: int) -> Place:
        return Place(file, lines[at])

    found = stamps(cells, "%Y%m%d").astype("datetime64[D]")
    report(
        problems, where, np.flatnonzero(np.isnat(found)).tolist(),
        lambda at: f"LST_DATE: '{cells[at]}' is no date of the calendar; wanted YYYYMMDD",
        "wrong dates",
    )  # fmt: skip
    return within_time(found, cells, where, today, problems)


def _shifted(rows: DailyRows, values: dict[str, Values]) -> Iterator[str]:
    """A note if T_DAILY_MEAN is not halfway, a sign that cells were moved or changed by hand."""
    halfway = (values["T_DAILY_MAX"] + values["T_DAILY_MIN"]) / 2
    with np.errstate(invalid="ignore"):
        off = np.flatnonzero(np.abs(values["T_DAILY_MEAN"] - halfway) > _HALFWAY_C)
    if len(off):
        yield (
            f"{rows.place(int(off[0]))}: T_DAILY_MEAN is not halfway between T_DAILY_MAX and "
            f"T_DAILY_MIN ({counted(len(off), 'day')}); were the cells changed?"
        )
