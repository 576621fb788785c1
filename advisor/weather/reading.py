"""One weather file as it was read, before its days are laid out."""

from __future__ import annotations

from advisor.base.record import Record
from advisor.weather.checks import DailyRows
from advisor.weather.table import Source


class Reading(Record, frozen=True):
    """Rows of one file in canonical units, and what is known about it.

    station: its code where the format has one, else empty. notes: what a reader should know, one
    sentence each. wind_height_m: height of the wind gauge, None where the file does not tell.
    """

    rows: DailyRows
    source: Source
    notes: tuple[str, ...] = ()
    station: str = ""
    wind_height_m: float | None = None
