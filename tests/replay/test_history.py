"""Windows read off a whole record, against day lengths of an astronomy library and plain loops."""

from __future__ import annotations

import datetime as dt
from types import SimpleNamespace

import numpy as np
import pytest
from astral import Observer
from astral.sun import sunrise, sunset

from advisor.base.record import replace
from advisor.facts.fact import Lawn
from advisor.facts.weather_facts import WeatherFacts
from advisor.replay.history import past_windows, record_axis
from advisor.replay.seasons import FIRST_DAY, LAST_DAY, NEVER_HELD, SeasonRow, season_rows
from advisor.rulebook.conditions import Condition, Leaf
from advisor.rulebook.model import Boundary, Window
from advisor.weather.table import Source, WeatherTable

LATITUDE = 41.2
HOURS = 12.5


def record(first: dt.date, last: dt.date) -> WeatherTable:
    """A sine over the year, the same each year."""
    days = np.arange(np.datetime64(first), np.datetime64(last) + np.timedelta64(1, "D"))
    phase = 2 * np.pi * ((days - np.datetime64("2001-07-20")).astype(int) % 365.25) / 365.25
    mean = 11 + 13 * np.cos(phase)
    columns = {"air_max_c": mean + 6, "air_min_c": mean - 6, "rain_mm": np.zeros(len(days))}
    return WeatherTable(days, columns, Source("made up", "own file", ""))


def window(opens: Condition, closes: Condition | None = None, **more: object) -> Window:
    plain = Window(
        "w", "a window", 1, Boundary("midsummer", 30), Boundary("midwinter"), opens, closes, None
    )
    return replace(plain, **more)  # type: ignore[arg-type]


def facts(first: dt.date, last: dt.date) -> WeatherFacts:
    return WeatherFacts(record_axis(record(first, last)), Lawn(LATITUDE, 250.0))


@pytest.fixture(scope="module")
def three_years() -> WeatherFacts:
    return facts(dt.date(2002, 3, 1), dt.date(2005, 10, 1))


def hours_of_day(day: dt.date, latitude: float = LATITUDE) -> float:
    place = Observer(latitude, 0.0)
    return (sunset(place, day) - sunrise(place, day)).total_seconds() / 3600


def test_a_window_on_day_length_opens_when_the_sun_says(three_years: WeatherFacts) -> None:
    opens = window(Leaf("day_length", "under", HOURS))
    found = past_windows(opens, three_years, {})
    assert [past.season.year for past in found] == [2002, 2003, 2004]
    for past in found:
        day = dt.date(past.season.year, 7, 21)
        while hours_of_day(day) >= HOURS:
            day += dt.timedelta(days=1)
        assert abs((three_years.axis.date(past.opens) - day).days) <= 1


def test_a_season_whose_days_are_not_all_there_is_left_out() -> None:
    opens = window(Leaf("day_length", "under", HOURS))
    seasons = [
        past.season.year
        for past in past_windows(opens, facts(dt.date(2002, 7, 22), dt.date(2004, 12, 20)), {})
    ]
    # 2002 begins after the search does. That of 2004 ends on 20 December, the last day there is.
    assert seasons == [2003, 2004]
    earlier = facts(dt.date(2002, 7, 22), dt.date(2004, 12, 19))
    assert [past.season.year for past in past_windows(opens, earlier, {})] == [2003]


def test_days_after_the_last_observation_are_no_record() -> None:
    table = record(dt.date(2002, 3, 1), dt.date(2005, 10, 1))
    seen = {name: values.copy() for name, values in table.columns.items()}
    for values in seen.values():
        values[-40:] = np.nan
    axis = record_axis(WeatherTable(table.days, seen, table.source))
    assert axis.date(axis.today) == dt.date(2005, 10, 1) - dt.timedelta(days=40)


def rows(facts: WeatherFacts, *windows: Window) -> list[SeasonRow]:
    operation = SimpleNamespace(id="o", windows=windows)
    return list(season_rows([operation], facts, {}, lambda leaf: leaf.fact))  # type: ignore[list-item]


def test_what_opened_and_ended_it_is_named(three_years: WeatherFacts) -> None:
    cool = Leaf("soil_temperature_4in", "under", 20.0)
    short = Leaf("day_length", "under", 10.5)
    for row in rows(three_years, window(cool, short)):
        assert row.state == "opened"
        assert (row.opened_by, row.ended_by) == (("soil_temperature_4in",), ("day_length",))
        assert row.days == row.last - row.opens + 1


def test_it_names_the_edges_of_the_search(three_years: WeatherFacts) -> None:
    always = Leaf("day_length", "over", 0.0)
    for row in rows(three_years, window(always)):
        assert (row.opened_by, row.ended_by) == ((FIRST_DAY,), (LAST_DAY,))
        assert (row.opens, row.last) == (30, 182)  # 21 July; 20 December


def test_why_it_never_opened(three_years: WeatherFacts) -> None:
    late, hot = Leaf("day_length", "under", 9.8), Leaf("air_high_3d", "over", 60.0)
    shut = window(late, Leaf("soil_temperature_4in", "under", 15.0))
    for row in rows(three_years, shut):
        assert (row.state, row.kept_shut_by) == ("never", ("soil_temperature_4in",))
    for row in rows(three_years, window(hot)):
        assert (row.state, row.kept_shut_by) == ("never", (NEVER_HELD,))


def test_days_after_midsummer_skip_29_february(three_years: WeatherFacts) -> None:
    """A window of spring that the calendar alone opens: the same day each year, 2004 too."""
    spring = window(
        Leaf("day_length", "over", 0.0),
        after=Boundary("spring_equinox"),
        until=Boundary("next_midsummer"),
    )
    found = rows(three_years, spring)
    assert [row.season for row in found] == [2001, 2002, 2003, 2004]
    assert {row.opens for row in found} == {272}  # 20 March
    assert {row.last for row in found} == {364}  # 20 June


def test_the_south_has_its_season_half_a_year_later() -> None:
    span = record(dt.date(2002, 3, 1), dt.date(2005, 10, 1))
    south = WeatherFacts(record_axis(span), Lawn(-LATITUDE, 250.0))
    found = past_windows(window(Leaf("day_length", "under", HOURS)), south, {})
    assert [past.season.year for past in found] == [2002, 2003, 2004]
    for past in found:
        day = dt.date(past.season.year + 1, 1, 20)
        while hours_of_day(day, -LATITUDE) >= HOURS:
            day += dt.timedelta(days=1)
        assert abs((south.axis.date(past.opens) - day).days) <= 1
