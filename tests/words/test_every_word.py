"""Each word that a site file or a record may say, through every command that reads a site.

The words are read off the site's model, the facts and the rule book, the commands off the command
line's own tree: what is added there is tried here. One site says many words at once, each word in
one site at least.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from itertools import chain
from pathlib import Path
from typing import Any, Literal, get_args, get_origin

import pytest
from every_command import GIVEN, ON, run, site_commands
from little_sites import forecast_rows, weather_rows

from advisor.base.checked_model import FileModel
from advisor.base.vocabularies import ToolKind
from advisor.records.site_keys import SiteKeys
from advisor.records.words import UNKNOWN_GRASS
from advisor.rulebook.model import RuleBook
from advisor.rulebook.read_rulebook import read_rulebook

Path_ = tuple[str | int, ...]
Taken = tuple[Path_, tuple[Any, ...]]
"""A place of a file, and the words that it takes."""
OF_A_FILE = ("weather_units", "weather_columns", "weather_source")
"""How a weather file is written or where it is fetched: tests/weather and tests/fetch."""
BASE: dict[str, Any] = {
    "format": 1,
    "name": "Words",
    "units": "us",
    "place": {
        "latitude": 41.2, "longitude": -81.9, "elevation": "820 ft",
        "time_zone": "America/New_York", "country": "US", "subdivision": "OH",
    },
    "stand": [{"grass": "kentucky_bluegrass"}],
    "areas": [{"name": "front", "size": "3000 ft2"}, {"name": "back", "size": "2000 ft2"}],
    "soil": {},
    "water": {
        "irrigated": "yes", "can_water_seed": "yes",
        "zones": [{"name": "one", "areas": ["front"], "precipitation_rate": "1 in/h"}],
    },
    "tools": [
        {"kind": "mower", "have": "owned", "price": 65, "block": "4 h"},
        *({"kind": kind, "have": "hired", "price": 65} for kind in get_args(ToolKind)),
    ],
    "limits": {"hired_on": [{"kind": "mower", "days": ["2026-09-12 to 2026-09-20"]}]},
    "people": {"number": 2, "hours_per_day": "6 h", "free_days": ["saturday", "sunday"]},
    "supplies": {
        "fertiliser": [{"analysis": "25-0-5", "bag": "40 lb", "price": 42}],
        "topdressing": {"bulk": "0.5 yd3", "price": 22},
        "quotes": [{"operation": "core_aeration", "price": 160}],
    },
}  # fmt: skip
WORDS_OF_FLAGS = ("yes", "no")


def vocabularies(model: type[FileModel], path: Path_ = ()) -> Iterator[Taken]:
    """Where a model takes one word of a fixed list, and the list; 0 stands for a list's item."""
    for name, field in model.model_fields.items():
        yield from _within(field.annotation, (*path, field.alias or name))


def _within(annotation: Any, path: Path_) -> Iterator[Taken]:
    if get_origin(annotation) is Literal:
        if len(get_args(annotation)) > 1:
            yield path, get_args(annotation)
    elif isinstance(annotation, type) and issubclass(annotation, FileModel):
        yield from vocabularies(annotation, path)
    elif get_origin(annotation) is tuple:
        yield from _within(get_args(annotation)[0], (*path, 0))
    else:
        for part in get_args(annotation):
            if not isinstance(part, (str, int)):
                yield from _within(part, path)


def words_of_sites(book: RuleBook) -> list[Taken]:
    """All places of site.yaml that take a word, the grasses of the rule book among them."""
    grasses = tuple(book.grasses)
    found = [(p, w) for p, w in vocabularies(SiteKeys) if p[0] not in OF_A_FILE]
    return [*found, (("stand", 0, "grass"), (*grasses, UNKNOWN_GRASS)), (("sowing",), grasses)]


def words_of_records(book: RuleBook) -> list[tuple[str, tuple[str, ...]]]:
    """The facts of the journal that are a word or a yes and no."""
    return [
        (fact.name, fact.choices if fact.kind == "choice" else WORDS_OF_FLAGS)
        for fact in book.vocabulary.definitions.values()
        if fact.varies == "record" and fact.of_keeper and fact.kind in ("choice", "flag")
        if fact.name not in ("wanted", "intended", "thatch_confirmed")
    ]


BOOK = read_rulebook()
SITES, RECORDS = words_of_sites(BOOK), words_of_records(BOOK)
MOST = max(len(words) for _, words in chain(SITES, RECORDS))


def put(data: Any, path: Path_, word: Any) -> None:
    """Say a word at a place; what leads there is made where it is not yet."""
    *way, last = path
    for part, following in zip(way, path[1:], strict=True):
        if isinstance(part, int):
            while len(data) <= part:
                data.append({})
        elif part not in data:
            data[part] = [] if isinstance(following, int) else {}
        data = data[part]
    if isinstance(last, int):
        data[last : last + 1] = [word]
    else:
        data[last] = word


def write_site(folder: Path, number: int) -> dict[str, Any]:
    """The site that says each vocabulary's word of that number, or begins again with its first."""
    site = json.loads(json.dumps(BASE))
    said: dict[str, Any] = {}
    for path, words in SITES:
        word = words[number % len(words)]
        put(site, path, word)
        said[".".join(map(str, path))] = word
    folder.mkdir()
    lines = [f"{key}: {json.dumps(value)}" for key, value in site.items()]
    (folder / "site.yaml").write_text("\n".join([*lines, "sown_on: 2014-09-06", ""]))
    rows = ["id,date,kind,what,value,area,note"]
    for i, (fact, words) in enumerate(RECORDS, 1):
        word = words[number % len(words)]
        said[fact] = word
        rows.append(f"r{i},{ON[:8]}04,observation,{fact},{word},,")
    (folder / "journal.csv").write_text("\n".join(rows) + "\n")
    (folder / "weather.csv").write_text(weather_rows("2024-05-01", ON))
    (folder / "fetched").mkdir()
    (folder / "fetched" / "forecast.csv").write_text(forecast_rows(ON))
    return said


def test_the_words_are_found() -> None:
    places = {".".join(map(str, path)) for path, _ in SITES}
    assert {"soil.texture", "areas.0.sun", "areas.0.slope", "climate", "tools.0.kind"} <= places
    assert {"people.free_days.0", "supplies.topdressing.material", "units"} <= places
    assert {"turf_state", "soil_firmness", "water_stands"} <= {name for name, _ in RECORDS}
    assert {name for name, _ in site_commands()} >= {"week", "ask", "waterplan timetable", "replay"}
    assert set(GIVEN) <= {name for name, _ in site_commands()}
    named = set(SiteKeys.model_fields)
    assert set(OF_A_FILE) <= named


@pytest.mark.slow
@pytest.mark.sample(3)
@pytest.mark.parametrize("number", range(MOST))
def test_each_word_passes_every_command(number: int, tmp_path: Path) -> None:
    said = write_site(tmp_path / "site", number)
    for name, more in site_commands():
        ran = run(tmp_path / "site", name, more)
        assert "our fault" not in ran.refused, (name, more, said, ran.refused)
        if said["stand.0.grass"] == UNKNOWN_GRASS and ran.status == 2:
            # What to buy, hire and plan depends on the grass; these commands say so.
            assert "the grass is not known" in ran.refused, (name, ran.refused)
            continue
        assert ran.status == 0, (name, more, said, ran.refused)
