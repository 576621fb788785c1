"""Working days against the published United States federal holidays of 2026 (5 U.S.C. 6103)."""

import datetime as dt

from advisor.base.working_days import is_working_day, working_days_before


def test_labor_day_is_no_working_day():
    """Labor Day is the first Monday in September: 7 September 2026."""
    assert not is_working_day(dt.date(2026, 9, 7), "US")
    assert is_working_day(dt.date(2026, 9, 8), "US")
    assert is_working_day(dt.date(2026, 9, 7), "GB")


def test_three_working_days_before_the_saturday_after_labor_day():
    assert working_days_before(dt.date(2026, 9, 12), 3, "US") == dt.date(2026, 9, 9)


def test_a_holiday_is_not_counted():
    """Tuesday 8 September less two working days: Friday 4, Thursday 3; Monday is the holiday."""
    assert working_days_before(dt.date(2026, 9, 8), 2, "US", "OH") == dt.date(2026, 9, 3)
    assert working_days_before(dt.date(2026, 9, 8), 2, None) == dt.date(2026, 9, 4)


def test_an_unknown_country_or_subdivision_has_weekends_all_the_same():
    assert not is_working_day(dt.date(2026, 9, 12), "ZZ")
    assert is_working_day(dt.date(2026, 9, 11), "ZZ")
    assert not is_working_day(dt.date(2026, 9, 7), "US", "no such state")
