"""How fast an edition is built, and how much sharing decisions between readers saves.

Invented readers with a fixed seed: 100,000 at 500 places with 11 grasses, a tenth with a measured
thatch depth; sizes and depths are continuous, nothing is clustered. The distinct sets of decisions
are counted over all of them. Then two things are timed, in one run on one core:

- every reader of one of the places: as the mailing does it; each reader by itself, all from the
  weather record on; each reader by itself with the place's weather at hand (what is computed from
  the weather alone is kept, and nothing else);
- an edition for every reader of twelve of the places, from the list in the store to its letters in
  the store, and on to each reader's message; beside that, what the standard library's EmailMessage
  alone takes to make the same messages of the finished texts. See `message_rates.py`.

Weather is that of three open records. The twelve places have the same three, moved by 0, 4, 8 and
12 years, so that each has a September of its own that was measured.

    python docs/benchmarks/edition.py [places one by one, default 1] [places to build, default 12]
                                      [readers, default 100000]
"""

from __future__ import annotations

import csv
import datetime as dt
import gzip
import random
import sys
import tempfile
import time
from collections.abc import Iterable, Iterator
from pathlib import Path

from message_rates import Rates, rates_of

from advisor.mailing.editions.build import Built, build_edition
from advisor.mailing.letters.batch import Done, Share, compose_share
from advisor.mailing.letters.compose import Composer, Editor
from advisor.mailing.letters.letter import Letter
from advisor.mailing.letters.letter_key import LetterKey, key_of
from advisor.mailing.readers.reader import Measured, Reader
from advisor.mailing.readers.weather_places import COLUMNS, Cell, CellWeather
from advisor.mailing.store.reader_tables import all_readers, put_readers
from advisor.mailing.store.store import open_store
from advisor.rulebook.model import RuleBook
from advisor.rulebook.read_rulebook import read_rulebook
from advisor.weather.read_weather import read_weather

SEED = 20_260_907
PLACES = 500
WEEK, TODAY = dt.date(2018, 9, 10), dt.date(2026, 11, 25)
DATA = Path(__file__).parents[2] / "tests" / "data" / "weather"
RECORDS = ("central_iowa", "champion_ne", "norfolk_uk")
MOVED_YEARS = (0, 4, 8, 12)
"""By whole leap cycles, so that every day of a record stays a day."""


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
    keys: list[LetterKey], weather: CellWeather, shared: bool, at_hand: bool = False
) -> tuple[float, float, int, list[Letter]]:
    """Seconds in all and for decisions with their reasons; sets of them; letters. One place.

    at_hand: what is computed from the weather alone is kept, also where nothing is shared.
    """
    book = read_rulebook()
    began, deciding, decided, letters = time.process_time(), 0.0, 0, list[Letter]()
    composer = Composer(weather, book, WEEK, TODAY, Editor())
    for key in keys:
        if not shared and composer.distinct:
            decided, axis = decided + composer.distinct, composer.axis
            composer = Composer(weather, book, WEEK, TODAY, Editor())
            composer.axis = axis if at_hand else None
        start = time.process_time()
        composer.week_of(key)
        deciding += time.process_time() - start
        letters.append(composer.letter(key))
    return time.process_time() - began, deciding, decided + composer.distinct, letters


def compare(here: list[LetterKey], name: str) -> tuple[float, float, float]:
    """Every way for every reader of a place; seconds for decisions: shared, alone, at hand."""
    with tempfile.TemporaryDirectory() as folder:
        weather = CellWeather(read_weather(write_record(Path(folder), name, 0)), None)
    here.sort(key=lambda key: (repr(key.of_any_size), key.area_m2 or 0.0))
    one, fast, many, letters = timed(here, weather, shared=True)
    alone, slow, plain, again = timed(here, weather, shared=False)
    near, near_decided, _, third = timed(here, weather, shared=False, at_hand=True)
    assert letters == again == third, "sharing has changed a digest"
    print(f"{name}: {len(here)} readers; shared: {many} sets, {one:.1f} s; one by one: {plain} "
          f"sets, {alone:.1f} s; decisions alone {fast:.1f} s and {slow:.1f} s")  # fmt: skip
    print(
        f"{name}: one by one with the weather at hand: {near:.1f} s, decisions {near_decided:.1f} s"
    )
    return fast, slow, near_decided


