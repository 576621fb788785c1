"""Histories of the two archives: real rows, cut at every byte, and years that are not there."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import numpy as np
import pytest

from advisor.base.problems import BadInput, Place
from advisor.fetch.client import Client
from advisor.fetch.failure import FetchFailed
from advisor.fetch.history_us import check_station, fetch_history_us
from advisor.fetch.settings import Services
from advisor.weather.read_weather import read_weather

DATA = Path(__file__).parents[1] / "data"
AUSTIN = "TX_Austin_33_NW"
SEATTLE = "USW00024233"
FIRST = dt.date(2012, 1, 1)


@pytest.fixture
def ask(server, quick, clock):
    services = Services(server.url, f"{server.url}/daily", f"{server.url}/crn")

    def run(station, first, today):
        with Client("me@example.org", quick) as client:
            return fetch_history_us(client, services, station, first, today).table

    return run


@pytest.mark.slow
def test_an_answer_cut_at_any_byte_is_refused_or_whole(server, reply, ask, ncei_answer):
    whole = ncei_answer("2012-01-01", "2012-01-04")
    days = len(whole.splitlines()) - 1
    last_rows = len(whole) - len(whole.splitlines(keepends=True)[-1]) - 30
    server.on("/daily", reply(whole, promised=-1))
    table = ask(SEATTLE, FIRST, dt.date(2012, 1, 5))
    assert len(table) == days
    refused = 0
    for cut in range(last_rows, len(whole)):
        server.on("/daily", reply(whole[:cut], promised=-1))
        try:
            part = ask(SEATTLE, FIRST, dt.date(2012, 1, 5))
        except FetchFailed:
            refused += 1
            continue
        for name in ("air_max_c", "air_min_c", "rain_mm"):
            np.testing.assert_array_equal(part.columns[name], table.columns[name][: len(part)])
    assert refused > 100


def test_flagged_values_and_blank_cells_are_unknown(server, reply, ask, ncei_answer):
    body = ncei_answer("2012-01-01", "2012-01-04")
    lines = body.splitlines()
    lines[2] = lines[2].replace('",,W,2400"', '",I,W,2400"', 1)  # TMAX failed a check
    lines[3] = lines[3].replace('"20.3"', '""').replace('"0.8"', '""')  # PRCP
    server.on("/daily", reply("\n".join(lines) + "\n"))
    table = ask(SEATTLE, FIRST, dt.date(2012, 1, 5))
    assert np.isnan(table.columns["air_max_c"]).tolist() == [False, True, False, False]
    assert np.isnan(table.columns["rain_mm"]).tolist() == [False, False, True, False]


@pytest.mark.parametrize(
    ("body", "said"),
    [
        ('"STATION","DAY","TMAX"\n"USW00024233","2012-01-01","5"\n', "has other columns"),
        ('"STATION","DATE","PRCP"\n"USW00024233","2012-01-01","5"\n', "no column TMAX"),
        ('{"errorMessage": "no such dataset"}\n[]\n', "has other columns"),
        ('"STATION","DATE","TMAX","TMIN"\n"USW00024233","2012-01-01","5","x"\n', "not a number"),
    ],
)
def test_other_answers(body, said, server, reply, ask):
    server.on("/daily", reply(body))
    with pytest.raises(FetchFailed, match=said) as caught:
        ask(SEATTLE, FIRST, dt.date(2012, 1, 5))
    assert "\n" not in str(caught.value)


def year_path(year):
    return f"/crn/{year}/CRND0103-{year}-{AUSTIN}.txt"


def austin(year):
    return (DATA / "uscrn" / f"CRND0103-{year}-{AUSTIN}.txt").read_text()


def test_years_of_the_reference_network(server, reply, ask):
    """Real files of 2015 and 2020; of the years between, none."""
    server.on(year_path(2020), reply(austin(2020)))
    table = ask(AUSTIN, dt.date(2018, 1, 1), dt.date(2020, 12, 31))
    assert [path[5:9] for path in server.paths()] == ["2020", "2019"]
    own = read_weather(DATA / "uscrn" / f"CRND0103-2020-{AUSTIN}.txt", today=dt.date(2026, 1, 1))
    for name in ("air_max_c", "rain_mm", "soil_10cm_c"):
        np.testing.assert_array_equal(table.columns[name], own.columns[name])
    assert "U.S. Climate Reference Network" in table.source.attribution


def test_the_file_of_a_new_year_may_not_be_there_yet(server, reply, ask):
    server.on(year_path(2015), reply(austin(2015)))
    table = ask(AUSTIN, dt.date(2015, 1, 1), dt.date(2016, 1, 2))
    assert table.end == dt.date(2015, 3, 5)  # the file is an extract


def test_no_file_at_all(ask):
    with pytest.raises(FetchFailed, match=f"no file of station {AUSTIN}"):
        ask(AUSTIN, dt.date(2019, 1, 1), dt.date(2020, 1, 2))


def test_a_reference_file_that_breaks_off(server, reply, ask):
    body = austin(2020)
    for cut in (len(body) - 1, len(body) - 5, len(body) // 2):
        server.on(year_path(2020), reply(body[:cut], promised=-1))
        with pytest.raises(FetchFailed, match="breaks off"):
            ask(AUSTIN, dt.date(2020, 1, 1), dt.date(2020, 12, 31))


@pytest.mark.parametrize(
    "name",
    [
        "USW00094996", "CA006158733", "ASN00084027", "UK000056225", AUSTIN, "KS_Manhattan_6_SSW",
        "AK_Port_Alsworth_1_SW",
    ],
)  # fmt: skip
def test_stations(name):
    check_station(name, Place("x"))


@pytest.mark.parametrize("name", ["", "Austin", "usw00094996", "USW0009499", "../../etc_1_N",
                                  "USW00094996,USW00024233", "TX_Austin/33_NW"])  # fmt: skip
def test_names_of_no_station(name):
    with pytest.raises(BadInput, match="is no station"):
        check_station(name, Place("x"))
