"""A new site's folder: a commented site.yaml and an empty journal."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Collection
from pathlib import Path

from advisor.base.files import clear_leftovers, whole_folder, write_whole
from advisor.base.problems import BadInput, Place, Problems
from advisor.base.record import Record
from advisor.base.strict_yaml import load_text
from advisor.base.units import System, convert
from advisor.records.check_site import check_site
from advisor.records.entry import HEADER
from advisor.records.read_site import JOURNAL_FILE, SITE_FILE
from advisor.records.record import Site
from advisor.records.words import UNKNOWN_GRASS

_HEADER = HEADER.encode()


class Answers(Record, frozen=True):
    """What `new` asks: where (degrees north and east), which grass, how big (with its unit).

    elevation: m; None if it is not known.
    """

    latitude: float
    longitude: float
    size: str
    grass: str = UNKNOWN_GRASS
    name: str = "My lawn"
    units: System | None = None
    town: str = ""
    time_zone: str = ""
    country: str = ""
    subdivision: str = ""
    elevation: float | None = None


def write_new_site(
    folder: Path, answers: Answers, known_grasses: Collection[str] | None, today: dt.date
) -> Site:
    """Make the folder with site.yaml and journal.csv, and return the site as it reads.

    Raises `BadInput`, before anything is written, if an answer is of no use or if one of the files
    is there already.
    """
    text = site_text(answers)
    site_path, journal_path = folder / SITE_FILE, folder / JOURNAL_FILE
    problems = Problems()
    try:
        site = check_site(load_text(text, SITE_FILE), known_grasses, today)
    except BadInput as error:
        # There is no file to point into yet.
        for problem in error.problems:
            problems.add(Place("the answers"), problem.what)
    for path in (folder, site_path):
        clear_leftovers(path)
    for path in (site_path, journal_path):
        if not _holds_nothing(path):
            problems.add(Place(str(path)), "is there already; it is never overwritten")
    problems.raise_if_any()
    with whole_folder(folder) as filled:
        # The site file comes last: where it is, the site is whole.
        for name, content in ((JOURNAL_FILE, f"{HEADER}\n"), (SITE_FILE, text)):
            path = filled / name
            if not _is_blank(path):
                continue  # the journal's header
            # An empty file was left by a `new` that was broken off.
            write_whole(path, content, own=True, new=not path.exists())
    return site


def _holds_nothing(path: Path) -> bool:
    """Whether a file says nothing yet, as one that a broken-off `new` has left."""
    try:
        return _is_blank(path) or (
            path.name == JOURNAL_FILE and path.read_bytes().strip() == _HEADER
        )
    except OSError:
        return False


def _is_blank(path: Path) -> bool:
    return not path.exists() or (path.is_file() and not path.read_bytes().strip())


def site_text(answers: Answers) -> str:
    """The text of site.yaml. What is not known yet stands as a comment that shows its form."""
    return _TEMPLATE.format(
        name=_quoted(answers.name),
        latitude=round(answers.latitude, 6),
        longitude=round(answers.longitude, 6),
        town=_line("town", answers.town, "Springfield"),
        time_zone=_line("time_zone", answers.time_zone, "America/New_York"),
        country=_line("country", answers.country, "US"),
        subdivision=_line("subdivision", answers.subdivision, "OH"),
        elevation=_elevation(answers),
        units=f"units: {answers.units}" if answers.units else "# units: us",
        grass=_quoted(answers.grass),
        size=_quoted(answers.size),
    )


def _elevation(answers: Answers) -> str:
    if answers.elevation is None:
        return "# elevation: 1050 ft"
    shown = convert(answers.elevation, "m", unit := "m" if answers.units == "metric" else "ft")
    return f"elevation: {shown:.0f} {unit}  # of the town"


def _line(key: str, value: str, example: str) -> str:
    return f"{key}: {_quoted(value)}" if value else f"# {key}: {example}"


def _quoted(text: str) -> str:
    """Text as a YAML scalar: JSON's escapes are YAML's too."""
    return json.dumps(text, ensure_ascii=False)


_TEMPLATE = """\
# One lawn. Lines after '# ' are not read: take the '# ' away and put your own value there.
# What you leave out counts as unknown; it is never guessed.
format: 1
name: {name}
# How amounts are shown, us or metric; you may write either.
{units}
# climate: humid  # or arid
# weather_units: standard  # of an NCEI weather.csv: standard (F, in), metric (C, mm) or tenths
# For a CSV of another make: which columns to read, and how (docs/weather.md, "Any other CSV").
# weather_columns: {{date: Day, air_max: {{column: Hi, unit: F}}, air_min: {{column: Lo, unit: F}}}}
# To fetch the weather: how the weather services can reach you, and the station of the history.
# contact: you@example.org
# weather_source: {{kind: us, station: USW00094996}}

