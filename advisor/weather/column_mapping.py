"""How the keeper describes a CSV of another make: which column holds what, in which unit."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Protocol

#: Key of the hourly air temperature, which becomes the daily maximum and minimum.
HOURLY_AIR = "air_c"


class MappedColumn(Protocol):
    """The heading of a column in the file, and the unit of its values."""

    @property
    def column(self) -> str: ...

    @property
    def unit(self) -> str: ...


class ColumnMapping(Protocol):
    """What `weather_columns` in site.yaml says.

    date and time: headings; where there is a time, both cells are joined by a blank and read by
    `date_format`, a pattern of `strftime`. skip_rows: lines above the header. missing: cells that
    mean unknown, beyond the usual ones. wind_height: of the gauge, in m.
    """

    @property
    def date(self) -> str: ...

    @property
    def time(self) -> str | None: ...

    @property
    def date_format(self) -> str: ...

    @property
    def separator(self) -> str: ...

    @property
    def decimal(self) -> str: ...

    @property
    def skip_rows(self) -> int: ...

    @property
    def missing(self) -> Sequence[str]: ...

    @property
    def hourly(self) -> bool: ...

    @property
    def wind_height(self) -> float | None: ...

    def named(self) -> Mapping[str, MappedColumn]:
        """Names of `columns.COLUMNS` (and `HOURLY_AIR`) with the columns that hold them."""
