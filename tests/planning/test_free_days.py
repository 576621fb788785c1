"""Free days against the laws that make them, over ten years, and against days counted by hand.

The laws' own rules are written out here with dateutil, which knows nothing of public holidays:

- United States: 5 U.S.C. 6103(a) (Monday holidays; 19 June since 2021).
- New Zealand: Holidays Act 2003, sections 44 and 45A (Labour Day, the King's (Queen's) Birthday,
  Good Friday, Easter Monday).
- Germany, Brandenburg: Feiertagsgesetz (FTG) of 21 March 1991, section 2, read from memory.
"""

from __future__ import annotations

import datetime as dt

import pytest
from dateutil.easter import easter
from dateutil.relativedelta import FR, MO, TH, relativedelta

from advisor.advice.free_days import free_runs
from advisor.base.record import replace
from advisor.base.working_days import holiday_names, is_working_day
from advisor.records.check_site import as_record
from advisor.records.limit_keys import LimitsKeys
from advisor.records.limits import NO_LIMITS, Limits
from advisor.records.record import People, Site, days_of, read_span
from advisor.records.site_keys import SiteKeys

YEARS = range(2021, 2031)


def nth(year: int, month: int, weekday: object, count: int) -> dt.date:
    """The count-th weekday of a month; a negative count from its end."""
    day = 1 if count > 0 else 31
    return dt.date(year, month, 1) + relativedelta(day=day, weekday=weekday(count))


@pytest.mark.parametrize("year", YEARS)
def test_united_states(year: int) -> None:
    law = {
        nth(year, 1, MO, 3), nth(year, 2, MO, 3), nth(year, 5, MO, -1), nth(year, 9, MO, 1),
        nth(year, 10, MO, 2), nth(year, 11, TH, 4),
        dt.date(year, 1, 1), dt.date(year, 6, 19), dt.date(year, 7, 4), dt.date(year, 11, 11),
        dt.date(year, 12, 25),
    }  # fmt: skip
    found = holiday_names("US", None, year)
    assert law <= found.keys()
    # What is more are the days on which those of a weekend are observed.
    assert all("observed" in name for day, name in found.items() if day not in law)


@pytest.mark.parametrize("year", YEARS)
def test_new_zealand(year: int) -> None:
    good_friday, easter_monday = (easter(year) + relativedelta(days=n) for n in (-2, 1))
    law = {
        good_friday, easter_monday, nth(year, 6, MO, 1), nth(year, 10, MO, 4),
        dt.date(year, 1, 1), dt.date(year, 1, 2), dt.date(year, 2, 6), dt.date(year, 4, 25),
        dt.date(year, 12, 25), dt.date(year, 12, 26),
    }  # fmt: skip
    assert law <= holiday_names("NZ", None, year).keys()


@pytest.mark.parametrize("year", YEARS)
def test_brandenburg(year: int) -> None:
    sunday = easter(year)
    moving = {sunday + relativedelta(days=n) for n in (-2, 0, 1, 39, 49, 50)}
    fixed = {(1, 1), (5, 1), (10, 3), (10, 31), (12, 25), (12, 26)}
    assert holiday_names("DE", "BB", year).keys() == moving | {dt.date(year, *d) for d in fixed}


def site(people: str = "{}", country: str = "US", subdivision: str = "OH") -> Site:
    return as_record(SiteKeys.model_validate(
        {
            "format": 1,
            "name": "lawn",
            "place": {
                "latitude": 41.4, "longitude": -81.9, "country": country, "subdivision": subdivision
            },
            "stand": [{"grass": "kentucky_bluegrass"}],
            "areas": [{"name": "lawn", "size": "3000 ft2"}],
            "people": people,
        }
    ), Site)  # fmt: skip


FIRST, LAST = dt.date(2026, 8, 31), dt.date(2026, 9, 13)


def spans(people: dict[str, object]) -> list[tuple[str, int]]:
    return [(str(r.first), len(r.days)) for r in free_runs(site(people), NO_LIMITS, FIRST, LAST)]


def test_labor_day_makes_three_days() -> None:
    runs = free_runs(site({}), NO_LIMITS, FIRST, LAST)
    assert [(str(r.first), len(r.days)) for r in runs] == [("2026-09-05", 3), ("2026-09-12", 2)]
    assert runs[0].holidays == ("Labor Day",)
    assert runs[0].is_long
    assert runs[0].name == "long weekend of Labor Day"
    assert runs[1].name == "weekend"


