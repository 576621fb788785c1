"""A local server that answers as the services do, and as badly as networks do."""

from __future__ import annotations

import datetime as dt
import json
import threading
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from email.utils import format_datetime
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from types import SimpleNamespace
from typing import Any
from urllib.parse import parse_qs, urlsplit

import pytest

from advisor.base import dates
from advisor.fetch.report import fetch_weather
from advisor.fetch.settings import Patience, Services

DATA = Path(__file__).parents[1] / "data"
STATION = "USW00024233"
#: The day after the newest day of the Seattle record (tests/data/ncei, public-domain NOAA data).
NOW = dt.datetime(2016, 1, 1, 18, 0, tzinfo=dt.UTC)
#: Pauses are short; the limits are long, since a busy machine must not look like a dead service.
QUICK = Patience(connect=20, read=20, whole=120, attempts=3, first_pause=0.01, longest_pause=1.0)


@dataclass
class Reply:
    """One answer. promised: Content-Length if it is to differ. stall: seconds before the body.
    drip: seconds between single bytes. dated: the Date header; None for none, '' for the clock's.
    """

    body: bytes | str = b""
    status: int = 200
    headers: dict[str, str] = field(default_factory=dict)
    promised: int | None = None
    stall: float = 0.0
    drip: float = 0.0
    dated: str | None = ""


@dataclass
class Asked:
    path: str
    query: dict[str, str]
    headers: dict[str, str]


class Server:
    """Answers a path with its replies in turn, the last one for ever."""

    def __init__(self) -> None:
        self.replies: dict[str, list[Reply]] = {}
        self.asked: list[Asked] = []
        self.now: Callable[[], dt.datetime] = dates.now_utc
        self._ended = threading.Event()
        owner = self

        class Handler(BaseHTTPRequestHandler):
            def do_GET(self) -> None:
                owner.answer(self)

            def log_message(self, *_: Any) -> None:
                pass

        self._http = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
        self._http.daemon_threads = True
        threading.Thread(target=self._http.serve_forever, args=(0.02,), daemon=True).start()

    @property
    def url(self) -> str:
        return f"http://127.0.0.1:{self._http.server_address[1]}"

    @property
    def host(self) -> str:
        return self.url.removeprefix("http://")

    def on(self, path: str, *replies: Reply) -> None:
        self.replies[path] = list(replies)

    def paths(self) -> list[str]:
        return [asked.path for asked in self.asked]

    def answer(self, handler: BaseHTTPRequestHandler) -> None:
        parts = urlsplit(handler.path)
        query = {key: values[0] for key, values in parse_qs(parts.query).items()}
        self.asked.append(Asked(parts.path, query, dict(handler.headers)))
        waiting = self.replies.get(parts.path, [Reply(status=404)])
        reply = waiting.pop(0) if len(waiting) > 1 else waiting[0]
        body = reply.body.encode() if isinstance(reply.body, str) else reply.body
        handler.send_response_only(reply.status)
        dated = format_datetime(self.now(), usegmt=True) if reply.dated == "" else reply.dated
        length = len(body) if reply.promised is None else reply.promised
        headers = {"Content-Length": str(length), **reply.headers} if length >= 0 else reply.headers
        for name, value in (headers | ({"Date": dated} if dated else {})).items():
            handler.send_header(name, value)
        handler.end_headers()
        try:
            self._ended.wait(reply.stall)
            if reply.drip:
                for at in range(len(body)):
                    handler.wfile.write(body[at : at + 1])
                    handler.wfile.flush()
                    if self._ended.wait(reply.drip):
                        return
            else:
                handler.wfile.write(body)
        except OSError:
            pass  # the client has given up

    def close(self) -> None:
        self._ended.set()
        self._http.shutdown()
        self._http.server_close()


@pytest.fixture
def server() -> Iterator[Server]:
    running = Server()
    yield running
    running.close()


@pytest.fixture
def reply() -> type[Reply]:
    return Reply


@pytest.fixture
def quick() -> Patience:
    return QUICK


class Clock:
    """The clock of `advisor.base.dates`, set to a time from which it runs on.

    Only that one: a clock that is frozen everywhere would stop the time-outs too.
    """

    def __init__(self) -> None:
        self.move_to(NOW)

    def move_to(self, moment: dt.datetime) -> None:
        self._zero = moment - dt.timedelta(seconds=time.monotonic())

    def tick(self, by: dt.timedelta) -> None:
        self._zero += by

    def now(self, zone: dt.tzinfo | None = None) -> dt.datetime:
        return (self._zero + dt.timedelta(seconds=time.monotonic())).astimezone(zone)


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch, server: Server) -> Clock:
    """The clock stands at `NOW` and runs on; the server goes by it too."""
    set_clock = Clock()
    shown = SimpleNamespace(datetime=SimpleNamespace(now=set_clock.now), date=dt.date, UTC=dt.UTC)
    monkeypatch.setattr(dates, "dt", shown)
    server.now = lambda: set_clock.now(dt.UTC)
    return set_clock


