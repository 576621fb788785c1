"""Puts the forty questions to the adviser and says where it agrees with the answer of the source.

`python tests/questions40/run_cases.py` prints the table of docs/validation/forty_questions.md.
Weather: real records and normals of tests/data/weather, cut off at the day asked.
"""

from __future__ import annotations

import csv
import datetime as dt
import gzip
import re
import tempfile
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import yaml

from advisor.answers.answer import Answer
from advisor.answers.consult import consult
from advisor.base.problems import BadInput
from advisor.base.record import replace
from advisor.cases.case import Case
from advisor.cases.open_folder import open_case
from advisor.render.digest.render import answer_text
from advisor.rulebook.model import RuleBook
from advisor.rulebook.read_rulebook import read_rulebook

HERE = Path(__file__).parent
DATA = HERE.parent / "data" / "weather"
REFUSED = "refused"
HALF_YEAR = dt.timedelta(days=182)

# latitude, longitude, elevation in m, country, daily record or row of normals.csv, days turned by
PLACES: dict[str, tuple[float, float, int, str, str, dt.timedelta]] = {
    "Nebraska": (40.4, -101.7, 1030, "US", "champion_ne.csv.gz", dt.timedelta()),
    "Iowa": (42.0, -93.0, 300, "US", "central_iowa.csv.gz", dt.timedelta()),
    "Norfolk": (52.6, 1.0, 40, "GB", "norfolk_uk.csv.gz", dt.timedelta()),
    "South Carolina": (34.7, -82.8, 250, "US", "clemson_sc.csv.gz", dt.timedelta()),
    "South Carolina turned south": (-34.7, 150.0, 250, "AU", "clemson_sc.csv.gz", HALF_YEAR),
    "Christchurch": (-43.5, 172.5, 37, "NZ", "Christchurch NZ airport", dt.timedelta()),
    "north_west_minnesota": (47.3, -96.5, 276, "US", "Ada MN (north-west)", dt.timedelta()),
    "coastal_virginia": (36.9, -76.2, 9, "US", "Norfolk VA airport", dt.timedelta()),
}


@dataclass(frozen=True)
class Outcome:
    """What came of a case. operation and verdict are `refused` where no answer was given; why:
    what is missing, empty where the case agrees."""

    id: str
    operation: str
    verdict: str
    says: str
    why: str
    dangerous: bool


def read_cases() -> list[dict[str, Any]]:
    cases: list[dict[str, Any]] = yaml.safe_load((HERE / "cases.yaml").read_text(encoding="utf-8"))
    return cases


def run(case: dict[str, Any], book: RuleBook, folder: Path) -> Outcome:
    """Make the lawn of a case, put its question, and judge the answer."""
    lawn = _lawn(case, book, folder)
    on = _date(case["asked"])
    try:
        consulted = consult(replace(lawn, on=on), case["question"])
    except BadInput as refusal:
        why = "" if case["expect"] == "refuse" else "the question was not understood"
        return Outcome(case["id"], REFUSED, REFUSED, str(refusal), why, False)
    if not consulted.answers:
        return Outcome(case["id"], "week", "week", "", "taken for the whole week", False)
    danger = case.get("danger") or {}
    dangerous = any(
        a.decision.verdict in danger.get(a.decision.operation.id, ()) for a in consulted.answers
    )
    answer = consulted.answers[0]
    text = answer_text(answer, book, consulted.weather, consulted.law)
    found = (answer.decision.operation.id, answer.decision.verdict)
    return Outcome(case["id"], *found, answer.headline, _missing(case, answer, text), dangerous)


def _missing(case: dict[str, Any], answer: Answer, text: str) -> str:
    expect = case["expect"]
    if expect == "refuse":
        return "answered what is not its matter"
    operation, verdict = answer.decision.operation.id, answer.decision.verdict
    if operation not in expect:
        return f"taken for {operation}"
    if verdict not in expect[operation]:
        return f"{verdict}, not {' or '.join(expect[operation])}"
    heard = text.casefold()
    for words in case.get("touch", ()):
        if not any(re.search(rf"\b{re.escape(word.casefold())}\b", heard) for word in words):
            return f"says nothing of {' / '.join(words)}"
    return ""


def _lawn(case: dict[str, Any], book: RuleBook, folder: Path) -> Case:
    folder = folder / case["id"]
    folder.mkdir()
    latitude, longitude, elevation, country, *_ = PLACES[case["place"]]
    yes = {True: "true", False: "false"}
    water = f"irrigated: {yes[case.get('irrigated', case.get('can_water_seed', False))]}"
    water += f", can_water_seed: {yes[case.get('can_water_seed', False)]}"
    (folder / "site.yaml").write_text(
        f"format: 1\nname: {case['id']}\nunits: us\nplace: {{latitude: {latitude}, longitude: "
        f"{longitude}, elevation: {elevation} m, country: {country}}}\n"
        f"stand: [{{grass: {case['grass']}}}]\n"
        f"areas: [{{name: lawn, size: 3000 ft2, sun: {case.get('sun', 'full')}, slope: flat}}]\n"
        f"sown_on: 1990-09-01\nsoil: {{texture: silt_loam}}\nwater: {{{water}}}\n",
        encoding="utf-8",
    )
    rows = [*case["stated"], *case["assumed"]]
    with (folder / "journal.csv").open("w", encoding="utf-8", newline="") as file:
        out = csv.writer(file, lineterminator="\n")
        out.writerow(["id", "date", "kind", "what", "value", "area", "note"])
        for number, (day, kind, what, value) in enumerate(sorted(rows, key=_when), 1):
            said = "" if kind == "work" else value
            out.writerow([f"r{number}", str(day), kind, what, said, "", ""])
    _write_weather(folder, case["place"], _date(case["asked"]))
    return open_case(folder, book)


def _write_weather(folder: Path, place: str, last: dt.date) -> None:
    *_, source, turned = PLACES[place]
    if not source.endswith(".gz"):
        lines = ["month,max temp (C),min temp (C),rain (mm)"]
        with (DATA / "normals.csv").open(encoding="utf-8") as file:
            lines += [
                f"{row['month']},{row['air_max_c']},{row['air_min_c']},{row['rain_mm']}"
                for row in csv.DictReader(file)
                if row["place"] == source
            ]
        (folder / "normals.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
        return
    head, *days = gzip.decompress((DATA / source).read_bytes()).decode().splitlines()
    lines = [head]
    for line in days:
        day, rest = line.split(",", 1)
        there = _date(day) + turned
        if there <= last:
            lines.append(f"{there},{rest}")
    (folder / "weather.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")


def _date(value: str | dt.date) -> dt.date:
    return value if isinstance(value, dt.date) else dt.date.fromisoformat(value)


def _when(row: list[Any]) -> dt.date:
    return _date(row[0])


def main() -> None:
    """Print each case and the score."""
    book = read_rulebook()
    with tempfile.TemporaryDirectory() as name:
        found = [run(case, book, Path(name)) for case in read_cases()]
    print("| case | answered as | verdict | agrees | |\n|---|---|---|---|---|")
    for o in found:
        mark = "DANGEROUS" if o.dangerous else ("no" if o.why else "yes")
        print(f"| {o.id} | {o.operation} | {o.verdict} | {mark} | {o.why or ''} |")
    agreed = sum(not o.why for o in found)
    print(f"\n{agreed} of {len(found)} agree; {sum(o.dangerous for o in found)} dangerous")
    for o in found:
        if o.why:
            print(f"\n{o.id}: {o.why}\n  {o.says}")


if __name__ == "__main__":
    main()
