"""How fast an edition is built, and how much sharing decisions between readers saves.

Invented readers with a fixed seed: 100,000 at 500 places with 11 grasses, a tenth with a measured
thatch depth; sizes and depths are continuous, nothing is clustered. The distinct sets of decisions
are counted over all of them. Times are taken, both ways in one run, on every reader of a few of the
places, on open weather records: once as the mailing does it, once each reader by itself.

    python docs/benchmarks/edition.py [places to time, default 1] [readers, default 100000]
"""

from __future__ import annotations

import datetime as dt
import gzip
import random
import sys
import tempfile
import time
from email import policy
from email.message import EmailMessage
from pathlib import Path

from advisor.delivery.case import Case, case_of
from advisor.delivery.compose import Composer, Editor
from advisor.delivery.letter import Letter
from advisor.delivery.reader import Measured, Reader
from advisor.delivery.weather_places import Cell, CellWeather
from advisor.rulebook.read_rulebook import read_rulebook
from advisor.weather.read_weather import read_weather

SEED = 20_260_907
PLACES = 500
WEEK, TODAY = dt.date(2018, 9, 10), dt.date(2026, 11, 25)
DATA = Path(__file__).parents[2] / "tests" / "data" / "weather"
RECORDS = ("central_iowa", "champion_ne", "norfolk_uk")


def invented(number: int, grasses: list[str]) -> list[tuple[Reader, Cell]]:
    """Readers, each with its cell."""
    chance = random.Random(SEED)
    cells = [
        Cell(f"{i}.csv", f"place {i}", chance.uniform(26, 48), chance.uniform(-122, -70), "record",
             f"{i}")
        for i in range(PLACES)
    ]  # fmt: skip
    found = []
    for i in range(number):
        cell = chance.choice(cells)
        measured: tuple[Measured, ...] = ()
        if chance.random() < 0.1:
            depth = f"{chance.uniform(0.1, 1.5):.4f} in"
            day = WEEK - dt.timedelta(days=chance.randint(1, 60))
            measured = (Measured("thatch_depth", depth, day),)
        reader = Reader(
            f"r{i}@example.org", "", cell.latitude + chance.uniform(-0.5, 0.5),
            cell.longitude + chance.uniform(-0.5, 0.5), "", "US", "", "", chance.choice(grasses),
            chance.uniform(50, 1500), "us", TODAY, "form", measured,
        )  # fmt: skip
        found.append((reader, cell))
    return found


def timed(
    cases: list[Case], weather: CellWeather, shared: bool
) -> tuple[float, float, int, list[Letter]]:
    """Seconds in all and for decisions with their reasons; sets of them; digests. One cell."""
    book = read_rulebook()
    began, deciding, decided, letters = time.perf_counter(), 0.0, 0, []
    composer = Composer(weather, book, WEEK, TODAY, Editor())
    for case in cases:
        if not shared and composer.distinct:
            decided += composer.distinct
            composer = Composer(weather, book, WEEK, TODAY, Editor())
        start = time.perf_counter()
        composer.week_of(case)
        deciding += time.perf_counter() - start
        letters.append(composer.letter(case))
    return time.perf_counter() - began, deciding, decided + composer.distinct, letters


def mime_rate(letters: list[Letter]) -> float:
    """How many of the same digests a second the standard library makes messages of."""
    began = time.perf_counter()
    for letter in letters:
        message = EmailMessage(policy=policy.SMTP)
        message["Subject"], message["From"], message["To"] = "x", "a@example.org", "b@example.org"
        message.set_content(letter.text)
        message.add_alternative(letter.html, subtype="html")
        message.as_bytes()
    return len(letters) / (time.perf_counter() - began)


def main() -> None:
    """Count, time and print."""
    places = int(sys.argv[1]) if len(sys.argv) > 1 else 1
    number = int(sys.argv[2]) if len(sys.argv) > 2 else 100_000
    readers = invented(number, sorted(read_rulebook().grasses))
    began = time.perf_counter()
    cases = [case_of(reader, cell) for reader, cell in readers]
    distinct = len({case.of_any_size for case in cases})
    print(f"{number:,} readers at {PLACES} places: {len(set(cases)):,} different digests, "
          f"{distinct:,} sets of decisions (counted in {time.perf_counter() - began:.1f} s): "
          f"{number / distinct:.2f} readers for each")  # fmt: skip
    totals = [0.0] * 4
    all_letters: list[Letter] = []
    with tempfile.TemporaryDirectory() as folder:
        for name in RECORDS[:places]:
            file = Path(folder) / f"{name}.csv"
            file.write_bytes(gzip.decompress((DATA / f"{name}.csv.gz").read_bytes()))
            weather = CellWeather(read_weather(file), None)
            cell = readers[RECORDS.index(name)][1]
            here = [case for case in cases if case.cell == cell]
            here.sort(key=lambda case: (repr(case.of_any_size), case.area_m2))
            one, fast, many, letters = timed(here, weather, shared=True)
            alone, slow, plain, again = timed(here, weather, shared=False)
            assert letters == again, "sharing has changed a digest"
            all_letters += letters
            print(f"{name}: {len(here)} readers; shared: {many} sets, {one:.1f} s "
                  f"({len(here) / one:.1f} digests/s on one core); one by one: {plain} sets, "
                  f"{alone:.1f} s; decisions alone {fast:.1f} s and {slow:.1f} s")  # fmt: skip
            totals = [a + b for a, b in zip(totals, (one, alone, fast, slow), strict=True)]
    one, alone, fast, slow = totals
    rate = mime_rate(all_letters)
    print(f"decisions: {slow / fast:.2f} times as fast; whole digests: {alone / one:.2f} times; "
          f"{len(all_letters) / one:.1f} digests/s and core, beside {rate:.0f} messages/s that "
          "EmailMessage makes of them")  # fmt: skip


if __name__ == "__main__":
    main()
