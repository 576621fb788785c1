"""Summaries of season rows, against counts by hand and Python's own statistics."""

from __future__ import annotations

import math
from statistics import median

import pytest

from advisor.replay.days_said import month_day, say_day
from advisor.replay.seasons import SeasonRow
from advisor.replay.tables import WEEKS, seasons_changed, summarise

MIDSUMMER = (6, 21)


def row(season: int, opens: int | None, last: int | None, why: str = "cold") -> SeasonRow:
    if opens is None or last is None:
        return SeasonRow("seed", "autumn", season, "never", kept_shut_by=(why,))
    return SeasonRow(
        "seed", "autumn", season, "opened", opens, last, last - opens + 1, ("warm",), (why,)
    )


ROWS = [
    row(2001, 40, 80),
    row(2002, 44, 90, "dark"),
    row(2003, 52, 70),
    row(2004, None, None, "dark"),
    SeasonRow("seed", "autumn", 2005, "not known"),
]


def test_counts_and_medians() -> None:
    found = summarise(ROWS)["seed", "autumn"]
    assert (found.years, found.opened, found.never, found.not_known) == (4, 3, 1, 1)
    assert found.opens is not None
    assert found.opens[1] == median([40, 44, 52])
    assert found.days is not None
    assert found.days[1] == median([41, 47, 19])
    assert found.ended_by == (("cold", 2), ("dark", 1))
    assert found.kept_shut_by == (("dark", 1),)


def test_a_week_counts_with_four_of_its_days() -> None:
    weeks = summarise(ROWS)["seed", "autumn"].weeks
    assert len(weeks) == WEEKS
    spans = [(40, 80), (44, 90), (52, 70)]
    for week in range(WEEKS):
        days = range(7 * week, 7 * week + 7)
        most = sum(sum(a <= day <= b for day in days) >= 4 for a, b in spans)
        assert weeks[week] == most / 4  # the year in which it never opened counts


def test_a_window_may_last_into_the_next_season_year() -> None:
    weeks = summarise([row(2001, 300, 500)])["seed", "autumn"].weeks
    assert weeks[500 // 7] == 1.0
    assert sum(weeks) == 500 // 7 - 300 // 7


def test_without_a_year_nothing_is_said() -> None:
    found = summarise([SeasonRow("seed", "autumn", 2005, "not known")])["seed", "autumn"]
    assert (found.years, found.opens, found.days) == (0, None, None)
    assert all(map(math.isnan, found.weeks))
    assert summarise([]) == {}


def test_two_comparisons_of_one_day_both_count() -> None:
    both = SeasonRow("seed", "autumn", 2001, "opened", 1, 2, 2, ("warm", "wet"), ("cold",))
    assert summarise([both])["seed", "autumn"].opened_by == (("warm", 1), ("wet", 1))


@pytest.mark.parametrize(
    ("after", "changed"),
    [(ROWS, 0), ([*ROWS[:3], row(2004, 60, 61), ROWS[4]], 1), ([row(2001, 40, 81)], 1)],
)
def test_seasons_that_changed_are_counted(after: list[SeasonRow], changed: int) -> None:
    assert seasons_changed(ROWS, after) == {("seed", "autumn"): changed}


def test_days_are_said_as_days_of_the_year() -> None:
    assert say_day(0, MIDSUMMER) == "21 Jun"
    assert say_day(254, MIDSUMMER) == "2 Mar"
    assert month_day(10, (12, 21)) == "12-31"
    assert month_day(11, (12, 21)) == "01-01"
    assert month_day(365 + 76, MIDSUMMER) == "09-05"
