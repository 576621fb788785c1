"""The whole command against a local server: what is kept, what is said, whatever goes wrong."""

from __future__ import annotations

import datetime as dt
import json
import os
import socket
from pathlib import Path

import numpy as np
import pytest

from advisor.answers.sources import weather_line
from advisor.base.problems import BadInput
from advisor.base.record import replace
from advisor.cases.open_folder import open_case
from advisor.fetch.settings import Services
from advisor.rulebook.read_rulebook import read_rulebook
from advisor.weather.kept_weather import forecast_path, history_path, read_forecast, read_history
from advisor.weather.read_weather import read_weather

DATA = Path(__file__).parents[1] / "data" / "ncei"
POINT_PATH, CELL_PATH, DAILY_PATH = "/points/47.45,-122.31", "/gridpoints/SEW/124,61", "/daily"
TODAY = dt.date(2016, 1, 1)
NOW = dt.datetime(2016, 1, 1, 18, 0, tzinfo=dt.UTC)


def test_both_are_fetched_and_read_back(serve_well, fetch, site):
    forecast, history = fetch()
    assert (forecast.there, forecast.trouble) == (True, "")
    assert (history.there, history.trouble) == (True, "")
    kept = read_history(history_path(site), TODAY)
    own = read_weather(DATA / "seattle_2012_2015.csv", today=TODAY)
    assert (kept.table.first, kept.table.end) == (own.first, own.end)
    for name in ("air_max_c", "air_min_c", "rain_mm"):
        np.testing.assert_array_equal(kept.table.columns[name], own.columns[name])
    assert "USW00024233 SEATTLE TACOMA AIRPORT" in kept.attribution
    assert "2012-01-01 to 2015-12-31" in history.line
    ahead = read_forecast(forecast_path(site))
    assert ahead.issued == dt.datetime(2016, 1, 1, 16, 30, tzinfo=dt.UTC)
    assert ahead.table.first == TODAY
    assert list(ahead.table.columns["air_max_c"]) == [5.0, 6.0, 7.5]
    assert "National Weather Service" in ahead.attribution
    assert not [path for path in (site / "fetched").iterdir() if path.suffix == ".part"]


def test_the_services_are_asked_as_they_want(serve_well, fetch):
    fetch()
    assert serve_well.paths() == [POINT_PATH, CELL_PATH, DAILY_PATH]
    for asked in serve_well.asked:
        assert asked.headers["User-Agent"].startswith("turf-windows/")
        assert "(keeper@example.org)" in asked.headers["User-Agent"]
    query = serve_well.asked[-1].query
    assert query["units"] == "metric"
    assert query["format"] == "csv"
    assert query["dataset"] == "daily-summaries"
    assert (query["startDate"], query["endDate"]) == ("2012-01-01", "2016-01-01")


def test_what_is_fresh_is_not_asked_for_again(serve_well, fetch, clock):
    fetch()
    clock.tick(dt.timedelta(minutes=19))
    again, history = fetch()
    assert len(serve_well.asked) == 3
    assert "good until 2016-01-01 18:20 UTC, not asked again" in again.line
    assert "fetched 19 minutes ago" in history.line
    clock.tick(dt.timedelta(minutes=2))
    fetch()
    assert serve_well.paths()[3:] == [POINT_PATH, CELL_PATH]  # the history is good for an hour


def test_later_only_the_last_weeks_of_the_history_are_asked(serve_well, fetch, site, clock, reply,
                                                           ncei_answer):  # fmt: skip
    fetch()
    before = read_history(history_path(site), TODAY).table
    clock.tick(dt.timedelta(hours=3))
    # The archive has corrected one day.
    corrected = ncei_answer("2015-11-01").replace('"2015-12-31","', '"2015-12-31","1')
    serve_well.on(DAILY_PATH, reply(corrected))
    fetch()
    assert serve_well.asked[-1].query["startDate"] == "2015-11-01"
    after = read_history(history_path(site), TODAY)
    assert after.details["from"] == "2012"
    assert len(after.table) == len(before)
    differing = after.table.columns["air_max_c"] != before.columns["air_max_c"]
    assert np.flatnonzero(differing).tolist() == [len(before) - 1]


