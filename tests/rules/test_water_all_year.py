"""Water, drought and disease on every grass, in three climates and both hemispheres, all year.

Each grass in one of the climates for each thing seen; docs/validation/year_round.md has them all.

Records: tests/data/weather/README.md (central Iowa, daily; Norfolk in England, daily; Christchurch
in New Zealand, monthly normals). What the keeper saw is written into the journal for each case.
"""

from __future__ import annotations

import csv
import datetime as dt
import gzip
from collections import Counter
from pathlib import Path
from typing import get_args

import pytest

from advisor.base.record import replace
from advisor.cases.open_folder import open_case
from advisor.cases.parts import parts_on
from advisor.rulebook.model import RuleBook, VerdictName

pytestmark = pytest.mark.slow

DATA = Path(__file__).parents[1] / "data" / "weather"
PLACES = {
    "central_iowa": ("42.0, longitude: -93.0", "America/Chicago", "US", 2015),
    "norfolk_uk": ("52.6, longitude: 1.0", "Europe/London", "GB", 2015),
    "Christchurch NZ airport": ("-43.5, longitude: 172.5", "Pacific/Auckland", "NZ", 2015),
}
MONTHS = (1, 4, 7, 10)
OURS = ("watering", "drought_dormancy", "seedling_watering", "disease_watch")
SEEN = {
    "thirsty": {"footprints_stay": "yes"},
    "brown": {"turf_state": "dormant", "brown_turf_holds": "yes", "soil_feel": "dry"},
    "unseen": {},
}
Verdicts = dict[tuple[str, int, str], dict[str, VerdictName]]


def verdicts(
    folder: Path, place: str, seen: dict[str, str], book: RuleBook, share: int
) -> Verdicts:
    """(place, month, grass) -> operation -> verdict, on the 15th of each of `MONTHS`.

    share: which third of the grasses.
    """
    at, zone, country, year = PLACES[place]
    folder.mkdir()
    (folder / "site.yaml").write_text(
        f"format: 1\nname: x\nunits: us\nplace: {{latitude: {at}, elevation: 100 m, "
        f"time_zone: {zone}, country: {country}}}\nstand: [{{grass: tall_fescue}}]\n"
        "areas: [{name: lawn, size: 3000 ft2}]\nsown_on: 2010-09-01\nsoil: {texture: loam}\n"
        "water: {irrigated: true, can_water_seed: true}\n",
        encoding="utf-8",
    )
    _write_weather(folder, place)
    found: Verdicts = {}
    for month in MONTHS:
        on = dt.date(year, month, 15)
        rows = [f"r{i},{on},observation,{k},{v},," for i, (k, v) in enumerate(seen.items())]
        lines = ["id,date,kind,what,value,area,note", *rows]
        (folder / "journal.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
        lawn = open_case(folder, book)
        for grass in list(book.grasses)[share :: len(PLACES)]:
            (part,) = parts_on(replace(lawn, on=on), grass)
            here = [id for id in OURS if id in part.decider.operations()]
            found[place, month, grass] = {id: part.decider.decide(id).verdict for id in here}
    return found


def _write_weather(folder: Path, place: str) -> None:
    daily = DATA / f"{place}.csv.gz"
    if daily.is_file():
        (folder / "weather.csv").write_bytes(gzip.decompress(daily.read_bytes()))
        return
    rows = ["month,max temp (C),min temp (C),rain (mm)"]
    with (DATA / "normals.csv").open(encoding="utf-8") as file:
        rows += [
            f"{row['month']},{row['air_max_c']},{row['air_min_c']},{row['rain_mm']}"
            for row in csv.DictReader(file)
            if row["place"] == place
        ]
    assert len(rows) == 13
    (folder / "normals.csv").write_text("\n".join(rows) + "\n", encoding="utf-8")


@pytest.fixture(scope="module")
def year(tmp_path_factory: pytest.TempPathFactory, book: RuleBook) -> dict[str, Verdicts]:
    """What was seen -> the verdicts of all places, months and grasses."""
    folder = tmp_path_factory.mktemp("year")
    allowed = {"watering_allowed": "yes"}
    cases = {name: seen | allowed for name, seen in SEEN.items()}
    cases["banned"] = SEEN["thirsty"] | {"watering_allowed": "no"}
    return {
        name: {
            key: value
            for number, place in enumerate(PLACES)
            for key, value in verdicts(
                folder / f"{name}{number}", place, seen, book, (number + turn) % len(PLACES)
            ).items()
        }
        for turn, (name, seen) in enumerate(cases.items())
    }


@pytest.mark.slow
def test_every_month_gives_a_verdict_on_every_grass(
    year: dict[str, Verdicts], book: RuleBook
) -> None:
    for found in year.values():
        assert len(found) == len(MONTHS) * len(book.grasses)
        for given in found.values():
            assert {"watering", "drought_dormancy", "disease_watch"} <= given.keys()
            assert set(given.values()) <= set(get_args(VerdictName))


@pytest.mark.slow
def test_thirsty_lawns_are_watered_in_the_growing_season(year: dict[str, Verdicts]) -> None:
    """Illinois: water at the first signs. In summer nothing but a week's rain may gainsay them."""
    summer = [
        given["watering"]
        for (place, month, _), given in year["thirsty"].items()
        if month == (1 if place.startswith("Christchurch") else 7)
    ]
    assert Counter(summer)["do"] >= 0.8 * len(summer)


def test_an_unrecorded_irrigated_lawn_is_never_called_dry(year: dict[str, Verdicts]) -> None:
    assert all(given["watering"] != "do" for given in year["unseen"].values())


def test_a_ban_is_never_overruled(year: dict[str, Verdicts]) -> None:
    given = {g["watering"] for g in year["banned"].values()}
    assert "do" not in given
    assert given & {"hold", "ruled_out"}


def test_a_brown_lawn_is_not_both_woken_and_kept_asleep(year: dict[str, Verdicts]) -> None:
    for given in year["brown"].values():
        assert given["watering"] != "do"
    rested = [given["drought_dormancy"] for given in year["brown"].values()]
    assert "do" in rested


def test_without_humidity_no_model_sends_anybody_to_look(year: dict[str, Verdicts]) -> None:
    """No record here holds humidity: cool-season grass gets a look only if signs were seen."""
    cool = {"kentucky_bluegrass", "tall_fescue", "perennial_ryegrass", "fine_fescues"}
    given = [g["disease_watch"] for (_, _, grass), g in year["unseen"].items() if grass in cool]
    assert set(given) <= {"measure", "wait", "missed"}
