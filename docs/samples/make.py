"""Ten sample digests, as text and HTML. Run by hand: `python docs/samples/make.py`.

The lawns and their records are invented; the weather is the demo's invented record, or one of the
real records and normals under tests/data/weather (see its README for origin and licence).
"""

from __future__ import annotations

import csv
import datetime as dt
import gzip
import tempfile
from dataclasses import dataclass
from pathlib import Path

from advisor.base.record import replace
from advisor.cases.open_folder import open_case
from advisor.demo.scenario import write_demo
from advisor.render.digest.edition import compose_edition
from advisor.render.digest.render import digest_html, digest_text
from advisor.rulebook.read_rulebook import read_rulebook

HERE = Path(__file__).parent
WEATHER = HERE.parents[1] / "tests" / "data" / "weather"


@dataclass(frozen=True)
class Sample:
    """A lawn on a day. place: latitude, longitude, elevation in m, time zone, country."""

    name: str
    what: str
    on: str
    place: tuple[float, float, int, str, str] | None = None
    weather: str = ""
    stand: str = "kentucky_bluegrass"
    size: str = "3000 ft2"
    extra: str = ""
    records: tuple[str, ...] = ()


OHIO = (41.4, -81.9, 235, "America/New_York", "US")
NORFOLK = (52.6, 1.0, 40, "Europe/London", "GB")
NEBRASKA = (40.4, -101.7, 1030, "America/Denver", "US")
VIRGINIA = (36.9, -76.2, 9, "America/New_York", "US")
CHRISTCHURCH = (-43.5, 172.5, 37, "Pacific/Auckland", "NZ")

SAMPLES = (
    Sample("01-demo-september", "the demo lawn with everything due", "2026-09-05"),
    Sample("02-demo-july", "the demo lawn in summer", "2026-07-14"),
    Sample("03-demo-april", "the demo lawn in spring", "2026-04-21"),
    Sample(
        "04-ohio-nothing-measured",
        "northern Ohio, monthly normals only, nothing measured",
        "2026-08-29",
        OHIO,
        "Cleveland OH airport",
    ),
    Sample(
        "05-nebraska-drought",
        "Nebraska in the drought of 2012, not watered",
        "2012-09-03",
        NEBRASKA,
        "champion_ne.csv.gz",
        extra="water: {irrigated: false, can_water_seed: false}",
        records=(
            "2012-08-20,observation,thatch_depth,0.9 in",
            "2012-09-01,observation,turf_state,dormant",
            "2012-08-25,wish,overseeding,yes",
            "2012-08-25,observation,weed_preventer,none",
        ),
    ),
    Sample(
        "06-norfolk-september",
        "Norfolk, England: ryegrass and fescue, metric",
        "2021-09-06",
        NORFOLK,
        "norfolk_uk.csv.gz",
        stand="perennial_ryegrass",
        size="180 m2",
        extra="water: {irrigated: false, can_water_seed: true}",
        records=(
            "2021-08-28,observation,thatch_depth,20 mm",
            "2021-09-04,observation,thatch_depth,22 mm",
            "2021-09-04,observation,turf_state,growing",
            "2021-09-04,observation,soil_feel,moist",
            "2021-09-01,observation,soil_firmness,hard",
            "2021-09-01,wish,overseeding,yes",
            "2021-09-01,observation,weed_preventer,none",
            "2021-09-01,observation,good_turf_share,65 %",
        ),
    ),
    Sample(
        "07-norfolk-november",
        "the same lawn in November",
        "2021-11-22",
        NORFOLK,
        "norfolk_uk.csv.gz",
        stand="perennial_ryegrass",
        size="180 m2",
        records=(
            "2021-09-10,work,core_aeration,passes=2",
            "2021-09-11,work,overseeding,",
            "2021-11-19,observation,turf_state,slow",
        ),
    ),
    Sample(
        "08-virginia-too-early",
        "coastal Virginia in early September: still too warm",
        "2026-09-05",
        VIRGINIA,
        "Norfolk VA airport",
        stand="tall_fescue",
        records=(
            "2026-08-25,wish,overseeding,yes",
            "2026-08-25,observation,weed_preventer,none",
            "2026-08-25,observation,good_turf_share,60 %",
            "2026-09-04,observation,turf_state,slow",
        ),
    ),
    Sample(
        "09-christchurch-march",
        "Christchurch, New Zealand, in March",
        "2026-03-10",
        CHRISTCHURCH,
        "Christchurch NZ airport",
        size="250 m2",
        records=(
            "2026-03-07,observation,turf_state,growing",
            "2026-03-08,observation,soil_feel,moist",
            "2026-02-20,observation,thatch_depth,15 mm",
            "2026-02-20,observation,soil_firmness,easy",
            "2026-02-20,wish,overseeding,yes",
            "2026-02-20,observation,weed_preventer,none",
            "2026-02-20,observation,good_turf_share,75 %",
        ),
    ),
    Sample(
        "10-preventer-in-the-way",
        "northern Ohio: a weed preventer put down in August",
        "2026-09-05",
        OHIO,
        "Cleveland OH airport",
        records=(
            "2026-08-10,observation,weed_preventer,prodiamine",
            "2026-08-25,wish,overseeding,yes",
            "2026-09-03,observation,turf_state,growing",
            "2026-09-04,observation,soil_feel,moist",
            "2026-09-03,observation,thatch_depth,0.3 in",
        ),
    ),
)