place:
  # Degrees; north and east are positive, south and west negative.
  latitude: {latitude}
  longitude: {longitude}
  {town}
  {elevation}
  {time_zone}
  # The two-letter code of the country, and of the state or province for its rules; the county, too.
  {country}
  {subdivision}
  # county: Seminole

# What grows here. Several grasses each need a share; the shares add up to 100 %.
stand:
  - {{grass: {grass}, share: 100 %}}
# The seed you mean to sow, if it is another grass; and when the lawn was established.
# sowing: tall_fescue
# sown_on: 2019-09-01
# currency: USD

areas:
  - name: lawn
    size: {size}
    # sun: full  # partial, shade
    # slope: flat  # gentle, steep
    # near_water: no  # a pond, stream, ditch or drain beside it

soil:
  # texture: silt_loam

water:
  # irrigated: yes
  # can_water_seed: yes  # two or three times a day for three weeks, and allowed to
  # restrictions_checked: 2026-08-01
  # zones: [{{name: front, areas: [lawn], precipitation_rate: 0.5 in/h, uniformity: 70 %}}]
  # price: 6.50  # of 1,000 gallons; of a cubic metre where units are metric

# What you have bought or mean to buy, read off the bags; the amounts are reckoned with it.
# supplies:
#   seed: [{{grass: tall_fescue, bag: 25 lb, price: 85, purity: 97 %, germination: 90 %,
#     weed_seed: 0.02 %, other_crop: 0.1 %, inert: 2.88 %, tested: 2026-05-01}}]
#   fertiliser: [{{analysis: 25-0-5, slow: 30 %, bag: 40 lb, price: 38}}]
#   lime: {{equivalent: 90 %, bag: 40 lb, price: 7}}
#   topdressing: {{material: compost, bulk: 0.5 yd3, price: 25}}
#   quotes: [{{operation: core_aeration, price: 140}}]  # what having it done would cost

# tools: [{{kind: core_aerator, have: hired, price: 80, block: 4 h, width: 19 in}}]
# Beside a tool, 'first_time: yes' for whoever has never run it: it then takes half as long again;
# 'cancel_by: "18:00"' where the shop gives the hire back until then on the day before.

people:
  # number: 1
  # hours_per_day: 6 h
  # free_days: [saturday, sunday]
  # work_from: "08:00"  # when machines may be heard here
  # work_until: "20:00"
  # bridge_days: yes  # a day off between a holiday and a weekend may be taken
  # days_off: [2026-08-03 to 2026-08-14]
  # blocked: [2026-09-12]

# What sets bounds to your work; what you leave out is no limit (docs/planning.md, "Your limits").
# A note in plain words does the same, such as "no lifting" or "away from 10 to 24 september".
limits:
  # work: [08:00 to 12:00, 16:00 to 19:00, sunday 13:00 to 17:00]  # when you are there to work
  # engines: [09:00 to 18:00, sunday never]  # when machines with an engine may be heard
  # shop: [08:00 to 17:00, sunday never]  # when the hire shop is open
  # helpers: [saturday 08:00 to 12:00]  # one more person each, then
  # hire: 100  # the most that the hire of one plan may cost
  # lifting: no  # loading a machine then takes two
  # machines: no  # work by hand alone
  # away: [2026-09-20 to 2026-09-27]  # nobody is there, to work or to water
  # hired_on: [{{kind: core_aerator, days: [2026-09-12, 2026-09-13]}}]
"""
