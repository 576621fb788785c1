"""Working days against the published United States federal holidays of 2026 (5 U.S.C. 6103)."""

import datetime as dt
import json
import subprocess
import sys

import pytest

from advisor.base import working_days
from advisor.base.cache import keep_json
from advisor.base.working_days import holiday_names, is_working_day, working_days_before


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


@pytest.fixture
def asked(tmp_path, monkeypatch) -> list[object]:
    """Grows by one each time the library is asked, instead of what was kept."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    found: list[object] = []
    ask = working_days._asked

    def counting(*given):
        found.append(given)
        return ask(*given)

    monkeypatch.setattr(working_days, "_asked", counting)
    holiday_names.cache_clear()
    yield found
    holiday_names.cache_clear()


def _as_if_started_anew(*given):
    holiday_names.cache_clear()
    return holiday_names(*given)


def test_kept_holidays_are_those_of_the_library(asked):
    for place in (("US", "OH"), ("US", None), ("DE", "BY"), ("US", "no/such\0state")):
        fresh, again = (_as_if_started_anew(*place, 2026) for _ in range(2))
        assert list(again.items()) == list(fresh.items())
        assert fresh
    assert len(asked) == 4
    assert _as_if_started_anew("US", "OH", 2027) != _as_if_started_anew("US", "OH", 2026)


def test_kept_holidays_need_no_library(asked):
    holiday_names("US", "OH", 2026)
    program = (
        "import sys; from advisor.base.working_days import holiday_names;"
        "print(len(holiday_names('US', 'OH', 2026)), 'holidays' in sys.modules)"
    )
    said = subprocess.run([sys.executable, "-c", program], capture_output=True, check=True).stdout
    assert said.split() == [str(len(holiday_names("US", "OH", 2026))).encode(), b"False"]


def test_another_version_of_the_library_is_asked_anew(asked, monkeypatch):
    fresh = holiday_names("US", "OH", 2026)
    monkeypatch.setattr(working_days, "_library", lambda: ("holidays-0.1.dist-info",))
    assert _as_if_started_anew("US", "OH", 2026) == fresh
    assert len(asked) == 2


@pytest.mark.parametrize("share", [0.0, 0.5, 0.99])
def test_cut_holidays_are_asked_for_anew(asked, tmp_path, share):
    fresh = holiday_names("US", "OH", 2026)
    (file,) = (tmp_path / "turf-windows").iterdir()
    raw = file.read_bytes()
    file.write_bytes(raw[: int(len(raw) * share)])
    assert _as_if_started_anew("US", "OH", 2026) == fresh
    assert len(asked) == 2


@pytest.mark.parametrize("other", [None, [], 3, {"2026-02-30": "a"}, {"2026-01-01": 1}, {"x": "y"}])
def test_what_is_no_list_of_holidays_is_asked_for_anew(asked, tmp_path, other):
    fresh = holiday_names("US", "OH", 2026)
    (file,) = (tmp_path / "turf-windows").iterdir()
    key = file.read_bytes()[64:].split(b"\n", 1)[0].decode()
    keep_json(file.name, key, other)
    assert json.loads(file.read_bytes().split(b"\n", 1)[1]) == other
    assert _as_if_started_anew("US", "OH", 2026) == fresh
    assert len(asked) == 2