def write_site(sample: Sample, folder: Path) -> Path:
    """The sample's site folder."""
    if sample.place is None:
        return write_demo(folder)
    latitude, longitude, elevation, zone, country = sample.place
    folder.mkdir(parents=True)
    (folder / "site.yaml").write_text(
        f"format: 1\nname: {sample.what[0].upper()}{sample.what[1:].split(',')[0].split(':')[0]}\n"
        f"place: {{latitude: {latitude}, longitude: {longitude}, elevation: {elevation} m, "
        f"time_zone: {zone}, country: {country}}}\nstand: [{{grass: {sample.stand}}}]\n"
        f"areas: [{{name: lawn, size: {sample.size}}}]\nsown_on: 2012-04-01\n"
        f"soil: {{texture: silt_loam}}\n{sample.extra}\n".replace("2012-04-01", "2009-04-01"),
        encoding="utf-8",
    )
    lines = ["id,date,kind,what,value,area,note"]
    lines += [f"r{i},{record},," for i, record in enumerate(sample.records, 1)]
    (folder / "journal.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    if sample.weather.endswith(".gz"):
        raw = gzip.decompress((WEATHER / sample.weather).read_bytes())
        (folder / "weather.csv").write_bytes(raw)
        return folder
    rows = ["month,max temp (C),min temp (C),rain (mm)"]
    with (WEATHER / "normals.csv").open(encoding="utf-8") as file:
        rows += [
            f"{row['month']},{row['air_max_c']},{row['air_min_c']},{row['rain_mm']}"
            for row in csv.DictReader(file)
            if row["place"] == sample.weather
        ]
    (folder / "normals.csv").write_text("\n".join(rows) + "\n", encoding="utf-8")
    return folder


def make() -> dict[str, str]:
    """File name → content of everything under docs/samples that this script writes."""
    book = read_rulebook(cache=False)
    files: dict[str, str] = {}
    index = ["# Sample digests\n", "Written by `python docs/samples/make.py`. The lawns and their "
             "records are invented. The weather is the demo's invented record, or a real record or "
             "monthly normals from [tests/data/weather](../../tests/data/weather/README.md).\n",
             "| digest | what | text | page |", "|---|---|---|---|"]  # fmt: skip
    with tempfile.TemporaryDirectory() as scratch:
        for sample in SAMPLES:
            site = write_site(sample, Path(scratch) / sample.name)
            edition = compose_edition(
                # As a keeper would type the folder, not where it lies for a moment.
                replace(open_case(site, book, dt.date.fromisoformat(sample.on)), folder="my-lawn")
            )
            files[f"{sample.name}.txt"] = digest_text(edition.digest)
            files[f"{sample.name}.html"] = digest_html(edition.digest)
            index.append(
                f"| {sample.on} | {sample.what} | [text]({sample.name}.txt) "
                f"| [page]({sample.name}.html) |"
            )
    files["README.md"] = "\n".join(index) + "\n"
    return files


if __name__ == "__main__":
    for name, content in make().items():
        (HERE / name).write_text(content, encoding="utf-8")
