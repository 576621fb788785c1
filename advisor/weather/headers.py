"""From a header cell such as `max temp (F)` or `rain_mm` to a column and its unit."""

from __future__ import annotations

import re
from difflib import get_close_matches

from advisor.base.problems import Place, Problems
from advisor.base.record import Record
from advisor.base.units import UnitError, parse_quantity
from advisor.weather.columns import COLUMNS, REQUIRED, Column

_NAMES: dict[str, tuple[str, ...]] = {
    "air_max_c": (
        "max temp", "air max", "temp max", "tmax", "max", "high", "high temp", "max air temp",
        "max temperature", "maximum temperature", "temperature max", "max air temperature",
    ),
    "air_min_c": (
        "min temp", "air min", "temp min", "tmin", "min", "low", "low temp", "min air temp",
        "min temperature", "minimum temperature", "temperature min", "min air temperature",
    ),
    "rain_mm": ("rain", "rainfall", "precipitation", "precip", "prcp"),
    "radiation_mj": ("radiation", "solar radiation", "global radiation", "solar"),
    "humidity_pct": ("humidity", "mean humidity", "relative humidity", "rh"),
    "humidity_max_pct": ("max humidity", "humidity max", "max rh", "rh max"),
    "humidity_min_pct": ("min humidity", "humidity min", "min rh", "rh min"),
    "dew_point_c": ("dew point", "dewpoint"),
    "wind_m_s": ("wind", "wind speed", "mean wind", "mean wind speed"),
    "soil_10cm_c": ("soil 10 cm", "soil 10cm", "soil temp 10 cm", "soil temperature 10 cm",
                    "soil 4 in", "soil temp 4 in"),
    "soil_5cm_c": ("soil 5 cm", "soil 5cm", "soil temp 5 cm", "soil temperature 5 cm",
                   "soil 2 in", "soil temp 2 in"),
    "snow_depth_mm": ("snow depth", "snow on ground"),
}  # fmt: skip
_COLUMN_OF = {alias: name for name, aliases in _NAMES.items() for alias in aliases}
_DATE_NAMES = ("date", "day")

_IN_BRACKETS = re.compile(r"(.*?)\s*[(\[]\s*(.*?)\s*[)\]]\Z")
_WIND_HEIGHT = re.compile(r"(.*wind.*?) at (\d+(?:\.\d+)?) ?m\b(.*)\Z")
#: Units written with letters alone, as in `rain_mm` or `wind_m_s`.
_TAILS = {
    "c": "°C", "f": "°F", "mm": "mm", "cm": "cm", "in": "in", "inch": "in", "inches": "in",
    "pct": "%", "percent": "%", "mph": "mph", "kmh": "km/h", "km h": "km/h", "m s": "m/s",
    "ms": "m/s", "mj": "MJ/m2", "mj m2": "MJ/m2",
}  # fmt: skip
_PER_DAY = re.compile(r"\s*(?:/|per )\s*(?:d|day)\Z")


class Heading(Record, frozen=True):
    """One used column of a file: position, meaning, and canonical = slope × value + intercept."""

    at: int
    title: str
    column: Column
    unit: str
    slope: float
    intercept: float


class Headings(Record, frozen=True):
    """The columns of a file that are used, the position of the date, and the titles left out."""

    date_at: int
    columns: tuple[Heading, ...]
    unused: tuple[str, ...]
    wind_height_m: float | None


def read_headings(header: list[str], place: Place, dated: tuple[str, ...] = ()) -> Headings:
    """Understand a header row. Raises `BadInput` with every column that is not understood.

    dated: names of the column that says when, `date` by default.
    """
    problems = Problems()
    date_names = dated or _DATE_NAMES
    date_at: list[int] = []
    found: dict[str, Heading] = {}
    named: set[str] = set()
    unused = []
    height: float | None = None
    for at, title in enumerate(header):
        name, unit = _split(title)
        if match := _WIND_HEIGHT.match(name):
            name, height = (match[1] + match[3]).strip(), float(match[2])
        if name in date_names:
            date_at.append(at)
        elif name in _COLUMN_OF:
            column = COLUMNS[_COLUMN_OF[name]]
            heading = to_heading(at, title, column, unit, place, problems)
            if column.name in named:
                what = f"column '{title}' holds the {column.label} once more; keep one"
                problems.add(place, what)
            elif heading:
                found[column.name] = heading
            named.add(column.name)
        elif near := get_close_matches(name, [*_COLUMN_OF, *date_names], n=1, cutoff=0.75):
            known = _COLUMN_OF.get(near[0], "")
            example = COLUMNS[known].example if known else near[0]
            problems.add(place, f"no column is called '{title}', did you mean '{example}'?")
            named.add(known)
        else:
            unused.append(title)
    if len(date_at) != 1:
        name = date_names[0]
        some = f"{len(date_at)} columns are called '{name}'; keep one"
        none = f"no column is called '{name}'; every row needs one"
        problems.add(place, some if date_at else none)
    for missing in [name for name in REQUIRED if name not in named]:
        label, example = COLUMNS[missing].label, COLUMNS[missing].example
        other = example.replace("(F)", "(C)")
        problems.add(place, f"no column for the {label}; add one called '{example}' or '{other}'")
    problems.raise_if_any()
    columns = tuple(found.values())
    return Headings(date_at[0], columns, tuple(unused), height)


def linear(unit: str, canonical: str) -> tuple[float, float]:
    """Slope and intercept of the conversion to the canonical unit. Raises `UnitError`."""
    zero = parse_quantity(f"0 {unit}", canonical)
    return (parse_quantity(f"1000 {unit}", canonical) - zero) / 1000, zero


def to_heading(
    at: int, title: str, column: Column, unit: str, place: Place, problems: Problems
) -> Heading | None:
    """A column of a file with its conversion; None, with a problem at `place`, for a wrong unit."""
    if not unit:
        what = f"column '{title}' has no unit; write it in the header, such as '{column.example}'"
        problems.add(place, what)
        return None
    try:
        slope, intercept = linear(unit, column.unit)
    except UnitError as error:
        said = str(error).replace(f"'0 {unit}'", f"'{unit}'")
        problems.add(place, f"column '{title}': {said}")
        return None
    return Heading(at, title, column, unit, slope * column.scale, intercept * column.scale)


def _split(title: str) -> tuple[str, str]:
    """`Max_Temp [°F]` → ("max temp", "°F"); the unit is empty if there is none."""
    plain = " ".join(title.replace("_", " ").replace("º", "°").split())
    if match := _IN_BRACKETS.match(plain):
        return match[1].casefold(), _PER_DAY.sub("", match[2])
    name = plain.casefold()
    if name in _COLUMN_OF:
        return name, ""
    words = name.split()
    for count in (2, 1):
        tail = " ".join(words[-count:])
        if len(words) > count and tail in _TAILS:
            return " ".join(words[:-count]), _TAILS[tail]
    return name, ""
