"""Every operation on every grass through a year in six climates, on real weather.

A cell is one operation, grass, place and day. What the keeper would know is taken from the rule
files' own examples; season and weather come from the record of the place.
"""

from __future__ import annotations

import csv
import datetime as dt
import gzip
import random
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from advisor.base.record import replace
from advisor.cases.parts import grass_of_lawn
from advisor.decide.verdicts.decide import Decider
from advisor.facts.axis import Axis, build_axis
from advisor.facts.day import Day, assemble_day
from advisor.facts.fact import Fact, LazyMap, Value
from advisor.records.check_site import as_record
from advisor.records.journal import Journal
from advisor.records.record import Site
from advisor.records.site_keys import SiteKeys
from advisor.rulebook.model import Example, Operation, RuleBook
from advisor.weather.gaps import MonthlyNormals
from advisor.weather.read_normals import read_normals
from advisor.weather.read_weather import read_weather
from advisor.weather.table import WeatherTable

DATA = Path(__file__).parents[1] / "data" / "weather"
FAR = dt.date(2100, 1, 1)


@dataclass(frozen=True)
class Climate:
    """file: a daily record, or a row of normals.csv. year: the one walked through. mirrored: the
    record of a northern place, half a year later and south of the equator."""

    name: str
    latitude: float
    longitude: float
    elevation: float
    country: str
    file: str
    year: int
    mirrored: bool = False


CLIMATES = (
    Climate("Nebraska", 40.4, -101.7, 1030, "US", "champion_ne.csv.gz", 2016),
    Climate("Iowa", 42.0, -93.0, 300, "US", "central_iowa.csv.gz", 2018),
    Climate("Norfolk", 52.6, 1.0, 40, "GB", "norfolk_uk.csv.gz", 2019),
    Climate("South Carolina", 34.7, -82.8, 250, "US", "clemson_sc.csv.gz", 2018),
    Climate("Christchurch", -43.5, 172.5, 37, "NZ", "Christchurch NZ airport", 2018),
    Climate(
        "South Carolina turned south", -34.7, 150.0, 250, "AU", "clemson_sc.csv.gz", 2018, True
    ),
)
HALF_YEAR = dt.timedelta(days=182)


@cache
def weather_of(climate: Climate, folder: Path) -> tuple[WeatherTable | None, MonthlyNormals | None]:
    """The record or the normals of a place, read as a keeper's files are."""
    if not climate.file.endswith(".gz"):
        rows = ["month,max temp (C),min temp (C),rain (mm)"]
        with (DATA / "normals.csv").open(encoding="utf-8") as file:
            rows += [
                f"{row['month']},{row['air_max_c']},{row['air_min_c']},{row['rain_mm']}"
                for row in csv.DictReader(file)
                if row["place"] == climate.file
            ]
        path = folder / f"{climate.name}.csv"
        path.write_text("\n".join(rows) + "\n", encoding="utf-8")
        return None, read_normals(path)
    path = folder / f"{climate.name}.csv"
    path.write_bytes(gzip.decompress((DATA / climate.file).read_bytes()))
    table = read_weather(path, None, FAR)
    if climate.mirrored:
        table = replace(table, days=table.days + 182)
    return table, None


def axis_of(climate: Climate, day: dt.date, folder: Path) -> Axis:
    """What is known of the weather on a day."""
    table, normals = weather_of(climate, folder)
    axis = build_axis(table, normals, day, climate.latitude)
    assert axis is not None
    return axis


def site_of(climate: Climate, grass: str) -> Site:
    """A lawn of one grass with everything that a keeper can provide."""
    return as_record(SiteKeys.model_validate(
        {
            "format": 1, "name": climate.name,
            "place": {
                "latitude": climate.latitude, "longitude": climate.longitude,
                "elevation": f"{climate.elevation} m", "country": climate.country,
            },
            "stand": [{"grass": grass}],
            "areas": [{"name": "lawn", "size": "300 m2", "sun": "full", "slope": "flat"}],
            "sown_on": dt.date(2005, 9, 1),
            "soil": {"texture": "silt_loam"},
            "water": {"irrigated": "yes", "can_water_seed": "yes"},
        }
    ), Site)  # fmt: skip


def day_of(
    book: RuleBook, climate: Climate, grass: str, axis: Axis, on: dt.date,
    known: Mapping[str, Value | None],
) -> Day:  # fmt: skip
    """The facts of a day, with what the keeper knows laid over them."""
    made = grass_of_lawn(book.grasses[grass], book)
    day = assemble_day(site_of(climate, grass), Journal(()), axis, made, book.vocabulary, on)
    over = {name: Fact(name, value, "recorded", on) for name, value in known.items()}
    lazy = {name: (lambda name=name: day.facts[name]) for name in day.facts if name not in over}
    return replace(day, facts=LazyMap(over, lazy))


def keeper_facts(book: RuleBook, example: Example) -> dict[str, Value | None]:
    """The facts of an example that weather does not tell; what it intends is noted as a wish."""
    noted = {
        name: value
        for name, value in example.facts.items()
        if book.vocabulary[name].varies in ("record", "site") and name not in ("season_type",)
    }
    for name, value in example.facts.items():
        family, _, operation = name.partition(".")
        if family == "intended":
            noted.setdefault(f"wanted.{operation}", value)
    return noted


def wished_for(operation: Operation, book: RuleBook, grass: str) -> Example | None:
    """The first example that comes to "do" on this grass, or on one of its season type."""
    kind = book.grasses[grass].traits.get("season_type")
    done = [e for e in operation.examples if not e.of and e.expect == "do"]
    same = [e for e in done if e.grass == grass]
    akin = [e for e in done if book.grasses[e.grass].traits.get("season_type") == kind]
    return next(iter([*same, *akin]), None)


def days_of_year(year: int, every: int) -> Iterator[dt.date]:
    """1 January and each `every` days after it."""
    day = dt.date(year, 1, 1)
    while day.year == year:
        yield day
        day += dt.timedelta(days=every)


def busy_keeper(book: RuleBook, grass: str, rng: random.Random) -> dict[str, Value | None]:
    """A keeper who would like everything: what each operation's example asks for, in any order."""
    facts: dict[str, Value | None] = {}
    operations = [o for o in book.operations.values() if grass in o.grasses]
    rng.shuffle(operations)
    for operation in operations:
        example = wished_for(operation, book, grass)
        if example is not None:
            traits = book.grasses[grass].traits
            mine = keeper_facts(book, example)
            facts |= {n: v for n, v in mine.items() if n not in traits}
    return facts


def verdicts(decider: Decider) -> dict[str, str]:
    """The verdict on each operation that the grass has."""
    return {id: decider.decide(id).verdict for id in decider.operations()}
