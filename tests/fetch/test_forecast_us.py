"""The grid cell of the weather service: layers, units, nulls, and a form that has changed."""

from __future__ import annotations

import copy
import datetime as dt
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from advisor.fetch.failure import FetchFailed
from advisor.fetch.forecast_us import daily_values

SEATTLE = ZoneInfo("America/Los_Angeles")


def test_local_days(cell):
    days, columns = daily_values(cell, SEATTLE, "host")
    assert days == [dt.date(2016, 1, day) for day in (1, 2, 3)]
    np.testing.assert_array_equal(columns["air_max_c"], [5.0, 6.0, 7.5])
    np.testing.assert_array_equal(columns["air_min_c"], [-3.0, -2.0, 1.0])
    # 30 dry hours from 10 pm, then 6 mm from 4 to 10 am, nothing until 4 pm, and 12 mm from there
    # until 4 am: 8 mm of them by midnight. The third day is known to 4 am only.
    np.testing.assert_allclose(columns["rain_mm"], [0.0, 14.0, np.nan])
    np.testing.assert_allclose(columns["humidity_pct"], [80.0, 80.0, np.nan])
    np.testing.assert_allclose(columns["wind_m_s"], [5.0, np.nan, np.nan])


@pytest.mark.parametrize(
    ("layer", "uom", "value", "column", "want"),
    [
        ("maxTemperature", "wmoUnit:degF", 50.0, "air_max_c", 10.0),
        ("maxTemperature", "unit:degC", 10.0, "air_max_c", 10.0),
        ("minTemperature", "wmoUnit:degF", 14.0, "air_min_c", -10.0),
        ("windSpeed", "wmoUnit:m_s-1", 4.0, "wind_m_s", 4.0),
        ("windSpeed", "wmoUnit:km_h-1", 36.0, "wind_m_s", 10.0),
    ],
)
def test_units(cell, layer, uom, value, column, want):
    cell[layer]["uom"] = uom
    for item in cell[layer]["values"]:
        item["value"] = value
    _, columns = daily_values(cell, SEATTLE, "host")
    assert columns[column][0] == pytest.approx(want)


def test_nulls_are_unknown_not_zero(cell):
    for item in cell["quantitativePrecipitation"]["values"]:
        item["value"] = None
    cell["maxTemperature"]["values"][1]["value"] = None
    _, columns = daily_values(cell, SEATTLE, "host")
    assert np.isnan(columns["rain_mm"]).all()
    assert np.isnan(columns["air_max_c"]).tolist() == [False, True, False]


def test_a_day_colder_than_its_night_keeps_its_order(cell):
    cell["maxTemperature"]["values"][1]["value"] = -6.0
    _, columns = daily_values(cell, SEATTLE, "host")
    assert (columns["air_max_c"][1], columns["air_min_c"][1]) == (-2.0, -6.0)


def test_humidity_and_wind_may_be_missing(cell):
    del cell["windSpeed"], cell["relativeHumidity"]
    _, columns = daily_values(cell, SEATTLE, "host")
    assert set(columns) == {"air_max_c", "air_min_c", "rain_mm"}


def changes():
    """Ways in which the answer could change its form."""

    def rename(layer):
        return lambda cell: cell.update({f"{layer}s": cell.pop(layer)})

    def first(layer, **changed):
        return lambda cell: cell[layer]["values"][0].update(changed)

    yield rename("maxTemperature"), "'maxTemperature'"
    yield rename("minTemperature"), "'minTemperature'"
    yield rename("quantitativePrecipitation"), "'quantitativePrecipitation'"
    yield lambda cell: cell["maxTemperature"].pop("uom"), "unknown unit None"
    yield lambda cell: cell["maxTemperature"].update(uom="wmoUnit:K"), "unknown unit 'wmoUnit:K'"
    yield lambda cell: cell["maxTemperature"].update(uom="wmoUnit:mm"), "unknown unit 'wmoUnit:mm'"
    yield lambda cell: cell["maxTemperature"].update(values={}), "'maxTemperature'"
    yield lambda cell: cell["maxTemperature"]["values"][0].pop("value"), "wanted value and validT"
    yield lambda cell: cell["maxTemperature"]["values"][0].pop("validTime"), "wanted value and va"
    yield first("minTemperature", value="5"), "wanted a number, found '5'"
    yield first("minTemperature", value=float("nan")), "wanted a number, found nan"
    yield first("minTemperature", value=True), "wanted a number, found True"
    yield first("windSpeed", value=[]), "wanted a number"
    yield first("maxTemperature", validTime=7), "'7' is no start and duration"


@pytest.mark.parametrize(("change", "said"), list(changes()))
def test_a_changed_field_is_named(cell, change, said):
    changed = copy.deepcopy(cell)
    change(changed)
    with pytest.raises(FetchFailed, match=said) as caught:
        daily_values(changed, SEATTLE, "host")
    assert "has another form than it had" in str(caught.value)


def nodes(tree, path=()):
    """The paths to everything in a JSON tree."""
    yield path
    items = (
        tree.items()
        if isinstance(tree, dict)
        else enumerate(tree)
        if isinstance(tree, list)
        else ()
    )
    for key, child in items:
        yield from nodes(child, (*path, key))


ODD = st.one_of(
    st.none(), st.booleans(), st.integers(), st.floats(), st.text(max_size=8), st.just([]),
    st.just({}), st.just([{}]), st.just(10**400), st.just("9999-12-31T23:00:00Z/P29D"),
    st.just("0001-01-01T00:00:00+14:00/PT1H"), st.just("2016-01-01T00:00:00Z/PT6H"),
    st.just({"uom": "wmoUnit:degC", "values": []}),
)  # fmt: skip


@settings(max_examples=300, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.data())
def test_any_part_may_be_replaced_by_anything(cell, data):
    changed = copy.deepcopy(cell)
    for _ in range(data.draw(st.integers(1, 3))):
        path = data.draw(st.sampled_from([path for path in nodes(changed) if path]))
        parent = changed
        for key in path[:-1]:
            parent = parent[key]
        parent[path[-1]] = copy.deepcopy(data.draw(ODD))
    try:
        days, columns = daily_values(changed, SEATTLE, "host")
    except FetchFailed:
        return
    assert all(len(values) == len(days) for values in columns.values())
    assert not any(np.isinf(values).any() for values in columns.values())


@pytest.mark.parametrize("number", [1.1e9, 7.490388061926316e306, float("inf")])
def test_a_number_that_no_weather_has_is_refused(cell, number):
    changed = copy.deepcopy(cell)
    changed["quantitativePrecipitation"]["values"][0]["value"] = number
    with pytest.raises(FetchFailed, match="'quantitativePrecipitation': wanted a number, found"):
        daily_values(changed, SEATTLE, "host")