def test_who_works_on_holidays_has_an_ordinary_weekend() -> None:
    assert spans({"holidays_free": "no"}) == [("2026-09-05", 2), ("2026-09-12", 2)]


def test_days_off_and_blocked_days() -> None:
    off = {"days_off": ["2026-09-08 to 2026-09-09"], "blocked": [dt.date(2026, 9, 12)]}
    assert spans(off) == [("2026-09-05", 5), ("2026-09-13", 1)]


@pytest.mark.parametrize(
    ("limits", "wanted"),
    [
        ({"away": ["2026-09-05 to 2026-09-06"]}, ["2026-09-07", "2026-09-12", "2026-09-13"]),
        ({"away": [dt.date(2026, 9, 6)]}, ["2026-09-05", "2026-09-07", "2026-09-12", "2026-09-13"]),
        ({"work": ["sunday 13:00 to 17:00"]}, ["2026-09-06", "2026-09-13"]),
        (
            {"work": ["08:00 to 12:00", "2026-09-12 never"]},
            ["2026-09-05", "2026-09-06", "2026-09-07", "2026-09-13"],
        ),
    ],
)
def test_no_day_is_free_on_which_nobody_can_work(
    limits: dict[str, object], wanted: list[str]
) -> None:
    # Counted by hand in the calendar of 2026; 7 September is Labor Day.
    lawn = replace(site({}), limits=as_record(LimitsKeys.model_validate(limits), Limits))
    runs = free_runs(lawn, lawn.limits, FIRST, LAST)
    assert [str(day) for run in runs for day in run.days] == wanted
    # Each run is days in a row, so a day away within a long weekend parts it.
    assert all((run.last - run.first).days + 1 == len(run.days) for run in runs)


def test_a_day_away_is_no_bridge() -> None:
    first, last = dt.date(2026, 11, 23), dt.date(2026, 11, 30)
    friday = ((dt.date(2026, 11, 27), dt.date(2026, 11, 27)),)
    lawn = replace(site({"bridge_days": "yes"}), limits=Limits(away=friday))
    assert [len(run.days) for run in free_runs(lawn, lawn.limits, first, last)] == [1, 2]


def test_a_bridge_joins_a_holiday_to_the_weekend_only_if_allowed() -> None:
    # Thanksgiving is a Thursday (5 U.S.C. 6103): the Friday after it is no federal holiday.
    first, last = dt.date(2026, 11, 23), dt.date(2026, 11, 30)
    apart = free_runs(site({}), NO_LIMITS, first, last)
    assert [len(r.days) for r in apart] == [1, 2]
    joined = free_runs(site({"bridge_days": "yes"}), NO_LIMITS, first, last)
    assert [len(r.days) for r in joined] == [4]
    assert [f"{day:%A}" for day in joined[0].bridges] == ["Friday"]
    taken = {"bridge_days": "yes", "blocked": [dt.date(2026, 11, 27)]}
    assert [len(r.days) for r in free_runs(site(taken), NO_LIMITS, first, last)] == [1, 2]


def test_no_holidays_where_the_country_is_not_known() -> None:
    assert holiday_names(None, None, 2026) == {}
    assert holiday_names("XX", None, 2026) == {}
    assert is_working_day(dt.date(2026, 12, 25), None)
    assert not is_working_day(dt.date(2026, 12, 25), "US")
    assert not is_working_day(dt.date(2026, 12, 26), None)


def test_spans_as_written() -> None:
    assert read_span(dt.date(2026, 9, 1)) == (dt.date(2026, 9, 1), dt.date(2026, 9, 1))
    assert len(days_of((read_span("2026-09-01 to 2026-09-14"),))) == 14
    for wrong in (
        "tomorrow",
        "2026-09-14 to 2026-09-01",
        "2026-02-30",
        "2026-01-01 to 2027-01-02",
        7,
    ):
        with pytest.raises(ValueError, match=r"wanted|run forwards"):
            read_span(wrong)


def test_good_friday_is_a_friday() -> None:
    assert all((easter(y) + relativedelta(days=-2)).weekday() == FR.weekday for y in YEARS)


def test_people_may_say_nothing() -> None:
    assert People().holidays_free
    assert not People().bridge_days
