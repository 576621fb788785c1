"""A whole autumn on the invented demo lawn, week by week, with records added as a keeper would.

Run by hand: `python docs/simulated_autumn.py` rewrites docs/simulated_autumn.md. The clock is
frozen on each day, so nothing here passes the date in: the program takes it from the clock as on
any other day. A test runs the same weeks and compares.
"""

from __future__ import annotations

import datetime as dt
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from freezegun import freeze_time

from advisor.answers.record import propose_note, propose_work, write
from advisor.base.record import replace
from advisor.cases.open_folder import open_case
from advisor.demo.scenario import FIRST_DAY, weather_lines, write_demo
from advisor.render.digest.edition import Edition, compose_edition, keep_edition
from advisor.render.digest.render import digest_text
from advisor.rulebook.read_rulebook import read_rulebook

FIRST, LAST = dt.date(2025, 7, 1), dt.date(2025, 12, 15)
HEADER = "id,date,kind,what,value,area,note\n"

# What the keeper sees, does and wants, and when it is put down: (day, command, words).
DIARY = [
    ("2025-07-06", "note", "turf is growing"),
    ("2025-07-20", "note", "turf is slow"),
    ("2025-08-03", "note", "thatch 0.9 in in the front"),
    ("2025-08-03", "note", "thatch 0.4 in in the back"),
    ("2025-08-09", "note", "good turf 70 % in the front"),
    ("2025-08-09", "note", "good turf 90 % in the back"),
    ("2025-08-10", "note", "want overseeding in the front"),
    ("2025-08-10", "note", "preventer none"),
    ("2025-08-16", "note", "screwdriver hard in the front"),
    ("2025-08-16", "note", "screwdriver easy in the back"),
    ("2025-08-23", "note", "turf is growing"),
    ("2025-08-23", "note", "soil feels moist"),
    ("2025-08-30", "note", "turf is growing"),
    ("2025-08-30", "note", "soil feels dry"),
    ("2025-09-02", "done", "watered 0.5 in"),
    ("2025-09-05", "note", "soil feels moist"),
    ("2025-09-05", "note", "lines marked"),
    ("2025-09-05", "note", "own lines: none here"),
    ("2025-09-06", "done", "dethatched in the front"),
    ("2025-09-06", "done", "cored in the front, 3 passes"),
    ("2025-09-07", "done", "overseeded in the front"),
    ("2025-09-13", "note", "turf is growing"),
    ("2025-09-27", "note", "turf is growing"),
    ("2025-10-11", "note", "turf is growing"),
    ("2025-11-08", "note", "turf is slow"),
    ("2025-11-29", "note", "turf is dormant"),
]


@dataclass(frozen=True)
class SimulatedWeek:
    """A day, what was put down since the week before, and the digest of that day."""

    day: dt.date
    records: tuple[str, ...]
    edition: Edition


def simulate(folder: Path) -> Iterator[SimulatedWeek]:
    """Every week from `FIRST` to `LAST`, each digest kept before the next."""
    site = write_demo(folder)
    (site / "journal.csv").write_text(HEADER, encoding="utf-8")
    lines = weather_lines(LAST)
    book = read_rulebook(cache=False)
    day = FIRST
    while day <= LAST:
        # The weather file grows by a week at a time, as a station's does.
        known = lines[: 2 + (day - FIRST_DAY).days + 1]
        (site / "weather.csv").write_text("\n".join(known) + "\n", encoding="utf-8")
        with freeze_time(f"{day} 16:00:00"):
            said = tuple(_put_down(site, book, day))
            # As a keeper would type the folder, not where it lies for a moment.
            edition = compose_edition(replace(open_case(site, book), folder="my-lawn"))
            keep_edition(edition, site)
        yield SimulatedWeek(day, said, edition)
        day += dt.timedelta(days=7)


def _put_down(site: Path, book, day: dt.date) -> Iterator[str]:
    for when, command, words in DIARY:
        written = dt.date.fromisoformat(when)
        if day - dt.timedelta(days=7) < written <= day:
            propose = propose_work if command == "done" else propose_note
            record = propose(open_case(site, book, written), words)
            write(site, record)
            yield f"{command} “{words}” → {record.says}"


def page(weeks: Iterator[SimulatedWeek]) -> str:
    """The log as Markdown: the records of each week, and the head of its digest."""
    parts = [
        "# An autumn on the demo lawn, week by week\n",
        "Everything here is invented: the town, the lawn, its weather, its keeper. Written by "
        "`python docs/simulated_autumn.py`, which freezes the clock on each day, adds the "
        "records as a keeper would, keeps each digest and compares the next with it. Only the "
        "heads of the digests are shown.\n",
    ]
    for week in weeks:
        parts.append(f"## {week.day:%A} {week.day.day} {week.day:%B %Y}\n")
        if week.records:
            parts.append("Put down since last week:\n")
            parts.append("\n".join(f"- {line}" for line in week.records) + "\n")
        head = digest_text(week.edition.digest).split("-" * 78)[0].strip()
        parts.append(f"```text\n{head}\n```\n")
    return "\n".join(parts)


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as scratch:
        text = page(simulate(Path(scratch)))
    Path(__file__).with_suffix(".md").write_text(text, encoding="utf-8")
    print(f"{len(text.split()):,} words", file=sys.stderr)
