"""The invented list: who sends it, who reads it, and the weather of its places."""

from __future__ import annotations

import csv
import datetime as dt
import io
import random
from collections.abc import Iterator
from pathlib import Path

from advisor.base.files import write_whole
from advisor.base.problems import BadInput, Place
from advisor.base.record import asdict
from advisor.demo.mailing.places import PLACES, InventedPlace, weather_file
from advisor.mailing.mails.identity import ListIdentity
from advisor.mailing.mails.list_file import LIST_FILE
from advisor.mailing.readers.weather_places import COLUMNS, PLACES_FILE
from advisor.mailing.store.store import STORE_FILE
from advisor.weather.kept_weather import WEATHER_FOLDER

#: A Monday, early in the morning: the day on which the demo plays.
MOMENT = dt.datetime(2026, 9, 7, 6, 0, tzinfo=dt.UTC)
TODAY = MOMENT.date()
KEY = "an invented key, for the demo alone: never use it for a list"
READERS_FILE = "readers.csv"
IDENTITY = ListIdentity(
    list_id="lawn-week.example.org",
    name="The invented lawn week",
    sender="The invented lawn week",
    sender_address="week@example.org",
    reply_to="editor@example.org",
    postal_address="1 Invented Street, Nowhere",
    leave_url="https://lawn.example.org/leave",
    leave_mail="leave@example.org",
    bounces="bounces@example.org",
)
_MARK = "# INVENTED"
_SEED = 20260907
_DOMAINS = ("example.org", "example.net", "example.com")  # RFC 2606 section 3
_HEADER = (
    "address", "name", "place", "country", "grass", "area", "units", "permission_on",
    "permission_source", "thatch_depth", "measured_on",
)  # fmt: skip
_HOME, _ASKED = ("41.2, -81.9", "US", "tall_fescue", "", ""), ("2026-03-01", "invented form")
#: What no import takes: a formula, another header, an unknown grass, no permission, no address.
_REFUSED = (
    ("formula@example.org", "=1+1", *_HOME, *_ASKED, "", ""),
    ("header@example.org", "=?utf-8?q?=0ABcc:?=", *_HOME, *_ASKED, "", ""),
    ("grass@example.org", "", "41.2, -81.9", "US", "moon_grass", "", "", *_ASKED, "", ""),
    ("never-asked@example.org", "", *_HOME, "", "", "", ""),
    ("nobody at example.org", "", *_HOME, *_ASKED, "", ""),
)


def write_list(folder: Path, readers: int) -> None:
    """Write list.yaml, readers.csv and the weather. Raises `BadInput` if there is one already."""
    place = Place(str(folder))
    if (folder / STORE_FILE).exists() or _is_of_others(folder):
        what = "holds a list already; name another folder, or delete this one"
        raise BadInput.at(place, what)
    weather = folder / WEATHER_FOLDER
    yesterday = TODAY - dt.timedelta(days=1)
    told = "".join(f"{key}: {value}\n" for key, value in asdict(IDENTITY).items() if value)
    rows = [
        (one.file, f"{one.name} (invented)", one.latitude, one.longitude, "record")
        for one in PLACES
    ]
    files = {
        folder / LIST_FILE: f"{_MARK}\nformat: 1\n{told}",
        folder / READERS_FILE: _csv([_HEADER, *reader_rows(readers), *_REFUSED]),
        weather / PLACES_FILE: _csv([COLUMNS, *rows]),
        **{weather / one.file: weather_file(one, yesterday) for one in PLACES},
    }
    try:
        weather.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise BadInput.at(place, f"cannot be written: {error.strerror}") from None
    for path, text in files.items():
        write_whole(path, text, own=True)


def _is_of_others(folder: Path) -> bool:
    """Whether files of a list lie here that no demo has begun; it writes list.yaml first."""
    file = folder / LIST_FILE
    if file.exists():
        return not file.read_bytes().startswith(_MARK.encode())
    return (folder / READERS_FILE).exists() or (folder / WEATHER_FOLDER).exists()


def reader_rows(number: int) -> Iterator[tuple[str, ...]]:
    """So many invented readers, the same at every call; one in ten has measured the thatch."""
    dice = random.Random(_SEED)
    # Each place has a reader, whatever the number.
    homes = [*PLACES, *dice.choices(PLACES, [place.share for place in PLACES], k=number)]
    for n, home in enumerate(homes[:number], 1):
        address = f"reader{n:06d}.{home.label}@{dice.choice(_DOMAINS)}"
        grass = "dont_know" if dice.random() < 0.08 else dice.choice(home.grasses)
        measured = dice.random() < 0.1
        depth, day = _depth(home, dice), dice.choice(("2026-08-22", "2026-08-29"))
        yield (
            address, f"Reader {n}", _near(home, dice), home.country, grass, _area(home, dice),
            "us" if home.us else "metric", f"2026-0{dice.randint(1, 8)}-01", "invented form",
            *((depth, day) if measured else ("", "")),
        )  # fmt: skip


def _near(home: InventedPlace, dice: random.Random) -> str:
    """There, or in a suburb 10 km away."""
    north, east = dice.choice(((0.0, 0.0), (0.1, 0.0), (-0.1, 0.0), (0.0, 0.1), (0.0, -0.1)))
    return f"{home.latitude + north:.1f}, {home.longitude + east:.1f}"


def _area(home: InventedPlace, dice: random.Random) -> str:
    """A round number, as people give it; two in five do not."""
    if dice.random() < 0.4:
        return ""
    return f"{dice.randint(2, 24) * 500} ft2" if home.us else f"{dice.randint(2, 30) * 25} m2"


def _depth(home: InventedPlace, dice: random.Random) -> str:
    """As read off a ruler."""
    return f"{dice.randint(2, 10) / 10} in" if home.us else f"{dice.randint(1, 5) * 5} mm"


def _csv(rows: list[tuple[object, ...]]) -> str:
    out = io.StringIO()
    csv.writer(out, lineterminator="\n").writerows(rows)
    return out.getvalue()
