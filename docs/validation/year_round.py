"""Every operation on every grass through the year in six climates. Run by hand (many minutes):

    python docs/validation/year_round.py [DAYS_BETWEEN]

Climates, keepers and checks are those of tests/year_round. Writes year_round.md beside this file.
"""

from __future__ import annotations

import datetime as dt
import random
import sys
import tempfile
from collections import Counter, defaultdict
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import get_args

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT / "tests" / "year_round"))

from exclusive import excluding, greedy_keeper  # noqa: E402
from grid import (  # noqa: E402
    CLIMATES,
    axis_of,
    day_of,
    days_of_year,
    keeper_facts,
    verdicts,
    wished_for,
)
from safe import READ, forbidden  # noqa: E402
from seasons import Cell, cells, read_seasons  # noqa: E402

from advisor.decide.verdicts.decide import Decider  # noqa: E402
from advisor.rulebook.model import RuleBook, VerdictName  # noqa: E402
from advisor.rulebook.order import all_before  # noqa: E402
from advisor.rulebook.read_rulebook import read_rulebook  # noqa: E402

Counts = dict[str, Counter[str]]
WORDS: tuple[str, ...] = get_args(VerdictName)


@dataclass
class Walk:
    """A year in one climate. counts: operation -> verdicts. done: (grass, month) -> how many of
    its verdicts are "do", and all of them. lawns: of busy keepers. wrong: what went wrong."""

    counts: Counts
    done: dict[tuple[str, int], list[int]]
    lawns: int
    wrong: list[str]


def walk(place: int, every: int) -> Walk:
    """All verdicts of one climate."""
    book, climate = read_rulebook(), CLIMATES[place]
    before, rng = all_before(book), random.Random(place)
    counts: Counts = defaultdict(Counter)
    done: dict[tuple[str, int], list[int]] = defaultdict(lambda: [0, 0])
    lawns, wrong = 0, []
    with tempfile.TemporaryDirectory() as folder:
        for on in days_of_year(climate.year, every):
            axis = axis_of(climate, on, Path(folder))
            for grass in book.grasses:
                for id, known in own_keepers(book, grass):
                    day = day_of(book, climate, grass, axis, on, known)
                    verdict = Decider(book, day, "metric").decide(id).verdict
                    counts[id][verdict] += 1
                    done[grass, on.month][0] += verdict == "do"
                    done[grass, on.month][1] += 1
                    seen = {name: day.facts[name].value for name in READ}
                    why = forbidden(book.operations[id], seen) if verdict == "do" else ""
                    if why:
                        wrong.append(f"{climate.name}, {on}, {grass}, {id}: {why}")
                busy = greedy_keeper(book, grass, rng)
                decider = Decider(book, day_of(book, climate, grass, axis, on, busy), "metric")
                verdicts(decider)
                lawns += 1
                wrong += [
                    f"{climate.name}, {on}, {grass}: {a} and {b}: {why}"
                    for a, b, why in excluding(decider, before)
                ]
    return Walk(dict(counts), dict(done), lawns, wrong)


def own_keepers(book: RuleBook, grass: str) -> list[tuple[str, dict[str, object]]]:
    """For each operation of the grass the facts of its own example of "do"."""
    traits = book.grasses[grass].traits
    found = []
    for id, operation in book.operations.items():
        example = wished_for(operation, book, grass) if grass in operation.grasses else None
        if example is not None:
            known = keeper_facts(book, example)
            found.append((id, {n: v for n, v in known.items() if n not in traits}))
    return found


def season_cells(number: int) -> list[Cell]:
    """The cells of one row of the table of published seasons."""
    with tempfile.TemporaryDirectory() as folder:
        return list(cells(read_rulebook(), read_seasons()[number], Path(folder)))


def histogram(counts: Counts) -> list[str]:
    lines = ["| operation | " + " | ".join(WORDS) + " |", "|---|" + "---:|" * len(WORDS)]
    return lines + [
        f"| {id} | " + " | ".join(str(counts[id][w]) for w in WORDS) + " |" for id in sorted(counts)
    ]


def by_month(parts: list[Walk]) -> list[str]:
    """Grass by month: the share of "do", in per cent, and in how many climates it was asked."""
    months = range(1, 13)
    lines = ["| grass | " + " | ".join(f"{dt.date(2000, m, 1):%b}" for m in months) + " |"]
    lines.append("|---|" + "---:|" * 12)
    for grass in sorted({grass for part in parts for grass, _ in part.done}):
        cells = []
        for month in months:
            found = [part.done[grass, month] for part in parts if (grass, month) in part.done]
            share = sum(do for do, _ in found) / sum(total for _, total in found)
            cells.append(f"{share:.0%} of {len(found)}")
        lines.append(f"| {grass} | " + " | ".join(cells) + " |")
    return lines


def reached(found: list[Cell]) -> list[str]:
    lines = ["| operation | cells | reached | share |", "|---|---:|---:|---:|"]
    for id in sorted({cell.season.operation for cell in found}):
        mine = [cell for cell in found if cell.season.operation == id]
        good = sum(cell.reached for cell in mine)
        lines.append(f"| {id} | {len(mine)} | {good} | {good / len(mine):.0%} |")
    return [*lines, "", "Not reached:", ""] + [
        f"- {c.season.operation}, {c.grass}, {c.season.climate.name}, month {c.month} "
        f"({c.season.words}): {', '.join(sorted({v for _, v in c.verdicts}))}"
        for c in found
        if not c.reached
    ]


def main(every: int) -> None:
    with ProcessPoolExecutor(2) as pool:
        parts = list(pool.map(partial(walk, every=every), range(len(CLIMATES))))
        rows = range(len(read_seasons()))
        found = [cell for some in pool.map(season_cells, rows) for cell in some]
    total: Counts = defaultdict(Counter)
    for part in parts:
        for id, counted in part.counts.items():
            total[id] += counted
    wrong = [line for part in parts for line in part.wrong]
    number = sum(sum(counted.values()) for counted in total.values())
    text = [
        "# Every operation, grass and month in six climates",
        "",
        f"Written by year_round.py with rule book {read_rulebook().hash}; a day looked at every "
        f"{every} days. Climates: "
        + ", ".join(climate.name for climate in CLIMATES)
        + " (tests/data/weather/README.md; the last is a northern record half a year later).",
        "",
        f"{number} verdicts on keepers with the facts of each operation's own example, none of "
        f"them an error; {sum(part.lawns for part in parts)} lawns of keepers who want "
        f"everything. Pairs that exclude each other, and verdicts against a caution: {len(wrong)}.",
        "",
        *(f"- {line}" for line in wrong[:50]),
        "",
        *histogram(total),
        "",
        "The share of `do` among a grass's verdicts of a month, and of how many climates:",
        "",
        *by_month(parts),
        "",
        "## Is the published season reached?",
        "",
        "A cell is a month of a season in tests/data/published_seasons.csv on one grass; it is",
        "reached if one day of it, each tenth day over three years, comes to `do`. The lawn is a",
        "suitable one by an example of the rule file; `laid` in the table names what is taken from",
        "it of the weather too: a drought, two wet days. A choice of grass has no season itself:",
        "its rows hold the season in which the change is sown.",
        "",
        *reached(found),
    ]
    (Path(__file__).parent / "year_round.md").write_text("\n".join(text) + "\n", encoding="utf-8")
    print("\n".join(text))


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 10)