def ncei_rows() -> list[tuple[str, str, str, str]]:
    """Days of Seattle 2012-2015: date, maximum and minimum in °C, rain in mm, as written."""
    lines = (DATA / "ncei" / "seattle_2012_2015.csv").read_text().splitlines()[2:]
    return [tuple(line.split(",")) for line in lines]  # type: ignore[misc]


@pytest.fixture(scope="session")
def ncei_answer() -> Callable[..., str]:
    """The days of a station as the access data service writes them in metric units."""

    def write(first: str = "2012-01-01", last: str = "2015-12-31", station: str = STATION) -> str:
        lines = ['"STATION","NAME","DATE","TMAX","TMAX_ATTRIBUTES","TMIN","TMIN_ATTRIBUTES",'
                 '"PRCP","PRCP_ATTRIBUTES"']  # fmt: skip
        for date, high, low, rain in ncei_rows():
            if first <= date <= last:
                cells = [station, "SEATTLE TACOMA AIRPORT, WA US", date, high, ",,W,2400", low,
                         ",,W,2400", rain, ",,W,2400"]  # fmt: skip
                lines.append(",".join(f'"{cell}"' for cell in cells))
        return "\n".join(lines) + "\n"

    return write


def layer(uom: str, *values: tuple[str, Any]) -> dict[str, Any]:
    return {"uom": uom, "values": [{"validTime": at, "value": value} for at, value in values]}


@pytest.fixture
def cell() -> dict[str, Any]:
    """Three days of a grid cell in Seattle (UTC-8), invented, in the shape of the service."""
    return {
        "updateTime": "2016-01-01T16:30:00+00:00",
        "validTimes": "2016-01-01T10:00:00+00:00/P3DT6H",
        "maxTemperature": layer(
            "wmoUnit:degC",
            ("2016-01-01T15:00:00+00:00/PT13H", 5.0),
            ("2016-01-02T15:00:00+00:00/PT13H", 6.0),
            ("2016-01-03T15:00:00+00:00/PT13H", 7.5),
            ("2016-01-04T15:00:00+00:00/PT13H", None),
        ),
        "minTemperature": layer(
            "wmoUnit:degC",
            ("2016-01-01T10:00:00+00:00/PT7H", -3.0),
            ("2016-01-02T03:00:00+00:00/PT14H", -2.0),
            ("2016-01-03T03:00:00+00:00/PT14H", 1.0),
        ),
        "quantitativePrecipitation": layer(
            "wmoUnit:mm",
            ("2016-01-01T06:00:00+00:00/P1DT6H", 0.0),
            ("2016-01-02T12:00:00+00:00/PT6H", 6.0),
            ("2016-01-02T18:00:00+00:00/PT6H", 0.0),
            ("2016-01-03T00:00:00+00:00/PT12H", 12.0),
        ),
        "relativeHumidity": layer("wmoUnit:percent", ("2016-01-01T08:00:00+00:00/P2D", 80)),
        "windSpeed": layer("wmoUnit:km_h-1", ("2016-01-01T08:00:00+00:00/P1D", 18.0)),
    }


def as_body(properties: dict[str, Any]) -> str:
    return json.dumps({"type": "Feature", "properties": properties})


POINT = {"gridId": "SEW", "gridX": 124, "gridY": 61, "timeZone": "America/Los_Angeles"}
POINT_PATH, CELL_PATH, DAILY_PATH = "/points/47.45,-122.31", "/gridpoints/SEW/124,61", "/daily"


@pytest.fixture
def serve_well(server: Server, cell: dict[str, Any], ncei_answer: Callable[..., str]) -> Server:
    """All services answer as they should."""
    server.on(POINT_PATH, Reply(as_body(POINT)))
    server.on(CELL_PATH, Reply(as_body(cell), headers={"Cache-Control": "public, max-age=1200"}))
    server.on(DAILY_PATH, Reply(ncei_answer()))
    return server


SITE = """\
format: 1
name: Test lawn
contact: keeper@example.org
place: {latitude: 47.45, longitude: -122.31, country: US, time_zone: America/Los_Angeles}
stand: [{grass: perennial_ryegrass, share: 100 %}]
areas: [{name: lawn, size: 200 m2}]
weather_source: {kind: us, station: USW00024233}
"""


@pytest.fixture
def site(tmp_path: Path) -> Path:
    folder = tmp_path / "site"
    folder.mkdir()
    (folder / "site.yaml").write_text(SITE)
    (folder / "journal.csv").write_text("id,date,kind,what,value,area,note\n")
    return folder


@pytest.fixture
def fetch(server: Server, site: Path, clock: Any) -> Callable[..., tuple[Any, ...]]:
    """`fetch_weather` for the site from the local server, from 2012 on."""
    services = Services(server.url, f"{server.url}/daily", f"{server.url}/crn")

    def run(**given: Any) -> tuple[Any, ...]:
        wanted = {"from_year": 2012, "services": services, "patience": QUICK} | given
        return fetch_weather(site, **wanted)

    return run
