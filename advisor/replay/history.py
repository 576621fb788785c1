"""Every window of a rule book in every past season year of a record, as it really went."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from advisor.facts.axis import Axis
from advisor.facts.season_days import SeasonDays
from advisor.facts.weather_facts import WeatherFacts
from advisor.rulebook.model import Window
from advisor.weather.gaps import fill_gaps
from advisor.weather.table import WeatherTable
from advisor.windows.interval import NEVER, find_intervals
from advisor.windows.tracks import boundary, tree_on_axis
from advisor.windows.truth_arrays import Series, TruthArray


@dataclass(frozen=True)
class Past:
    """One window in one past season year, as indices on the axis of days.

    opens: first open day. closes: first day no longer open. Both negative where the window did not
    open (interval.NEVER) or the record does not tell (interval.UNCERTAIN). until: the day on which
    it closes at the latest.
    """

    season: SeasonDays
    opens: int
    closes: int
    until: int

    @property
    def days_open(self) -> int:
        """How many days it was open; 0 where it did not open."""
        return self.closes - self.opens if self.opens >= 0 else 0

    @property
    def certain(self) -> bool:
        """Whether the record tells both days, or that there are none."""
        return self.opens >= 0 <= self.closes or self.opens == NEVER


def record_axis(table: WeatherTable) -> Axis:
    """The whole record as one member: no day of it is borrowed from another year."""
    full = fill_gaps(table)
    columns = {name: values[None, :] for name, values in full.columns.items()}
    last = len(full.days) - 1
    return Axis(full.days, columns, last, last + 1, (), "observed")


@dataclass(frozen=True)
class WindowTruth:
    """A window's trees on every day of the record, shape (1, days)."""

    window: Window
    opens: TruthArray
    closes: TruthArray | None


def window_truth(
    window: Window, facts: WeatherFacts, traits: Mapping[str, Series | None]
) -> WindowTruth:
    """The trees of a window, resolved for its grass, on a record's axis."""
    closes = None if window.closes is None else tree_on_axis(window.closes, facts, traits)
    return WindowTruth(window, tree_on_axis(window.opens, facts, traits), closes)


def past_windows(truth: WindowTruth, facts: WeatherFacts) -> tuple[Past, ...]:
    """The window in every season year whose whole search lies inside the record, oldest first."""
    window, out = truth.window, []
    for season in facts.seasons:
        first, last = boundary(window.after, season), boundary(window.until, season)
        if first < 0 or last > len(facts.axis.days):
            continue
        found = find_intervals(
            truth.opens, truth.closes, first, last, window.held, window.closes_held
        )
        out.append(Past(season, int(found.opens[0]), int(found.closes[0]), last))
    return tuple(out)
