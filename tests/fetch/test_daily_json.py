"""A source of the keeper's choice: asked only with its terms accepted, and only as described."""

from __future__ import annotations

import datetime as dt
import json

import numpy as np
import pytest

from advisor.base.problems import BadInput
from advisor.fetch.refresh import Outcome
from advisor.weather.kept_weather import forecast_path, history_path, read_forecast, read_history

OWN = """\
weather_source:
  kind: daily_json
  attribution: "Weather by an invented service, CC BY 4.0"
  terms: "free for private use; 100 calls a day"
  accept_terms: yes
  answers:
    forecast: "URL/ahead?lat={latitude}&lon={longitude}&tz={time_zone}"
    history: "URL/past?lat={latitude}&lon={longitude}&from={from}&to={to}"
    days: daily.time
    air_max: {field: daily.high, unit: F, unit_at: units.high}
    air_min: {field: daily.low, unit: F}
    rain: {field: daily.rain, unit: in}
"""


def answer(first: str, count: int, **changed):
    days = [str(np.datetime64(first) + n) for n in range(count)]
    daily = {"time": days, "high": [68.0] * count, "low": [32] * count, "rain": [0.5] * count}
    return json.dumps({"units": {"high": "°F"}, "daily": daily | changed}, ensure_ascii=False)


@pytest.fixture
def own(site, server, reply):
    text = (site / "site.yaml").read_text()
    start = text.index("weather_source")
    (site / "site.yaml").write_text(text[:start] + OWN.replace("URL", server.url))
    server.on("/ahead", reply(answer("2015-12-31", 8)))
    server.on("/past", reply(answer("2012-01-01", 1462)))
    return site


def test_both_are_fetched(own, fetch, server):
    forecast, history, terms = fetch()
    assert (forecast.trouble, history.trouble) == ("", "")
    assert terms == Outcome("terms of the source: free for private use; 100 calls a day", False)
    assert server.asked[0].query == {"lat": "47.45", "lon": "-122.31", "tz": "America/Los_Angeles"}
    assert server.asked[1].query["from"] == "2012-01-01"
    assert server.asked[1].query["to"] == "2015-12-31"
    past = read_history(history_path(own), dt.date(2016, 1, 1))
    assert past.table.end == dt.date(2015, 12, 31)  # today is no history
    assert past.attribution == "Weather by an invented service, CC BY 4.0"
    ahead = read_forecast(forecast_path(own))
    assert (ahead.table.first, len(ahead.table)) == (dt.date(2016, 1, 1), 7)
    for table in (past.table, ahead.table):
        assert table.columns["air_max_c"][0] == 20.0
        assert table.columns["air_min_c"][0] == 0.0
        assert table.columns["rain_mm"][0] == 12.7


def test_nulls_are_unknown(own, fetch, server, reply):
    highs = [68.0, None, 51.0, 52.0, None]
    server.on("/ahead", reply(answer("2016-01-01", 5, high=highs, rain=[None] * 5)))
    fetch()
    table = read_forecast(forecast_path(own)).table
    assert np.isnan(table.columns["air_max_c"]).tolist() == [False, True, False, False]
    assert np.isnan(table.columns["rain_mm"]).all()


@pytest.mark.parametrize(
    ("body", "said"),
    [
        (answer("2016-01-01", 3).replace('"high": [', '"max": ['), "has no 'daily.high'"),
        (answer("2016-01-01", 3).replace('"daily"', '"days"'), "has no 'daily.time'"),
        (answer("2016-01-01", 3, high=[1.0]), "'daily.high' has 1 values, but there are 3 dates"),
        (answer("2016-01-01", 3, high=5), "'daily.high' has no list"),
        (answer("2016-01-01", 3, high=["a", 1, 2]), "holds 'a', which is no number"),
        (answer("2016-01-01", 3, time=["a", "b", "c"]), "holds 'a', which is no date"),
        (answer("2016-01-01", 3, time=["2016-01-01"] * 3), "a day stands twice"),
        (answer("2016-01-01", 3, high=[None] * 3), "no day with both temperatures"),
        (answer("2013-01-01", 3), "has no day from 2016-01-01"),
        (answer("2016-01-01", 3).replace("°F", "°C"), "is now in '°C'; site.yaml says 'F'"),
        (answer("2016-01-01", 3)[:60], "no whole JSON"),
        (answer("2016-01-01", 3, high=[500.0] * 3), "is of no use: "),
        (answer("2016-01-01", 3, low=[90.0] * 3), "lower than"),
        ("[1, 2]", "has no 'daily.time'"),
    ],
)
def test_a_changed_answer_is_named_and_nothing_is_lost(
    body, said, own, fetch, server, reply, clock
):
    fetch()
    before = forecast_path(own).read_bytes()
    clock.tick(dt.timedelta(hours=2))
    server.on("/ahead", reply(body))
    forecast = fetch()[0]
    assert said in forecast.trouble
    assert "\n" not in forecast.trouble
    assert forecast_path(own).read_bytes() == before


@pytest.mark.parametrize(
    ("found", "written", "said"),
    [
        ("accept_terms: yes", "accept_terms: no", "read the terms of the service"),
        ("  accept_terms: yes\n", "", "read the terms of the service"),
        ('  terms: "free for private use; 100 calls a day"\n', "", "needs 'terms'"),
        ("kind: daily_json", "kind: us", "'attribution' belongs to kind daily_json"),
        ("{latitude}", "{lat}", "'{lat}' cannot be filled in"),
        ("lat={latitude}&", "", "has no {latitude}"),
        ("from={from}&", "", "history has no {from}"),
        ("http://127.0.0.1", "http://example.org", "must begin with https://"),
        ("unit: in", "unit: C", "rain: "),
        ("unit: F}", "unit: furlong}", "air_min: "),
        ("  kind: daily_json", "  kind: daily_json\n  station: USW00024233", "belongs to kind us"),
        ("time_zone: America/Los_Angeles", "town: Seattle", "asks for it"),
    ],
)
def test_a_description_that_is_of_no_use(found, written, said, own, fetch, server):
    text = (own / "site.yaml").read_text()
    assert found in text
    (own / "site.yaml").write_text(text.replace(found, written))
    with pytest.raises(BadInput) as caught:
        fetch()
    assert said in str(caught.value)
    assert server.asked == []


def test_such_a_source_has_no_stations(own, fetch):
    with pytest.raises(BadInput, match="has no stations"):
        fetch(station="USW00024233")
