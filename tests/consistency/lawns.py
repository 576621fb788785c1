"""Forty lawns in ten climates, each invented, on real weather or normals (tests/data/weather).

What differs between neighbours: grass, units, size, seed and fertiliser labels, irrigation, tools,
people, records, wishes. Every lawn has 24 days, the 5th and 20th of each month of its year.
"""

from __future__ import annotations

import csv
import datetime as dt
import gzip
import random
from dataclasses import dataclass
from pathlib import Path

DATA = Path(__file__).parents[1] / "data" / "weather"


@dataclass(frozen=True)
class Climate:
    """place: as site.yaml writes it. weather: a daily record, or a row of normals.csv."""

    place: str
    weather: str
    year: int
    grasses: tuple[str, ...]


COOL = ("kentucky_bluegrass", "tall_fescue", "perennial_ryegrass", "fine_fescues")
WARM = ("bermudagrass", "zoysiagrass", "tall_fescue", "centipedegrass")
CLIMATES = (
    Climate(
        "{latitude: 42.0, longitude: -93.0, elevation: 300 m, country: US, subdivision: IA, "
        "time_zone: America/Chicago}", "central_iowa.csv.gz", 2018, COOL,
    ),
    Climate(
        "{latitude: 40.4, longitude: -101.7, elevation: 1030 m, country: US, subdivision: NE, "
        "time_zone: America/Denver}", "champion_ne.csv.gz", 2016, COOL,
    ),
    Climate(
        "{latitude: 34.7, longitude: -82.8, elevation: 250 m, country: US, subdivision: SC, "
        "time_zone: America/New_York}", "clemson_sc.csv.gz", 2018, WARM,
    ),
    Climate(
        "{latitude: 52.6, longitude: 1.0, elevation: 40 m, country: GB, "
        "time_zone: Europe/London}", "norfolk_uk.csv.gz", 2019, COOL,
    ),
    Climate(
        "{latitude: 40.8, longitude: -73.9, elevation: 20 m, country: US, subdivision: NY, "
        "time_zone: America/New_York}", "new_york_ny.csv.gz", 2015, COOL,
    ),
    Climate(
        "{latitude: 47.45, longitude: -122.31, elevation: 120 m, country: US, subdivision: WA, "
        "time_zone: America/Los_Angeles}", "seattle_wa.csv.gz", 2015, COOL,
    ),
    Climate(
        "{latitude: 41.41, longitude: -81.85, elevation: 235 m, country: US, subdivision: OH, "
        "time_zone: America/New_York}", "Cleveland OH airport", 2024, COOL,
    ),
    Climate(
        "{latitude: 44.9, longitude: -93.2, elevation: 260 m, country: US, subdivision: MN, "
        "time_zone: America/Chicago}", "Minneapolis-St Paul MN airport", 2024, COOL,
    ),
    Climate(
        "{latitude: -43.5, longitude: 172.5, elevation: 37 m, country: NZ, "
        "time_zone: Pacific/Auckland}", "Christchurch NZ airport", 2024, COOL,
    ),
    Climate(
        "{latitude: 36.9, longitude: -76.2, elevation: 9 m, country: US, subdivision: VA, "
        "time_zone: America/New_York}", "Norfolk VA airport", 2024, WARM,
    ),
)  # fmt: skip


@dataclass(frozen=True)
class Lawn:
    """parts: the names of its areas."""

    name: str
    site: str
    journal: str
    climate: Climate
    parts: tuple[str, ...]

    @property
    def days(self) -> tuple[dt.date, ...]:
        year = self.climate.year
        return tuple(dt.date(year, month, day) for month in range(1, 13) for day in (5, 20))

    @property
    def drawn(self) -> dt.date:
        """One day of the 24, the same in every run."""
        return random.Random(self.name).choice(self.days)


