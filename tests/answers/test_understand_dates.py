"""Dates in questions, against the calendar and the date arithmetic of python-dateutil."""

from __future__ import annotations

import datetime as dt

import pytest
from dateutil.relativedelta import MO, SA, relativedelta
from dateutil.rrule import DAILY, rrule
from hypothesis import given
from hypothesis import strategies as st

from advisor.answers.date_spans import months_later, season_from, season_of_month
from advisor.answers.question_dates import find_dates
from advisor.answers.question_text import plain

WEDNESDAY = dt.date(2026, 9, 9)
DAYS = st.dates(dt.date(2000, 1, 1), dt.date(2090, 1, 1))
ONE_DAY = dt.timedelta(days=1)


def spans(text: str, on: dt.date = WEDNESDAY) -> list[tuple[str, str]]:
    found = find_dates(plain(text), on, 41)
    return [(str(d.first or ""), str(d.last or "")) for d in found]


@pytest.mark.parametrize(
    ("text", "first", "last"),
    [
        ("on 12 September", "2026-09-12", ""),
        ("on the 12th of September", "2026-09-12", ""),
        ("Sept. 12", "2026-09-12", ""),
        ("September 8", "2027-09-08", ""),
        ("12 Sep 2027", "2027-09-12", ""),
        ("2026-10-01", "2026-10-01", ""),
        ("9/25", "2026-09-25", ""),
        ("25/9/2027", "2027-09-25", ""),
        ("29 February", "2028-02-29", ""),
        ("tomorrow", "2026-09-10", ""),
        ("the day after tomorrow", "2026-09-11", ""),
        ("on Saturday", "2026-09-12", ""),
        ("on Wednesday", "2026-09-09", ""),
        ("next Wednesday", "2026-09-16", ""),
        ("on sat", "2026-09-12", ""),
        ("in two weeks", "2026-09-23", ""),
        ("in a fortnight", "2026-09-23", ""),
        ("a week from now", "2026-09-16", ""),
        ("in a month", "2026-10-09", ""),
        ("in the next 10 days", "2026-09-09", "2026-09-19"),
        ("this week", "2026-09-09", "2026-09-13"),
        ("next week", "2026-09-14", "2026-09-20"),
        ("this weekend", "2026-09-12", "2026-09-13"),
        ("at the weekend", "2026-09-12", "2026-09-13"),
        ("next weekend", "2026-09-19", "2026-09-20"),
        ("the weekend after next", "2026-09-26", "2026-09-27"),
        ("this month", "2026-09-09", "2026-09-30"),
        ("next month", "2026-10-01", "2026-10-31"),
        ("this year", "2026-09-09", "2026-12-31"),
        ("next year", "2027-01-01", "2027-12-31"),
        ("in October", "2026-10-01", "2026-10-31"),
        ("in August", "2027-08-01", "2027-08-31"),
        ("in September", "2026-09-09", "2026-09-30"),
        ("October 2028", "2028-10-01", "2028-10-31"),
        ("early October", "2026-10-01", "2026-10-10"),
        ("mid-October", "2026-10-11", "2026-10-20"),
        ("at the end of October", "2026-10-21", "2026-10-31"),
        ("in early September", "2026-09-09", "2026-09-10"),
        ("in early August", "2027-08-01", "2027-08-10"),
        ("this fall", "2026-09-09", "2026-11-30"),
        ("this autumn", "2026-09-09", "2026-11-30"),
        ("next autumn", "2027-09-01", "2027-11-30"),
        ("late fall", "2026-11-01", "2026-11-30"),
        ("in winter", "2026-12-01", "2027-02-28"),
        ("this spring", "2027-03-01", "2027-05-31"),
        ("this summer", "2026-09-09", "2026-09-20"),
        ("in summer", "2027-06-01", "2027-08-31"),
        ("before winter", "2026-09-09", "2026-11-30"),
        ("by October", "2026-09-09", "2026-10-31"),
        ("after October 15", "2026-10-16", ""),
        ("until spring", "", ""),
        ("three weeks ago", "", ""),
        ("last fall", "", ""),
        ("in May", "2027-05-01", "2027-05-31"),
    ],
)
def test_date_phrases(text: str, first: str, last: str) -> None:
    assert spans(f"should i sow {text}") == [(first, last)]


@pytest.mark.parametrize(
    "text",
    ["may I sow", "1/2 inch of thatch", "thatch of 3/4 in", "winter rye", "ph 6.2", "50/50 mix",
     "24/7", "the sun and the shade", "1 1/2 in"],
)  # fmt: skip
def test_no_dates(text: str) -> None:
    assert spans(text) == []


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("on 12/9", "'12/9' may be read in two ways"),
        ("on 1/2", "two ways"),
        ("3.4.2027", "two ways"),
        ("9/25/26", "two ways"),
        ("31 June", "no date of the calendar"),
        ("2026-13-01", "no date of the calendar"),
        ("October 0000", "no date of the calendar"),
        ("on Memorial Day", "not the same day everywhere"),
        ("at Easter", "not the same day everywhere"),
    ],
)
def test_dates_that_nobody_may_guess(text: str, says: str) -> None:
    with pytest.raises(ValueError, match=says):
        find_dates(plain(text), WEDNESDAY, 41)


@given(DAYS)
def test_weeks_and_weekends_as_dateutil_counts_them(on: dt.date) -> None:
    monday = on + relativedelta(days=1, weekday=MO(1))
    saturday = monday + relativedelta(weekday=SA(1))
    assert spans("next week", on) == [(str(monday), str(monday + 6 * ONE_DAY))]
    assert spans("next weekend", on) == [(str(saturday), str(saturday + ONE_DAY))]
    sunday = monday - ONE_DAY
    assert spans("this weekend", on) == [(str(max(on, sunday - ONE_DAY)), str(sunday))]


@given(DAYS, st.integers(0, 40))
def test_months_later_as_dateutil_counts_them(day: dt.date, months: int) -> None:
    assert months_later(day, months) == day + relativedelta(months=months)


@given(DAYS, st.integers(1, 12), st.integers(1, 28))
def test_a_day_without_a_year_is_the_next_one(on: dt.date, month: int, day: int) -> None:
    wanted = rrule(DAILY, bymonth=month, bymonthday=day, dtstart=on, count=1)[0].date()
    assert spans(f"{wanted:%B} {day}", on) == [(str(wanted), "")]


@given(DAYS, st.sampled_from(["spring", "summer", "autumn", "winter"]), st.sampled_from([41, -41]))
def test_a_season_is_never_over_and_holds_its_own_months(
    on: dt.date, season: str, latitude: int
) -> None:
    for which in ("", "next"):
        first, last = season_from(on, season, latitude, "", which)  # type: ignore[arg-type]
        assert on <= first <= last
        assert season_of_month(first.month, latitude) == season
        assert season_of_month(last.month, latitude) == season
        assert (first > on) or which == ""
