"""Where a site's weather record lies: a file, or a folder of files."""

from __future__ import annotations

from pathlib import Path

from advisor.base.problems import BadInput, Place

WEATHER_FILE = "weather.csv"
WEATHER_FOLDER = "weather"
_SUFFIXES = (".csv", ".txt")


def weather_path(folder: Path) -> Path | None:
    """A site folder's weather file, or its folder of weather files; None if it has neither.

    Raises `BadInput` if it has both.
    """
    file, files = folder / WEATHER_FILE, folder / WEATHER_FOLDER
    if not files.is_dir():
        return file if file.is_file() else None
    if file.is_file():
        what = f"there is a folder '{WEATHER_FOLDER}' too; keep one of them"
        raise BadInput.at(Place(str(file)), what)
    return files


def no_record(place: Place) -> BadInput:
    """That there is no weather record, and how to add one. place: where it is wanted."""
    what = (
        f"no weather record; save one as {WEATHER_FILE} in this folder: one row a day under "
        "'date,max temp (F),min temp (F),rain (in)', or a daily-summaries CSV of a station "
        f"from NCEI; or put several files into a folder '{WEATHER_FOLDER}'; or fetch a "
        "station's with 'advisor weather'"
    )
    return BadInput.at(place, what)


def weather_files(path: Path, name: str) -> list[tuple[Path, str]]:
    """The files of a record, each with its name in messages. Raises `BadInput` if there is none.

    name: the record's own in messages.
    """
    if not path.is_dir():
        return [(path, name)]
    found = sorted(
        file for file in path.iterdir() if file.suffix.lower() in _SUFFIXES and file.is_file()
    )
    if not found:
        what = "no weather files in this folder; wanted files that end in .csv or .txt"
        raise BadInput.at(Place(name), what)
    return [(file, f"{name}/{file.name}") for file in found]
