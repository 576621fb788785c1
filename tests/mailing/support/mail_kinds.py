"""Mails of many kinds, each as it would be sent, for checks of a whole mail. Readers are invented.

Weather: the open records under tests/data/weather.
"""

from __future__ import annotations

import datetime as dt
import gzip
from collections.abc import Iterator
from pathlib import Path

from mail_samples import DATED, IDENTITY, KEY

from advisor.answers.sources import Claim, Line
from advisor.base import record as records
from advisor.mailing.letters.compose import Composer, Editor, reader_digest, shortened
from advisor.mailing.letters.letter import Letter, list_message
from advisor.mailing.letters.letter_key import key_of
from advisor.mailing.mails.editor_words import LARGEST_BYTES, checked_words
from advisor.mailing.mails.subject import subject_of
from advisor.mailing.readers.reader import Measured, Reader
from advisor.mailing.readers.weather_places import (
    CellWeather,
    cell_weather,
    nearest_cell,
    read_places,
)
from advisor.planning.plan_words import GateLine
from advisor.render.digest.leads import MOST_TO_DO
from advisor.render.digest.render import digest_text, mail_html
from advisor.render.digest.tasks import Task
from advisor.render.digest.view import Digest, Finding
from advisor.rulebook.model import RuleBook

MOST_SOURCE_BYTES = 16_000
"""Of the largest mail, with some 40 of markup for each; a test measures what others need."""
WEATHER = Path(__file__).parents[2] / "data" / "weather"
PLACES = {"central_iowa": (42.035, -93.0), "norfolk_uk": (52.6, 1.0)}
IOWA, NORFOLK, NOWHERE = (42.0, -93.1, "US", "IA"), (52.5, 1.1, "GB", ""), (-31.9, 115.9, "AU", "")
TODAY = dt.date(2026, 11, 25)
WORK = (
    ("good_turf_share", "65 %"), ("soil_feel", "moist"), ("soil_firmness", "hard"),
    ("thatch_confirmed", "yes"), ("thatch_depth", "0.9 in"), ("turf_state", "growing"),
)  # fmt: skip
HOSTILE = "</main><script>alert(1)</script> =1+1 {{ 7*7 }} &amp; \"'<b onclick=x>\n-- \n.\nFrom me"
KINDS = (
    # name, place, grass, day, size in m², measured, editor
    ("a place and a grass, in autumn", IOWA, "tall_fescue", "2018-09-10", None, (), Editor()),
    ("a place and a grass, in spring", IOWA, "kentucky_bluegrass", "2018-04-23", None, (),
     Editor("Hello.\nA second paragraph.", "Is moss bad? Only where it wins.", "Not 3 in but 2.")),
    ("a place and a grass, in summer", IOWA, "zoysiagrass", "2018-06-11", None, (), Editor()),
    ("a place and a grass, in winter", IOWA, "bermudagrass", "2018-01-15", None, (), Editor()),
    ("the grass is not known", IOWA, "dont_know", "2018-09-10", None, (), Editor()),
    ("measured, with amounts", IOWA, "kentucky_bluegrass", "2018-08-27", 371.6, WORK, Editor()),
    ("measured, in metric units", NORFOLK, "perennial_ryegrass", "2018-09-10", 180.0, WORK,
     Editor()),
    ("metric, in winter", NORFOLK, "fine_fescues", "2018-11-26", None, (), Editor(HOSTILE)),
    ("no weather near", NOWHERE, "bermudagrass", "2018-09-10", 300.0, (), Editor(HOSTILE, HOSTILE)),
)  # fmt: skip


