"""The demo site's files. All invented: the town, the lawn, its records and its weather."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

from advisor.base.files import whole_folder, write_whole
from advisor.base.problems import Place, Problems
from advisor.demo.invent import invented_days
from advisor.records.read_site import JOURNAL_FILE, SITE_FILE
from advisor.weather.kept_weather import WEATHER_FILE

DEMO_DAY = dt.date(2026, 9, 5)
FIRST_DAY = dt.date(1996, 6, 1)
_NAMES = (SITE_FILE, JOURNAL_FILE, WEATHER_FILE)
_MARK = b"name: Demo lawn (invented)"

SITE = """\
# Invented: no such town, no such lawn. It only shows how a site is described.
format: 1
name: Demo lawn (invented)
place:
  town: Quince Hollow (invented)
  latitude: 41.2
  longitude: -81.9
  elevation: 820 ft
  time_zone: America/New_York
  country: US
  subdivision: OH
units: us
stand:
  - {grass: kentucky_bluegrass, share: 85 %}
  - {grass: perennial_ryegrass, share: 15 %}
sown_on: 2014-09-06
areas:
  - {name: front, size: 3000 ft2, sun: full, slope: flat}
  - name: back
    size: 2200 ft2
    sun: partial
    stand:
      - {grass: tall_fescue, share: 100 %}
soil: {texture: silt_loam}
water: {irrigated: true, can_water_seed: true}
tools:
  - {kind: core_aerator, have: hired, price: 85, block: 4 h, width: 19 in}
  - {kind: vertical_mower, have: hired, price: 70, block: 4 h, width: 20 in}
people: {number: 1, hours_per_day: 6 h, free_days: [saturday, sunday]}
supplies:
  # Invented labels and prices.
  seed:
    - grass: kentucky_bluegrass
      purity: 97 %
      germination: 85 %
      weed_seed: 0.1 %
      other_crop: 0.4 %
      inert: 2.5 %
      tested: 2025-06-01
      bag: 5 lb
      price: 34
  fertiliser:
    - {analysis: 10-10-10, bag: 40 lb, price: 24}
    - {analysis: 25-0-5, slow: 30 %, bag: 40 lb, price: 42}
  topdressing: {material: compost, bulk: 0.5 yd3, price: 22}
  quotes:
    - {operation: core_aeration, price: 160}
"""

JOURNAL = """\
id,date,kind,what,value,area,note
r1,2025-09-13,work,core_aeration,passes=2,back,
r2,2026-08-16,observation,thatch_depth,0.9 in,front,five wedges
r3,2026-08-16,observation,thatch_depth,0.4 in,back,five wedges
r4,2026-08-16,observation,good_turf_share,70 %,front,ten steps
r5,2026-08-17,observation,soil_firmness,hard,front,the morning after rain
r6,2026-08-17,observation,soil_firmness,easy,back,the morning after rain
r7,2026-08-17,observation,water_stands,no,,
r8,2026-08-17,observation,heavy_traffic,no,,
r9,2026-08-20,wish,overseeding,yes,front,
r10,2026-08-20,observation,weed_preventer,none,,none since last year
r11,2026-08-29,work,watering,water=0.5 in,,
r12,2026-09-04,observation,turf_state,growing,,mown twice since the rain
r13,2026-09-04,observation,soil_feel,moist,,crumbles between the fingers
"""


def write_demo(folder: Path) -> Path:
    """Write the demo site into `folder`/site and return that; an earlier one begins anew.

    Raises `BadInput` if it cannot be written, or if another site is there.
    """
    site = folder / "site"
    if not holds_demo(site):
        what = "is there already and not the demo's; it is never overwritten, name another folder"
        refuse_each([site / name for name in _NAMES if _says_something(site / name)], what)
    weather = "\n".join(weather_lines(DEMO_DAY)) + "\n"
    with whole_folder(site) as filled:
        # The site file comes first: by it the demo knows its own again.
        for name, text in zip(_NAMES, (SITE, JOURNAL, weather), strict=True):
            write_whole(filled / name, text, own=True)
    return site


def holds_demo(site: Path) -> bool:
    """Whether a site is the demo's, and not one that a keeper has made of it."""
    try:
        return _MARK in (site / SITE_FILE).read_bytes().splitlines()
    except OSError:
        return False


def refuse_each(files: list[Path], what: str) -> None:
    """Raise `BadInput` with a line for each file, if there are any."""
    problems = Problems()
    for file in files:
        problems.add(Place(str(file)), what)
    problems.raise_if_any()


def _says_something(path: Path) -> bool:
    try:
        return path.exists() and bool(path.read_bytes().strip())
    except OSError:
        return True


def weather_lines(last: dt.date) -> list[str]:
    """The lines of the invented weather file up to a day: two of heading, then one for each day."""
    lines = ["# INVENTED weather of no real place", "date,max temp (F),min temp (F),rain (in)"]
    for day in invented_days(FIRST_DAY, last):
        high, low = (round(c * 9 / 5 + 32) for c in (day.air_max_c, day.air_min_c))
        lines.append(f"{day.date},{max(high, low)},{low},{day.rain_mm / 25.4:.2f}")
    return lines
