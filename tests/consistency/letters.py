"""A reader of a mailing list who tells what a keeper's files say, and both their digests.

What a reader cannot tell stays out of the site too: its people, tools, bags, soil and sprinklers.
The letter is read by the reader of views, line by line, with the lists that a digest holds.
"""

from __future__ import annotations

import datetime as dt
import random
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import yaml
from lawns import Lawn, write
from reader import Claim, Reader, html_lines
from views import ASKED, composed_once, said, titles

from advisor.base.units import parse_quantity
from advisor.mailing.letters.compose import Composer, Editor
from advisor.mailing.letters.letter import Letter
from advisor.mailing.letters.letter_key import key_of
from advisor.mailing.readers import reader as told
from advisor.mailing.readers.weather_places import cell_weather, read_places
from advisor.rulebook.model import RuleBook

LISTS = ("IN SEASON, IF YOUR LAWN NEEDS IT", "BY WHEN", "NOT THIS WEEK", "COMING")
PART = "lawn"
TODAY = dt.date(2026, 11, 25)
"""By when the open weather records had ended."""


@dataclass(frozen=True)
class Told:
    """What a reader tells: the same as the site file and the journal of `site_of`."""

    lawn: Lawn
    on: dt.date
    place: dict[str, Any]
    grass: str
    size: str
    units: str
    measured: dict[str, str]


def told_of(lawn: Lawn, on: dt.date) -> Told:
    """A lawn's place, grass, size and readings, and what its turf and its soil are like."""
    site = yaml.safe_load(lawn.site)
    rng = random.Random(f"{lawn.name} {on}")
    area = site["areas"][0]
    measured = {
        "thatch_depth": rng.choice(("0.3 in", "0.9 in")),
        "good_turf_share": rng.choice(("55 %", "70 %", "85 %")),
        "soil_firmness": rng.choice(("hard", "easy")),
        "turf_state": "growing",
        "soil_feel": "moist",
        "nitrogen_fed": "0.2 lb/1000ft2",
    }
    place = {key: site["place"].get(key, "") for key in ("latitude", "longitude", "country")}
    place["subdivision"] = site["place"].get("subdivision", "")
    grass = area["stand"][0]["grass"]
    return Told(lawn, on, place, grass, area["size"], site["units"], measured)


def site_of(told: Told, folder: Path) -> Path:
    """A site folder with these facts and no others."""
    place = "".join(f"  {key}: {value}\n" for key, value in told.place.items() if value)
    (folder / "site.yaml").write_text(
        f"# Invented: no such lawn.\nformat: 1\nname: A reader's lawn (invented)\nplace:\n{place}"
        f"units: {told.units}\nstand: [{{grass: {told.grass}}}]\n"
        f"areas: [{{name: {PART}, size: {told.size}}}]\n",
        encoding="utf-8",
    )
    rows = [f"{told.on},observation,{fact},{value}" for fact, value in told.measured.items()]
    journal = "".join(f"r{at},{row},,\n" for at, row in enumerate(rows, 1))
    header = "id,date,kind,what,value,area,note\n"
    (folder / "journal.csv").write_text(header + journal, encoding="utf-8")
    return folder


def letter_of(
    told_: Told, weather: Path, book: RuleBook, on: dt.date | None = None, said: str = ""
) -> Letter:
    """The letter of an edition of the day. weather: a folder that holds the lawn's file.

    on: a later day than that of the facts. said: what the letter before it said.
    """
    file, kind = "weather.csv", "record"
    if not (weather / file).exists():
        file, kind = "normals.csv", "normals"
    where = told_.place
    at = f"{where['latitude']},{where['longitude']}"
    rows = f"file,name,latitude,longitude,kind\n{file},the cell,{at},{kind}\n"
    (weather / "places.csv").write_text(rows, encoding="utf-8")
    cell = read_places(weather.parent)[0]
    reader = told.Reader(
        "x@example.org", "", where["latitude"], where["longitude"], "", where["country"],
        where["subdivision"], "", told_.grass, parse_quantity(told_.size, "m2"), told_.units,
        told_.on, "form",
        tuple(told.Measured(fact, value, told_.on) for fact, value in told_.measured.items()),
    )  # fmt: skip
    found = cell_weather(weather.parent, cell, TODAY)
    composer = Composer(found, book, on or told_.on, TODAY, Editor())
    return composer.letter(key_of(reader, cell, said))


def digest_claims(reader: Reader, view: str, lines: list[str]) -> Iterator[Claim]:
    """A digest's ticks, and its lists: 'Feeding: Hold until 6 Oct – seed comes first.'"""
    yield from reader.digest(view, lines)
    for head, says in listed(lines):
        until = re.match(r"Until (\d{1,2} [A-Z][a-z]{2})\b", says)
        named = reader.titled(head)
        if until and named:
            yield Claim(view, named[0], PART, "closes early", reader.day(until[1]))
        yield from reader.block(view, head, [says])


def listed(lines: Iterable[str]) -> Iterator[tuple[str, str]]:
    """The points of a digest's lists, parted at the colon; a page has them as the text does."""
    heading, points = "", list[str]()
    for line in [*lines, "."]:
        if line and not line.startswith(" "):
            heading = line.strip().upper()
        elif heading in LISTS and line.strip():
            if line.startswith("  - ") or not line.startswith("  "):
                points.append("")
            points[-1] += " " + line.strip().removeprefix("- ")
    for point in points:
        head, _, says = point.strip().partition(": ")
        yield head, says


def views_of(site: Path, on: dt.date) -> Iterator[Claim]:
    """What the keeper of the same lawn is told: the week, its page, answers, amounts."""
    names = titles()
    reader = Reader(tuple(names.values()), (PART,), on)
    where, day = str(site), ("--on", on.isoformat())
    with composed_once():
        yield from digest_claims(reader, "week", said("week", where, *day).splitlines())
        page = html_lines(said("week", where, *day, "--format", "html"))
        yield from digest_claims(reader, "week page", page)
    for id in ASKED:
        asked = said("ask", where, f"should I do {names[id].lower()}", *day)
        yield from reader.answers("ask", asked)
    yield from reader.amounts("amounts", said("amounts", where, *day))


def both(
    lawn: Lawn, on: dt.date, folder: Path, book: RuleBook, **otherwise: object
) -> tuple[list[Claim], list[Claim]]:
    """What the letter claims, as text and as a page, and what the site's views claim.

    otherwise: what the reader tells that the site does not say so.
    """
    site = write(lawn, folder / "weather")
    facts = told_of(lawn, on)
    letter = letter_of(replace(facts, **otherwise), site, book)
    reader = Reader(tuple(titles().values()), (PART,), on)
    mine = list(digest_claims(reader, "letter", letter.text.splitlines()))
    mine += digest_claims(reader, "letter page", html_lines(letter.html))
    return mine, list(views_of(site_of(facts, site), on))