def letters(folder: Path, book: RuleBook) -> Iterator[tuple[str, Letter]]:
    """Each kind of digest, with its name. folder: an empty one, for the weather."""
    (folder / "weather").mkdir(parents=True)
    rows = ["file,name,latitude,longitude,kind"]
    for name, at in PLACES.items():
        text = gzip.decompress((WEATHER / f"{name}.csv.gz").read_bytes())
        (folder / "weather" / f"{name}.csv").write_bytes(text)
        rows.append(f"{name}.csv,{name.replace('_', ' ')},{at[0]},{at[1]},record")
    (folder / "weather" / "places.csv").write_text("\n".join(rows) + "\n")
    cells = read_places(folder)
    weather = {cell: cell_weather(folder, cell, TODAY) for cell in cells}
    for name, place, grass, day, size, measured, editor in KINDS:
        on = dt.date.fromisoformat(day)
        latitude, longitude, country, region = place
        told = tuple(Measured(fact, value, on - dt.timedelta(days=3)) for fact, value in measured)
        units = "us" if country == "US" else "metric"
        reader = Reader("x@example.org", "X", latitude, longitude, "", country, region, "", grass,
                        size, units, TODAY, "form", told)  # fmt: skip
        cell = nearest_cell(cells, latitude, longitude)
        found = weather.get(cell, CellWeather(None, None))
        composer = Composer(found, book, on, TODAY, editor)
        key = key_of(reader, cell)
        yield name, composer.letter(key)
        if grass == "bermudagrass" and cell:
            week = composer.week_of(key)
            idle = reader_digest(records.replace(week, do=(), hold=(), question=None))
            idle = records.replace(idle, lead="Nothing to do this week.", in_season=())
            idle = shortened(idle)
            yield "nothing to do", letter_of(idle)
            said = Editor("A quiet week.", "May I walk on frost? No.").lines
            yield (
                "nothing to do, with a question",
                letter_of(records.replace(idle, editor=said)),
            )
    yield "the largest", letter_of(largest(book))


def mails(folder: Path, book: RuleBook) -> Iterator[tuple[str, bytes]]:
    """The same as they would be sent; one list has a name that needs care."""
    odd = records.replace(
        IDENTITY, name='The "Lawn" & <Week>, =1+1', sender="O'Hara & Söhne; \\ (week)"
    )
    for number, (name, letter) in enumerate(letters(folder, book)):
        identity = odd if number % 2 else IDENTITY
        yield name, list_message(
            letter, identity, KEY, edition="2018-W37", dated=DATED, reader=f"r{number}",
            to=f"x{number}@example.org",
        )  # fmt: skip


def letter_of(digest: Digest) -> Letter:
    """The letter of a digest."""
    return Letter(subject_of(digest), digest_text(digest), mail_html(digest))


def largest(book: RuleBook) -> Digest:
    """More than any week brings together: the longest of each thing that a digest may hold.

    As many tasks as are told, in all their words; every caution; sources and the editor's words at
    their limits, in the characters that take most room on a page; a head of twice its limit.
    """
    operations = sorted(book.operations.values(), key=lambda o: -_size(o))[:MOST_TO_DO]
    shorts = tuple(caution.short for caution in book.cautions.values())
    words = "&" * ((LARGEST_BYTES - 40) // 5)
    said = " ".join(["overseeding"] * 8)
    sources = tuple(f"{number:03} " + "source " * 14 for number in range(MOST_SOURCE_BYTES // 140))
    lines = tuple(Line("Watering a new seeding", said, sources[n::4]) for n in range(4))
    day = dt.date(2018, 9, 10)
    return Digest(
        site="A lawn", first=day, last=day, lead=said, changed=(),
        gates=tuple(GateLine(state, said, said, (said,) * 3) for state in ("open", "late")),
        strip=(Line("Free days for overseeding", said), Line("Soil", said)),
        tasks=tuple(
            Task(title=o.title, when="by 15 Sep", why=(Claim(said, sources[:9]), Claim(said)),
                 effort=said, first=said, cautions=shorts[n::MOST_TO_DO], care=(), delay=o.delay,
                 nothing=o.do_nothing, steps=o.steps, advice=tuple(a.says for a in o.advice))
            for n, o in enumerate(operations)
        ),
        finding=Finding(said, said, said, (said,) * 3), then=said, held=lines, dated=lines, plan=(),
        coming=lines[:3], leave=said, water=(said,) * 2, in_season=lines,
        in_season_mind=tuple(map(Claim, shorts)),
        care=tuple(caution.text for caution in book.cautions.values()), weather=said, law=said,
        editor=tuple(
            Line(title, checked_words(words, "note"))
            for title in ("From the editor", "Put right from last week", "A reader's question")
        ),
    )  # fmt: skip


def _size(operation: object) -> int:
    return sum(len(s) + 40 for s in (*operation.steps, *(a.says for a in operation.advice)))
