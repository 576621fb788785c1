"""All views of a lawn, read back: those of `views.py`, and the plain data of four commands."""

from __future__ import annotations

import datetime as dt
import json
import re
import tempfile
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

from lawns import Lawn, write
from reader import DATE, Claim, Reader, events
from shown import claims
from views import said, titles

FIELDS = {"seed": "seed", "seed_water": "water", "nitrogen": "nitrogen", "fertiliser": "product",
          "time": "minutes"}  # fmt: skip
"""What plain data call the fields of the reader."""
DATES = {"deadline": "by", "appointment": "appointed"}


@cache
def views_of(lawn: Lawn, on: dt.date, settled: str = "") -> tuple[Claim, ...]:
    """What the views claim. settled: the journal with which a plan was kept before; none if it is
    empty."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        site = write(lawn, folder / "site")
        where, day = str(site), ("--on", on.isoformat())
        if settled:
            journal = site / "journal.csv"
            journal.write_text(settled, encoding="utf-8")
            first = on + dt.timedelta(days=(5 - on.weekday()) % 7)
            said("workplan", where, "--from", first.isoformat(), "--days", "2", "--keep", *day)
            journal.write_text(lawn.journal, encoding="utf-8")
        found = claims(site, on, lawn.parts, folder)
        for words in (("week",), ("amounts",), ("ask", "feeding"), ("ask", "overseeding")):
            command, *question = words
            told = json.loads(said(command, where, *question, *day, "--json"))
            found += of_data(f"{' '.join(words)} data", told)
        found += events_of(lawn, on, (folder / "year.ics").read_text(encoding="utf-8"))
        return tuple(found)


def of_data(view: str, told: Any) -> Iterator[Claim]:
    """Each job of a part with its verdict, its date and its amounts, wherever it stands."""
    if isinstance(told, list):
        for each in told:
            yield from of_data(view, each)
    elif isinstance(told, dict):
        id, part = (told.get(a, told.get(b)) for a, b in (("job", "operation"), ("part", "area")))
        if "verdict" in told and id:
            title = titles()[id]
            yield Claim(view, title, part, "verdict", told["verdict"])
            date = told.get("date") or {}
            if field := DATES.get(date.get("kind", "")):
                yield Claim(view, title, part, field, dt.date.fromisoformat(date["day"]))
            yield from _amounts(view, title, part, told["amounts"])
        if "programme" in told:
            # A step has verdict and date of its job on the part of the whole.
            steps = told["steps"]
            told = {"steps": [{"part": told["part"], "amounts": {}, **each} for each in steps]}
        for each in told.values():
            yield from of_data(view, each)


def _amounts(view: str, title: str, part: str, told: Any) -> Iterator[Claim]:
    """Amounts by name, or as a list of named ones."""
    named = told.items() if isinstance(told, dict) else ((each["name"], each) for each in told)
    for name, amount in named:
        if name in FIELDS:
            value = (f"{amount['low']:.3f}", f"{amount['high']:.3f}", amount["unit"])
            if name == "time":
                value = amount["low"], amount["high"]
            yield Claim(view, title, part, FIELDS[name], value)


def events_of(lawn: Lawn, on: dt.date, text: str) -> Iterator[Claim]:
    """Days of the calendar: of work that was settled, by part, and of seasons, by job."""
    reader = Reader(tuple(titles().values()), lawn.parts, on)
    for event in events(text):
        about = event.get("DESCRIPTION", "").replace("\\,", ",").replace("\\n", "\n")
        work = re.search(rf"\w+ ({DATE}), \d\d:\d\d to \d\d:\d\d: (.*)", about)
        if event["SUMMARY"] == "Lawn work" and work:
            for title in reader.jobs:
                for parts in re.findall(rf"\b{title.lower()} \(([^,)]+)", work[2]):
                    for part in parts.split(" and "):
                        yield Claim("calendar", title, part, "appointed", reader.day(work[1]))
        elif event["SUMMARY"] == "Water the new seed":
            yield Claim("calendar", "Overseeding", "*", "watered", event["DTSTART"])
        elif named := reader.titled(event["SUMMARY"].partition(": ")[0].partition("\\,")[0]):
            for part in named[1]:
                yield Claim("calendar", named[0], part, "event", event["DTSTART"])