def test_an_earlier_year_and_another_station_are_fetched_whole(serve_well, fetch, clock):
    fetch()
    fetch(from_year=2010)
    assert serve_well.asked[-1].query["startDate"] == "2010-01-01"
    _, history = fetch(station="USW00094996")
    assert serve_well.asked[-1].query["stations"] == "USW00094996"
    assert "asked for USW00094996, answered for USW00024233" in history.trouble


def broken(kind, reply, body):
    """A reply to a request that went well before, and what is said about it."""
    half = body[: len(body) // 2]
    return {
        "500": (reply("no", status=500), "answered 500 (3 tries)"),
        "503 with a reason": (
            reply('{"title": "Forecast Grid Expired"}', status=503),
            "answered 503: Forecast Grid Expired (3 tries)",
        ),
        "404": (reply(status=404), "answered 404"),
        "403": (reply(status=403), "answered 403"),
        "429": (reply(status=429, headers={"Retry-After": "0"}), "answered 429 (3 tries)"),
        "429 for an hour": (
            reply(status=429, headers={"Retry-After": "3600"}),
            "answered 429; it asks to wait 3,600 s",
        ),
        "half, promised whole": (reply(half, promised=len(body)), "broke off half-way (3 tries)"),
        "half, nothing promised": (reply(half, promised=-1), " off"),
        "empty": (reply(""), " answer "),
        "a log-in page": (reply("<html><body>Welcome</body></html>"), "the answer is "),
        "slow": (reply(body, stall=20), "no answer within 1 s (3 tries)"),
        "dripping": (reply(body, drip=0.05), "came too slowly; gave up half-way"),
        "not text": (reply(b"\xff\xfe\x00\x01"), "no UTF-8 text"),
        "a day behind": (
            reply(body, dated="Thu, 31 Dec 2015 18:00:00 GMT"),
            "24 h ahead of that of 127.0.0.1",
        ),
        "a day ahead": (
            reply(body, dated="Sat, 02 Jan 2016 18:00:00 GMT"),
            "24 h behind that of 127.0.0.1",
        ),
    }[kind]


KINDS = (
    "500", "503 with a reason", "404", "403", "429", "429 for an hour", "half, promised whole",
    "half, nothing promised", "empty", "a log-in page", "slow", "dripping", "not text",
    "a day behind", "a day ahead",
)  # fmt: skip


@pytest.mark.slow
@pytest.mark.sample(15)
@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("path", [POINT_PATH, CELL_PATH, DAILY_PATH])
def test_whatever_goes_wrong_the_old_data_stay(
    path, kind, serve_well, fetch, site, clock, reply, quick
):
    fetch()
    files = (forecast_path(site), history_path(site))
    before = [file.read_bytes() for file in files]
    clock.move_to(NOW + dt.timedelta(hours=2))
    body = serve_well.replies[path][0].body
    answer, said = broken(kind, reply, body)
    if "ahead" in kind or "behind" in kind:
        clock.move_to(NOW)
        for file in files:  # expired
            file.write_text(file.read_text().replace("# expires: 2016", "# expires: 2015"))
        before = [file.read_bytes() for file in files]
    serve_well.on(path, answer)
    limits = {"slow": {"read": 1.0}, "dripping": {"whole": 6.0}}.get(kind, {})
    forecast, history = fetch(patience=replace(quick, **limits))
    wrong, right = (history, forecast) if path == DAILY_PATH else (forecast, history)
    at = 1 if path == DAILY_PATH else 0
    assert files[at].read_bytes() == before[at]
    assert files[1 - at].read_bytes() != before[1 - at]
    assert right.trouble == ""
    assert wrong.there
    assert said in wrong.trouble
    assert "\n" not in wrong.trouble
    assert "; kept is the " in wrong.trouble
    assert ", fetched " in wrong.trouble.split("; kept is the ")[1]
    names = {file.name for file in (site / "fetched").iterdir()}
    assert names == {"forecast.csv", "history.csv"}


def test_network_off(serve_well, fetch, site, clock):
    fetch()
    clock.tick(dt.timedelta(days=3))
    with socket.socket() as closed:
        closed.bind(("127.0.0.1", 0))
        dead = f"http://127.0.0.1:{closed.getsockname()[1]}"
    for outcome in fetch(services=Services(dead, dead, dead)):
        assert "no connection" in outcome.trouble
        assert "fetched 3 days ago" in outcome.trouble
        assert outcome.there


def test_names_do_not_resolve(serve_well, fetch, clock):
    """RFC 6761, 6.4: names under .invalid never resolve."""
    fetch()
    clock.tick(dt.timedelta(days=3))
    dead = "https://weather.invalid"
    for outcome in fetch(services=Services(dead, dead, dead)):
        assert "weather.invalid: no connection" in outcome.trouble
        assert "fetched 3 days ago" in outcome.trouble


def test_nothing_there_and_nothing_to_be_had(server, fetch, site):
    for outcome in fetch():
        assert not outcome.there
        assert "answered 404" in outcome.trouble
    assert not (site / "fetched").exists()


def test_a_pause_that_is_asked_for_is_kept(serve_well, fetch, reply, monkeypatch):
    pauses = []
    monkeypatch.setattr("tenacity.nap.time.sleep", pauses.append)
    good = serve_well.replies[DAILY_PATH][0]
    serve_well.on(DAILY_PATH, reply(status=429, headers={"Retry-After": "1"}), good)
    _, history = fetch()
    assert history.trouble == ""
    assert pauses == [1.0]


def test_a_passing_fault_is_tried_again(serve_well, fetch, reply):
    good = serve_well.replies[CELL_PATH][0]
    serve_well.on(CELL_PATH, reply(status=502), reply(status=500), good)
    forecast, _ = fetch()
    assert forecast.trouble == ""
    assert serve_well.paths().count(CELL_PATH) == 3


def test_a_refusal_is_not_tried_again(serve_well, fetch, reply):
    serve_well.on(POINT_PATH, reply(status=403))
    fetch()
    assert serve_well.paths().count(POINT_PATH) == 1


def test_an_older_forecast_does_not_replace_a_newer(serve_well, fetch, site, clock, reply):
    fetch()
    before = forecast_path(site).read_bytes()
    clock.tick(dt.timedelta(hours=2))
    body = serve_well.replies[CELL_PATH][0].body
    serve_well.on(CELL_PATH, reply(body.replace("T16:30:00", "T15:30:00")))
    forecast, _ = fetch()
    assert "sent the forecast of 2016-01-01 15:30 UTC, older than" in forecast.trouble
    assert forecast_path(site).read_bytes() == before


def test_a_forecast_from_the_future(serve_well, fetch, reply):
    body = serve_well.replies[CELL_PATH][0].body
    answer = reply(body.replace("2016-01-01T16:30", "2016-01-02T16:30"), dated=None)
    serve_well.on(CELL_PATH, answer)
    forecast, _ = fetch()
    assert "in the future; is the clock right?" in forecast.trouble


def test_half_a_history_that_looks_whole(serve_well, fetch, site, clock, reply, ncei_answer):
    fetch()
    before = history_path(site).read_bytes()
    clock.tick(dt.timedelta(hours=2))
    serve_well.on(DAILY_PATH, reply(ncei_answer("2015-11-01", "2015-11-20")))
    _, history = fetch()
    assert "20 days came of the 61 that are already known" in history.trouble
    assert history_path(site).read_bytes() == before


def test_a_silent_empty_answer(serve_well, fetch, reply, ncei_answer):
    for body in ("", "\n", ncei_answer("1900", "1900")):
        serve_well.on(DAILY_PATH, reply(body))
        _, history = fetch()
        assert "an empty answer for station USW00024233" in history.trouble
        assert not history.there


def test_impossible_values_are_not_kept(serve_well, fetch, reply, ncei_answer):
    serve_well.on(DAILY_PATH, reply(ncei_answer().replace('"12.8"', '"128"', 1)))
    _, history = fetch()
    assert (
        "the answer is of no use: line 1: units 'metric' (°C and mm) cannot be right"
        in history.trouble
    )
    assert not history.there


def test_a_clock_that_was_set_back_does_not_hide_the_data(serve_well, fetch, site, clock):
    fetch()
    clock.move_to(NOW - dt.timedelta(days=1))
    forecast, history = fetch(offline=True)
    assert "fetched 2016-01-01 18:00 UTC, which is in the future by this clock" in forecast.line
    assert history.there
    assert read_history(history_path(site), dt.date(2015, 12, 31)) is not None


def test_offline_asks_nobody(serve_well, fetch, clock):
    fetch()
    count = len(serve_well.asked)
    clock.tick(dt.timedelta(days=9))
    forecast, history = fetch(offline=True)
    assert len(serve_well.asked) == count
    assert "fetched 9 days ago" in forecast.line
    assert "fetched 9 days ago" in history.line


def test_the_station_is_remembered(serve_well, fetch, site, clock):
    text = (site / "site.yaml").read_text()
    (site / "site.yaml").write_text(text.replace("weather_source: {kind: us, station", "# {"))
    forecast, history = fetch()
    assert forecast.there
    assert "no station is named" in history.line
    fetch(station="USW00024233")
    clock.tick(dt.timedelta(hours=2))
    _, history = fetch()
    assert history.there
    assert "no station is named" not in history.line
    assert serve_well.paths().count(DAILY_PATH) == 2


@pytest.mark.parametrize(
    ("found", "written", "said"),
    [
        ("contact: keeper@example.org\n", "", "no contact; weather services ask who calls"),
        ("keeper@example.org", '"käfer@example.org"', "cannot be sent"),
        ("country: US", "country: CA", "no built-in weather source for CA"),
        ("USW00024233", "Seattle", "'Seattle' is no station; wanted a GHCN id"),
    ],
)
def test_what_cannot_be_asked(found, written, said, fetch, site, monkeypatch):
    monkeypatch.delenv("ADVISOR_CONTACT", raising=False)
    text = (site / "site.yaml").read_text().replace(found, written)
    (site / "site.yaml").write_text(text)
    with pytest.raises(BadInput, match=said):
        fetch()


@pytest.mark.parametrize("year", [1492, 2017])
def test_a_year_that_has_no_records(year, fetch):
    with pytest.raises(BadInput, match="is no year of a record; wanted 1850 to 2016"):
        fetch(from_year=year)


def test_a_spoilt_file_is_replaced(serve_well, fetch, site):
    fetch()
    history_path(site).write_text("date,max temp (C)\n")
    _, history = fetch()
    assert (history.there, history.trouble) == (True, "")


def test_answers_name_each_source_and_its_age(serve_well, fetch, site, clock):
    fetch()
    book = read_rulebook()
    said = weather_line(open_case(site, book, TODAY))
    assert "SEATTLE TACOMA AIRPORT, WA US, 1 day old" in said
    assert "forecast of the National Weather Service, issued today" in said
    clock.tick(dt.timedelta(days=2))
    lawn = open_case(site, book)
    assert "forecast of the National Weather Service, 2 days old" in weather_line(
        replace(lawn, on=TODAY + dt.timedelta(days=2))
    )
    # Before it was issued, nothing of it is known or said.
    before = weather_line(replace(lawn, on=TODAY - dt.timedelta(days=1)))
    assert "forecast" not in before
    assert "through today" in before


def test_the_keepers_own_record_goes_first(serve_well, fetch, site):
    fetch()
    (site / "weather.csv").write_text(
        "# My own thermometer\ndate,max temp (C),min temp (C),rain (mm)\n2015-12-31,1,-1,0\n"
    )
    lawn = open_case(site, read_rulebook())
    at = lawn.weather.index(dt.date(2015, 12, 31))
    assert lawn.weather.columns["air_max_c"][at] == 1
    assert lawn.weather.first == dt.date(2012, 1, 1)
    said = weather_line(replace(lawn, on=TODAY))
    assert said.count("My own thermometer") == 1
    assert "My own thermometer, 1 day old" in said


def test_this_mornings_low_is_kept_in_the_afternoon(serve_well, fetch, site, clock, reply, cell):
    fetch()
    clock.tick(dt.timedelta(hours=3))
    later = dict(cell, updateTime="2016-01-01T20:30:00+00:00")
    lows = cell["minTemperature"]["values"]
    later["minTemperature"] = {"uom": "wmoUnit:degC", "values": lows[1:]}
    later["maxTemperature"] = {
        "uom": "wmoUnit:degC",
        "values": [dict(item, value=9.0) for item in cell["maxTemperature"]["values"]],
    }
    serve_well.on(CELL_PATH, reply(json.dumps({"properties": later})))
    fetch()
    kept = read_forecast(forecast_path(site))
    assert kept.issued.hour == 20
    assert kept.table.first == TODAY
    assert kept.table.columns["air_max_c"].tolist()[:3] == [5.0, 9.0, 9.0]
    assert kept.table.columns["air_min_c"].tolist()[:3] == [-3.0, -2.0, 1.0]


def test_yesterdays_forecast_is_not_carried_on(serve_well, fetch, site, clock, reply, cell):
    fetch()
    clock.move_to(NOW + dt.timedelta(days=1))
    later = dict(cell, updateTime="2016-01-02T16:30:00+00:00")
    for name in ("minTemperature", "maxTemperature"):
        values = cell[name]["values"][2:3]  # the 3rd only
        later[name] = {"uom": "wmoUnit:degC", "values": values}
    serve_well.on(CELL_PATH, reply(json.dumps({"properties": later})))
    fetch()
    assert read_forecast(forecast_path(site)).table.first == dt.date(2016, 1, 3)


def test_a_forecast_that_is_over(serve_well, fetch, site, clock):
    fetch()
    before = forecast_path(site).read_bytes()
    clock.tick(dt.timedelta(days=5))
    forecast, _ = fetch()
    assert "its forecast ended on 2016-01-03" in forecast.trouble
    assert forecast_path(site).read_bytes() == before


def test_data_from_the_future_are_not_taken_for_fresh(serve_well, fetch, clock):
    fetch()
    clock.move_to(NOW - dt.timedelta(days=1))
    fetch()
    assert serve_well.paths().count(DAILY_PATH) == 2


def test_nothing_unfinished_is_left_behind(serve_well, fetch, site, reply, ncei_answer):
    impossible = ncei_answer("2012-01-01", "2012-01-09").replace('"7.2"', '"60.2"')
    serve_well.on(DAILY_PATH, reply(impossible.replace("TMIN_A", "X").replace("TMAX_A", "Y")))
    serve_well.on(CELL_PATH, reply(serve_well.replies[CELL_PATH][0].body.replace("7.5", "75")))
    forecast, history = fetch()
    assert "is of no use" in forecast.trouble
    assert "is of no use" in history.trouble
    assert list((site / "fetched").iterdir()) == []


def test_a_folder_that_cannot_be_written_is_one_clear_line(serve_well, fetch, site):
    (site / "fetched").write_text("in the way")
    with pytest.raises(BadInput, match="cannot be written"):
        fetch()


@pytest.mark.parametrize("step", ["fsync", "replace"])
def test_a_disk_that_fails_half_way_leaves_the_old_file(step, serve_well, fetch, site, clock,
                                                       monkeypatch):  # fmt: skip
    fetch()
    before = forecast_path(site).read_bytes()
    clock.tick(dt.timedelta(hours=2))

    def fail(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(*((os, "fsync") if step == "fsync" else (Path, "replace")), fail)
    with pytest.raises(BadInput, match="cannot be written: No space left on device"):
        fetch()
    assert forecast_path(site).read_bytes() == before
    names = {path.name for path in (site / "fetched").iterdir()}
    assert names == {"forecast.csv", "history.csv"}
