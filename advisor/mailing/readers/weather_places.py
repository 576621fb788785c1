"""A mailing list's folder of weather: one record or normals for each cell, by its position."""

from __future__ import annotations

import csv
import datetime as dt
import hashlib
from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from operator import itemgetter
from pathlib import Path

from advisor.base.problems import BadInput, Place, Problems
from advisor.base.record import Record, replace
from advisor.mailing.mails.cells_text import harmless
from advisor.places.distance import distance_km
from advisor.weather.gaps import MonthlyNormals
from advisor.weather.kept_weather import WEATHER_FOLDER
from advisor.weather.read_normals import read_normals
from advisor.weather.read_weather import read_weather
from advisor.weather.table import WeatherTable

PLACES_FILE = "places.csv"
COLUMNS = ("file", "name", "latitude", "longitude", "kind")
FARTHEST_KM = 100.0
"""A reader farther from every record gets no weather (chosen, as for towns near a position)."""
_KINDS = ("record", "normals")


class Cell(Record, frozen=True):
    """Readers for whom one weather record stands. All is computed for the record's position.

    file: in the list's folder of weather. name: of the place. hash: of the file's bytes.
    """

    file: str
    name: str
    latitude: float
    longitude: float
    kind: str
    hash: str


class CellWeather(Record, frozen=True):
    """What a cell's file holds: a record, or normals."""

    record: WeatherTable | None
    normals: MonthlyNormals | None


def read_places(folder: Path) -> tuple[Cell, ...]:
    """The cells of a list's folder, from `weather/places.csv`. Raises `BadInput`."""
    path = folder / WEATHER_FOLDER / PLACES_FILE
    if not path.is_file():
        what = f"is missing; wanted a row '{','.join(COLUMNS)}' for each weather file beside it"
        raise BadInput.at(Place(str(path)), what)
    problems = Problems()
    cells = []
    with path.open(encoding="utf-8", newline="") as file:
        rows = csv.reader(file)
        if tuple(next(rows, ())) != COLUMNS:
            raise BadInput.at(Place(str(path), 1), f"wanted the header '{','.join(COLUMNS)}'")
        for row in rows:
            try:
                cells.append(_cell(row, path.parent))
            except ValueError as error:
                problems.add(Place(str(path), rows.line_num), str(error))
    problems.raise_if_any()
    if not cells:
        raise BadInput.at(Place(str(path)), "names no weather file")
    return tuple(cells)


def _cell(row: list[str], folder: Path) -> Cell:
    if len(row) != len(COLUMNS):
        raise ValueError(f"has {len(row)} cells; wanted {len(COLUMNS)}")
    file, name, north, east, kind = (harmless(cell) if i not in (2, 3) else cell
                                     for i, cell in enumerate(row))  # fmt: skip
    latitude, longitude = float(north), float(east)
    if not (abs(latitude) <= 90 and abs(longitude) <= 180):
        raise ValueError(f"{north}, {east} lies off the globe")
    if kind not in _KINDS:
        raise ValueError(f"'{kind}' is no kind; wanted {' or '.join(_KINDS)}")
    if Path(file).name != file or not (folder / file).is_file():
        raise ValueError(f"there is no file '{file}' in this folder")
    digest = hashlib.sha256((folder / file).read_bytes()).hexdigest()
    return Cell(file, name, latitude, longitude, kind, digest)


class Nearest:
    """Finds the cell of each of many readers."""

    def __init__(self, cells: Sequence[Cell]) -> None:
        # A degree of latitude is 111 km, so most cells are out of reach without any trigonometry.
        order = sorted(range(len(cells)), key=lambda i: cells[i].latitude)
        self._cells = [(cells[i], i) for i in order]
        self._latitudes = [cells[i].latitude for i in order]

    def of(self, latitude: float, longitude: float) -> Cell | None:
        """The cell whose record lies nearest, at most 100 km away; the first of equals."""
        reach = FARTHEST_KM / 110
        near = self._cells[
            bisect_left(self._latitudes, latitude - reach) : bisect_right(
                self._latitudes, latitude + reach
            )
        ]
        found = (
            (distance_km(latitude, longitude, cell.latitude, cell.longitude), i, cell)
            for cell, i in near
        )
        away, _, cell = min(found, default=(FARTHEST_KM + 1, 0, None), key=itemgetter(0, 1))
        return cell if away <= FARTHEST_KM else None


def nearest_cell(cells: tuple[Cell, ...], latitude: float, longitude: float) -> Cell | None:
    """The cell of one reader, as `Nearest` finds it."""
    return Nearest(cells).of(latitude, longitude)


def cell_weather(folder: Path, cell: Cell, today: dt.date) -> CellWeather:
    """Read a cell's file. Raises `BadInput`."""
    path = folder / WEATHER_FOLDER / cell.file
    if cell.kind == "normals":
        return CellWeather(None, read_normals(path, cell.file))
    record = read_weather(path, today=today, shown_as=cell.file)
    if record.source.kind == "own file":
        # A reader knows the place, not the file.
        source = replace(record.source, attribution=f"record of {cell.name}")
        record = replace(record, source=source)
    return CellWeather(record, None)
