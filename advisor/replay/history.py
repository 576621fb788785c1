"""A window in every past season year of a record, as it really went."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from advisor.base.record import Record
from advisor.decide.windows.interval import NEVER, Series
from advisor.decide.windows.tracks import tracks
from advisor.facts.axis import Axis, SeasonDays
from advisor.facts.weather_facts import WeatherFacts
from advisor.rulebook.model import Window
from advisor.weather.gaps import fill_gaps
from advisor.weather.table import WeatherTable


class Past(Record, frozen=True):
    """A window in one past season year. Days are indices on the record's axis.

    opens: first open day. closes: first day no longer open. Both are interval.NEVER where it did
    not open, and one of them interval.UNCERTAIN where the record does not tell. first, last: it
    was sought from the one day on and up to, not on, the other.
    """

    season: SeasonDays
    opens: int
    closes: int
    first: int
    last: int

    @property
    def known(self) -> bool:
        """Whether the record tells both days, or that there are none."""
        return self.opened or self.opens == NEVER

    @property
    def opened(self) -> bool:
        """Whether it opened, and the record tells when it closed."""
        return self.opens >= 0 and self.closes >= 0


def record_axis(table: WeatherTable) -> Axis:
    """The observed days of a record as one member, none of them borrowed from another year.

    Gaps in the temperatures are filled, also from later years.
    """
    full = fill_gaps(table)
    seen = np.flatnonzero(table.observed)
    count = int(seen[-1]) + 1 if len(seen) else 1
    columns = {name: values[None, :count] for name, values in full.columns.items()}
    return Axis(full.days[:count], columns, count - 1, count, (), "observed")


def past_windows(
    window: Window, facts: WeatherFacts, site: Mapping[str, Series | None]
) -> tuple[Past, ...]:
    """The window, resolved for its grass, in each season year of the record, oldest first.

    facts: on a record's axis. A season year of which the record lacks days that the search needs
    is left out.
    """
    seasons = {season.year: season for season in facts.seasons}
    return tuple(
        Past(
            seasons[track.season],
            int(track.found.opens[0]),
            int(track.found.closes[0]),
            track.first,
            track.last,
        )
        for track in tracks(window, facts, site)
        if track.first >= 0 and track.last <= len(facts.axis.days)
    )