def _site(rng: random.Random, name: str, climate: Climate, us: bool, grasses: list[str]) -> str:
    unit = "ft2" if us else "m2"
    sizes = [rng.choice((1200, 2400, 3000, 5000)) // (1 if us else 10) for _ in grasses]
    lines = [
        "# Invented: no such lawn.", "format: 1", f"name: {name}", f"place: {climate.place}",
        f"units: {'us' if us else 'metric'}", f"stand: [{{grass: {grasses[0]}}}]",
        f"sown_on: {climate.year - 9}-09-06", "areas:",
    ]  # fmt: skip
    for part, size, grass in zip(("front", "back"), sizes, grasses, strict=False):
        lines.append(
            f"  - {{name: {part}, size: {size} {unit}, sun: full, slope: flat, "
            f"stand: [{{grass: {grass}}}]}}"
        )
    lines += [
        f"soil: {{texture: {rng.choice(('loam', 'clay_loam', 'sandy_loam', 'silt_loam'))}}}",
        f"water: {{irrigated: {rng.choice(('yes', 'no'))}, "
        f"can_water_seed: {rng.choice(('yes', 'yes', 'no'))}}}",
        f"people: {{number: {rng.choice((1, 2))}, hours_per_day: {rng.choice((4, 6, 8))} h, "
        "free_days: [saturday, sunday]}",
    ]
    if rng.random() < 0.6:
        lines.append(
            "tools:\n  - {kind: core_aerator, have: hired, price: 85, block: 4 h, width: 19 in}\n"
            "  - {kind: vertical_mower, have: hired, price: 70, block: 4 h, width: 20 in}"
        )
    if rng.random() < 0.6:
        lines.append(
            f"supplies:\n  seed:\n    - {{grass: {grasses[0]}, purity: 97 %, germination: "
            f"{rng.choice((80, 85, 90))} %, weed_seed: 0.1 %, other_crop: 0.4 %, inert: 2.5 %, "
            f"tested: {climate.year}-01-02, bag: {'5 lb' if us else '2 kg'}, price: 34}}\n"
            f"  fertiliser:\n    - {{analysis: {rng.choice(('25-0-5', '16-0-8', '32-0-4'))}, "
            f"slow: 30 %, bag: {'40 lb' if us else '20 kg'}, price: 42}}"
        )
    return "\n".join(lines) + "\n"


WISHES = ("overseeding", "feeding", "core_aeration", "topdressing", "thatch_removal")


def _journal(rng: random.Random, climate: Climate, parts: tuple[str, ...]) -> str:
    rows: list[tuple[dt.date, str, str, str, str]] = []
    first = dt.date(climate.year - 1, 12, 1)
    for part in parts:
        thatch, turf = rng.choice((0.3, 0.6, 0.9)), rng.choice((55, 70, 85))
        firm = rng.choice(("hard", "easy"))
        for month in range(0, 13, 3):  # readings that are taken anew each season
            day = first + dt.timedelta(days=30 * month + rng.randrange(20))
            rows += [
                (day, "observation", "thatch_depth", f"{thatch} in", part),
                (day, "observation", "good_turf_share", f"{turf} %", part),
                (day, "observation", "soil_firmness", firm, part),
            ]
        for wish in WISHES:
            if rng.random() < 0.7:
                for month in range(0, 13, 6):
                    day = first + dt.timedelta(days=30 * month + rng.randrange(10))
                    rows.append((day, "wish", wish, "yes", part))
    if rng.random() < 0.5:
        took = dt.date(climate.year - 1, 10, 3)
        rows.append((took, "work", "core_aeration", "passes=2; took=55 min", parts[0]))
    rows.sort()
    lines = [f"r{at},{','.join(map(str, row))}," for at, row in enumerate(rows, 1)]
    return "\n".join(["id,date,kind,what,value,area,note", *lines]) + "\n"


def _lawn(number: int) -> Lawn:
    climate = CLIMATES[number % len(CLIMATES)]
    name = f"Lawn {number + 1} (invented)"
    rng = random.Random(number)
    grass = climate.grasses[number // len(CLIMATES)]
    grasses = [grass] if rng.random() < 0.4 else [grass, rng.choice(climate.grasses)]
    us = "country: US" in climate.place and rng.random() < 0.85
    parts = ("front", "back")[: len(grasses)]
    site = _site(rng, name, climate, us, grasses)
    return Lawn(name, site, _journal(rng, climate, parts), climate, parts)


FORTY = tuple(_lawn(number) for number in range(40))


def write(lawn: Lawn, folder: Path) -> Path:
    """The site's folder, as a keeper has it."""
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "site.yaml").write_text(lawn.site, encoding="utf-8")
    (folder / "journal.csv").write_text(lawn.journal, encoding="utf-8")
    if lawn.climate.weather.endswith(".gz"):
        raw = gzip.decompress((DATA / lawn.climate.weather).read_bytes())
        (folder / "weather.csv").write_bytes(raw)
    else:
        rows = ["month,max temp (C),min temp (C),rain (mm)"]
        with (DATA / "normals.csv").open(encoding="utf-8") as file:
            rows += [
                f"{row['month']},{row['air_max_c']},{row['air_min_c']},{row['rain_mm']}"
                for row in csv.DictReader(file)
                if row["place"] == lawn.climate.weather
            ]
        (folder / "normals.csv").write_text("\n".join(rows) + "\n", encoding="utf-8")
    return folder
