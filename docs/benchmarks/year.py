"""How long `advisor year --json` takes, and how it grows with years and operations.

Two measurements:

- the whole process, warm, on the demo site with its 30 years of daily weather, as a multiple of
  `python -c "import pandas"` on the same machine; the two take turns and medians are compared;
- the work itself (composing the year and its JSON, without start-up), in one process, for records
  of 7 to 56 years and for a rule book of 1 to 4 times as many operations. Growth is judged by the
  exponent of a power law fitted to the medians: 1 is linear, 0 is no growth.

Long records are made of the demo's invented weather, more rule files by repeating those that exist
under other names.

    python docs/benchmarks/year.py [--runs 7]

Exits with 1 if the ratio is over its target or growth is more than linear.
"""

from __future__ import annotations

import argparse
import math
import os
import platform
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Sequence
from pathlib import Path

from advisor.advice.book import Advice
from advisor.base.record import replace
from advisor.cases.case import Case
from advisor.cases.open_folder import open_case
from advisor.demo.invent import invented_days
from advisor.demo.scenario import DEMO_DAY, write_demo
from advisor.render.yearly.year import compose_year
from advisor.render.yearly.year_json import year_json
from advisor.rulebook.model import RuleBook
from advisor.rulebook.read_rulebook import read_rulebook

TARGET = 3.0
LINEAR = 1.05
"""A fitted exponent up to this counts as linear: medians on a shared machine scatter by a few %."""
YEARS = (7, 14, 28, 56)
TIMES = (1, 2, 4)


def _seconds(arguments: list[str], caches: Path) -> float:
    """Wall-clock seconds of one run of Python. Raises `SystemExit` if the command fails."""
    ours = ("PYTHONDONTWRITEBYTECODE", "PYTHONPATH")
    environment = {k: v for k, v in os.environ.items() if k not in ours}
    root = str(Path(__file__).resolve().parents[2])
    environment |= {
        "XDG_CACHE_HOME": str(caches),
        "PYTHONPYCACHEPREFIX": str(caches / "bytecode"),
        "PYTHONPATH": root,
    }
    start = time.perf_counter()
    done = subprocess.run(
        [sys.executable, *arguments], cwd=caches, env=environment, check=False, text=True,
        stdout=subprocess.DEVNULL, stderr=subprocess.PIPE,
    )  # fmt: skip
    wall = time.perf_counter() - start
    if done.returncode:
        raise SystemExit(f"{' '.join(arguments)}: exit {done.returncode}\n{done.stderr}")
    return wall


def _start_up(site: Path, runs: int) -> bool:
    commands = {
        "year": ["-m", "advisor", "year", str(site), "--json", "--on", DEMO_DAY.isoformat()],
        "pandas": ["-c", "import pandas"],
    }
    times: dict[str, list[float]] = {name: [] for name in commands}
    with tempfile.TemporaryDirectory() as folder:
        for arguments in commands.values():
            _seconds(arguments, Path(folder))
        for _ in range(runs):
            for name, arguments in commands.items():
                times[name].append(_seconds(arguments, Path(folder)))
    year, pandas = (statistics.median(taken) for taken in times.values())
    met = year / pandas <= TARGET
    print(
        f"warm: advisor year --json {year:.2f} s, import pandas {pandas:.2f} s, ratio "
        f"{year / pandas:.2f} (target {TARGET}: {'met' if met else 'MISSED'})"
    )
    for name, taken in times.items():
        print(f"  {name}: {min(taken):.2f} to {max(taken):.2f} s")
    return met


def _work(lawn: Case, runs: int) -> float:
    """Median seconds of composing the year and its data."""
    taken = []
    for _ in range(runs + 1):
        start = time.perf_counter()
        year_json(compose_year(Advice(replace(lawn, on=DEMO_DAY))))
        taken.append(time.perf_counter() - start)
    return statistics.median(taken[1:])


def _grow(what: str, sizes: Sequence[int], seconds: Sequence[float]) -> bool:
    """Print the growth; whether it is at most linear."""
    logs = [(math.log(n), math.log(s)) for n, s in zip(sizes, seconds, strict=True)]
    middle = [statistics.mean(part) for part in zip(*logs, strict=True)]
    slope = sum((x - middle[0]) * (y - middle[1]) for x, y in logs)
    exponent = slope / sum((x - middle[0]) ** 2 for x, _ in logs)
    shown = ", ".join(f"{n}: {s * 1000:.0f} ms" for n, s in zip(sizes, seconds, strict=True))
    met = exponent <= LINEAR
    print(f"{what}: {shown}; exponent {exponent:.2f} ({'at most linear' if met else 'WORSE'})")
    return met


def _long_record(site: Path, years: int) -> None:
    lines = ["# INVENTED weather of no real place", "date,max temp (F),min temp (F),rain (in)"]
    for day in invented_days(DEMO_DAY.replace(year=DEMO_DAY.year - years), DEMO_DAY):
        high, low = (round(c * 1.8 + 32) for c in (day.air_max_c, day.air_min_c))
        lines.append(f"{day.date},{max(high, low)},{low},{day.rain_mm / 25.4:.2f}")
    (site / "weather.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")


def _repeated(book: RuleBook, times: int) -> RuleBook:
    operations = {
        f"{id}_{copy}" if copy else id: replace(operation, id=f"{id}_{copy}" if copy else id)
        for copy in range(times)
        for id, operation in book.operations.items()
    }
    return replace(book, operations=operations)


def main() -> int:
    """Print the ratio and both growths."""
    parser = argparse.ArgumentParser(description="Time advisor year.")
    parser.add_argument("--runs", type=int, default=7, help="runs of each measurement")
    runs = parser.parse_args().runs
    print(f"Python {platform.python_version()}, {os.cpu_count()} cores, medians of {runs}")
    book = read_rulebook()
    with tempfile.TemporaryDirectory() as folder:
        site = write_demo(Path(folder))
        met = [_start_up(site, runs)]
        lawn = open_case(site, book)
        seconds = [_work(replace(lawn, book=_repeated(book, n)), runs) for n in TIMES]
        met.append(_grow("operations", [n * len(book.operations) for n in TIMES], seconds))
        seconds = []
        for years in YEARS:
            _long_record(site, years)
            seconds.append(_work(open_case(site, book), runs))
        met.append(_grow("years", YEARS, seconds))
    return 0 if all(met) else 1


if __name__ == "__main__":
    sys.exit(main())
