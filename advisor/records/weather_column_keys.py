"""How the section `weather_columns` of site.yaml is written (and `weather_columns.py`: meant)."""

from __future__ import annotations

import datetime as dt
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BeforeValidator, Field, model_validator

from advisor.base.checked_model import FileModel, Listed
from advisor.base.units import UnitError, parse_quantity
from advisor.records.quantity import quantity
from advisor.records.sections import COLUMN_OF
from advisor.records.words import as_flag

_SEPARATORS = {"tab": "\t", "semicolon": ";", "comma": ",", "bar": "|"}
#: Two stamps that come back changed if a pattern leaves out, or mixes up, a part of the date.
_TRIALS = tuple(dt.datetime(*day, tzinfo=dt.UTC) for day in ((2026, 6, 21, 5), (2025, 12, 3, 17)))
_OF_DAYS = ("air_max", "air_min", "humidity_max", "humidity_min")


def _pattern(given: str) -> str:
    if "%z" in given.lower():
        raise ValueError(f"'{given}' reads a time zone; days are taken as the file writes them")
    wanted = "wanted year, month and day, such as '%d/%m/%Y'"
    if "%y" not in given.lower():
        raise ValueError(f"'{given}' has no year; {wanted}")
    for trial in _TRIALS:
        try:
            written = trial.strftime(given)
            back = dt.datetime.strptime(written, given).replace(tzinfo=dt.UTC)
        except ValueError:
            raise ValueError(f"'{given}' is no pattern of a date; {wanted}") from None
        if back.date() != trial.date():
            said = f"'{given}' writes {trial.date()} as '{written}', which does not tell the day"
            raise ValueError(f"{said}; {wanted}")
    return given


def _separator(given: Any) -> Any:
    return _SEPARATORS.get(given, given) if isinstance(given, str) else given


def _as_text(given: Any) -> Any:
    return str(given) if isinstance(given, int) and not isinstance(given, bool) else given


Text = Annotated[str, Field(min_length=1)]


class MappedColumnKeys(FileModel):
    column: Text
    unit: Text


def _in(unit: str) -> AfterValidator:
    def check(given: MappedColumnKeys) -> MappedColumnKeys:
        try:
            parse_quantity(f"0 {given.unit}", unit)
        except UnitError as error:
            raise ValueError(str(error).replace(f"'0 {given.unit}'", f"'{given.unit}'")) from None
        return given

    return AfterValidator(check)


Temperature = Annotated[MappedColumnKeys, _in("°C")]
Depth = Annotated[MappedColumnKeys, _in("mm")]
Humidity = Annotated[MappedColumnKeys, _in("share")]


class WeatherColumnsKeys(FileModel):
    date: Text
    date_format: Annotated[Text, AfterValidator(_pattern)] = "%Y-%m-%d"
    time: Text | None = None
    separator: Annotated[Literal[",", ";", "\t", "|"], BeforeValidator(_separator)] = ","
    decimal: Literal[".", ","] = "."
    skip_rows: int = Field(default=0, ge=0, le=1000)
    missing: Listed[Annotated[str, BeforeValidator(_as_text)]] = ()
    hourly: Annotated[bool, BeforeValidator(as_flag)] = False
    wind_height: Annotated[float, quantity("m", 0.5, 100)] | None = None
    air: Temperature | None = None
    air_max: Temperature | None = None
    air_min: Temperature | None = None
    rain: Depth | None = None
    radiation: Annotated[MappedColumnKeys, _in("MJ/m2")] | None = None
    humidity: Humidity | None = None
    humidity_max: Humidity | None = None
    humidity_min: Humidity | None = None
    dew_point: Temperature | None = None
    wind: Annotated[MappedColumnKeys, _in("m/s")] | None = None
    soil_10cm: Temperature | None = None
    soil_5cm: Temperature | None = None
    snow_depth: Depth | None = None

    @model_validator(mode="after")
    def _fits_together(self) -> WeatherColumnsKeys:
        if self.hourly:
            self._check_hours()
        elif self.air is not None:
            raise ValueError("'air' is for hourly files; give air_max and air_min, or hourly: true")
        elif self.air_max is None or self.air_min is None:
            raise ValueError("air_max and air_min are needed, each with its column and unit")
        headings = [
            self.date,
            self.time,
            *(m.column for key in COLUMN_OF if (m := getattr(self, key)) is not None),
        ]
        given = [heading for heading in headings if heading is not None]
        twice = next((heading for heading in given if given.count(heading) > 1), None)
        if twice is not None:
            raise ValueError(f"column '{twice}' is named twice; name each column once")
        return self

    def _check_hours(self) -> None:
        if self.air is None:
            raise ValueError("an hourly file needs 'air', the temperature: its column and unit")
        daily = next((key for key in _OF_DAYS if getattr(self, key) is not None), None)
        if daily is not None:
            said = f"'{daily}' is for daily files; of hours the highest and lowest are found"
            raise ValueError(f"{said} from 'air' and 'humidity'")
        if self.radiation is not None and self.radiation.unit.lower() not in ("w/m2", "w/m²"):
            raise ValueError("radiation of an hourly file must be a mean in W/m2")
        for trial in _TRIALS:
            written = trial.strftime(self.date_format)
            if dt.datetime.strptime(written, self.date_format).hour != trial.hour:  # noqa: DTZ007
                said = f"date_format '{self.date_format}' does not tell the hour"
                raise ValueError(f"{said}; wanted one such as '%Y-%m-%d %H:%M'")
