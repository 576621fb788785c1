"""A small list with open weather records; only the readers are invented."""

from __future__ import annotations

import datetime as dt
import gzip
import sys
from pathlib import Path

import postgres
import pytest
from kills import use_database

from advisor.cli.main import main
from advisor.mailing.store.store import open_store
from advisor.mailing.use_cases.import_readers import import_readers
from advisor.rulebook.read_rulebook import read_rulebook

DATA = Path(__file__).parents[1] / "data" / "weather"
TODAY = dt.date(2026, 11, 25)
WEEK = dt.date(2018, 9, 10)
HEADER = (
    "address,name,place,country,grass,area,units,permission_on,permission_source,"
    "thatch_depth,measured_on"
)
ROWS = (
    "a@example.org,Ann,50010,US,tall fescue,,,2018-01-01,form,,",
    'b@example.org,Bo,"Ames, IA",US,tall fescue,,,2018-01-01,form,,',
    "c@example.org,Cy,50010,US,Kentucky bluegrass,4000 ft2,,2018-01-01,form,0.8 in,2018-08-20",
    'd@example.org,Di,"40.5, -101.6",US,tall fescue,3712.5 ft2,,2018-01-01,form,,',
    'e@example.org,Ed,"-31.95, 115.86",AU,bermudagrass,300 m2,metric,2018-01-01,form,,',
)


@pytest.fixture(scope="session")
def book():
    return read_rulebook(cache=False)


@pytest.fixture(scope="session")
def cluster():
    """A PostgreSQL server of the tests' own."""
    if postgres.programs() is None:
        pytest.skip(postgres.HOW_TO_GET_IT)
    with postgres.cluster() as running:
        yield running


@pytest.fixture(params=["sqlite", "postgresql"])
def on_both(request, tmp_path):
    """The test's folder, with its store as a SQLite file and then in PostgreSQL."""
    if request.param == "postgresql":
        use_database(tmp_path, request.getfixturevalue("cluster").database())
    return tmp_path


def write_list(folder, rows=ROWS):
    weather = folder / "weather"
    weather.mkdir(parents=True, exist_ok=True)
    places = ["file,name,latitude,longitude,kind"]
    for file, name, at in (
        ("central_iowa.csv", "central Iowa", "42.035,-93.0"),
        ("champion_ne.csv", "Champion", "40.4,-101.7"),
    ):
        (weather / file).write_bytes(gzip.decompress((DATA / f"{file}.gz").read_bytes()))
        places.append(f"{file},{name},{at},record")
    (weather / "places.csv").write_text("\n".join(places) + "\n")
    (folder / "readers.csv").write_text("\n".join((HEADER, *rows)) + "\n")
    return folder


@pytest.fixture
def mailing(tmp_path, book):
    """A list's folder and its store with all readers in it."""
    folder = write_list(tmp_path / "list")
    store = open_store(folder / "mail.db")
    done = import_readers(folder / "readers.csv", store, book, TODAY)
    assert (done.added, done.refused) == (len(ROWS), ())
    return folder, store


@pytest.fixture
def run(monkeypatch, capsys):
    """`advisor mail` as it is typed: the exit code, what it says and what it says of faults."""

    def call(*words):
        monkeypatch.setattr(sys, "argv", ["advisor", "mail", *map(str, words)])
        status = 0
        try:
            main()
        except SystemExit as end:
            status = end.code or 0
        said = capsys.readouterr()
        return status, said.out, said.err

    return call