def write_record(folder: Path, name: str, years: int) -> Path:
    """A record with all its days moved by some years, up to the day before the edition's first."""
    head, *days = gzip.decompress((DATA / f"{name}.csv.gz").read_bytes()).decode().splitlines()
    moved = [f"{int(day[:4]) + years}{day[4:]}" for day in days]
    file = folder / f"{name}_{years}.csv"
    file.write_text("\n".join((head, *(day for day in moved if day < f"{WEEK}"))) + "\n")
    return file


class OneCore:
    """Works on the shares in this very process, so that all its time is seen."""

    crashes = 0

    def __init__(self) -> None:
        self.seconds = 0.0

    def run(self, shares: Iterable[Share]) -> Iterator[tuple[Share, Done | None]]:
        """Each share with its result."""
        for share in shares:
            began = time.process_time()
            done = compose_share(share)
            self.seconds += time.process_time() - began
            yield share, done


def built(
    folder: Path, readers: list[tuple[Reader, Cell]], places: int, book: RuleBook
) -> tuple[Built, float, Rates]:
    """An edition for the readers of some places: what was built, and how fast."""
    (folder / "weather").mkdir()
    cells = sorted({cell for _, cell in readers}, key=lambda cell: int(cell.hash))[:places]
    records = [(name, years) for years in MOVED_YEARS for name in RECORDS]
    with (folder / "weather" / "places.csv").open("w", newline="") as file:
        rows = csv.writer(file)
        rows.writerow(COLUMNS)
        for cell, (name, years) in zip(cells, records, strict=False):
            written = write_record(folder / "weather", name, years)
            rows.writerow((written.name, cell.name, cell.latitude, cell.longitude, "record"))
    store, wanted = open_store(folder / "mail.db"), set(cells)
    put_readers(store, [reader for reader, cell in readers if cell in wanted], TODAY)
    # Rules are read once for each process of a build, however many readers there are.
    compose_share.__globals__["_book"]()
    work, began = OneCore(), time.process_time()
    done = build_edition(folder, store, book, WEEK, TODAY, workers=1, pool=work)
    seconds = time.process_time() - began
    assert not done.lacking, done.failed[:3]
    return done, work.seconds, rates_of(store, done.edition, all_readers(store), seconds)


def main() -> None:
    """Count, time and print."""
    numbers = [int(word) for word in sys.argv[1:]]
    alone, together, number = (*numbers, *(1, 12, 100_000)[len(numbers) :])
    book = read_rulebook()
    readers = invented(number, sorted(book.grasses))
    began = time.process_time()
    keys = [key_of(reader, cell) for reader, cell in readers]
    distinct = len({key.of_any_size for key in keys})
    print(f"{number:,} readers at {PLACES} places: {len(set(keys)):,} different keys, "
          f"{distinct:,} sets of decisions (counted in {time.process_time() - began:.1f} s): "
          f"{number / distinct:.2f} readers for each")  # fmt: skip
    with tempfile.TemporaryDirectory() as folder:
        done, composing, rates = built(Path(folder), readers, together, book)
    print(f"built: {done.readers:,} readers at {together} places, {done.decided:,} sets of "
          f"decisions, {rates.different:,} different letters; seconds of one core: "
          f"composing {composing:.1f}, with the store {rates.building:.1f}, messages "
          f"{rates.writing:.1f}, by EmailMessage alone {rates.alone:.1f}")  # fmt: skip
    print(
        f"digests a second and core: composed {done.readers / composing:.0f}, kept in the store "
        f"{done.readers / rates.building:.0f}"
    )
    for line in rates.lines(composing):
        print(line)
    totals = [0.0] * 3
    for name, (_, cell) in zip(RECORDS[:alone], readers, strict=False):
        found = compare([key for key in keys if key.cell == cell], name)
        totals = [a + b for a, b in zip(totals, found, strict=True)]
    if totals[0]:
        print(f"decisions: {totals[1] / totals[0]:.1f} times as fast as one by one, "
              f"{totals[2] / totals[0]:.1f} times with the weather at hand")  # fmt: skip


if __name__ == "__main__":
    main()
