"""How long single steps take, as multiples of a fixed sum of numpy's in the same process.

Processor time, the best of several runs; the yardstick is a sort of a million numbers, measured
between the steps so that a change of the machine's speed meets both.

    python docs/benchmarks/parts.py [--runs 7]
"""

from __future__ import annotations

import argparse
import datetime as dt
import gzip
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np

from advisor.base.checked_model import check_document
from advisor.base.strict_yaml import load_text
from advisor.decide.engine.compile import compile_program
from advisor.decide.engine.model import FactKind
from advisor.decide.engine.session import Session
from advisor.records.check_site import as_record
from advisor.records.sections import WeatherColumns
from advisor.records.weather_column_keys import WeatherColumnsKeys
from advisor.rulebook.conditions import Group, Leaf
from advisor.weather.read_weather import read_weather
from advisor.weather.seasons import members

TESTS = Path(__file__).parents[2] / "tests"
HOURLY = """date: date
time: hour
date_format: "%Y-%m-%d %H"
hourly: yes
air: {column: temp, unit: F}
rain: {column: precip, unit: in}
humidity: {column: humid, unit: "%"}
dew_point: {column: dewp, unit: F}
"""
TODAY = dt.date(2026, 1, 1)


def _engine() -> Callable[[], object]:
    """A program of the size of a rule file, 25 comparisons in two gates, compiled and run."""
    kinds = {f"n{i}": FactKind("number") for i in range(25)}
    each = [Leaf(name, "over", 1.5) for name in kinds]
    ready = Group("none", (Group("any", tuple(each[8:16])), Group("all", tuple(each[16:]))))
    formulas = {"need": Group("all", tuple(each[:8])), "ready": ready}
    values = dict.fromkeys(kinds, 2.0)

    def run() -> object:
        with Session(compile_program(formulas, kinds)) as session:
            return session.evaluate(values)

    return run


def _hours(folder: Path) -> Callable[[], object]:
    """A real year of hours (tests/weather/data/README.md), told as ten."""
    raw = (TESTS / "weather" / "data" / "jfk_2013_hourly.csv.gz").read_bytes()
    head, *lines = gzip.decompress(raw).decode().splitlines()
    years = [line.replace("2013", str(year), 1) for year in range(2013, 2023) for line in lines]
    path = folder / "hours.csv"
    path.write_text("\n".join([head, *years]) + "\n", encoding="utf-8")
    columns = as_record(
        check_document(WeatherColumnsKeys, load_text(HOURLY, "site.yaml")), WeatherColumns
    )
    return lambda: read_weather(path, columns=columns, today=TODAY)


def _steps(folder: Path) -> dict[str, Callable[[], object]]:
    days = folder / "weather.csv"
    days.write_bytes(
        gzip.decompress((TESTS / "data" / "weather" / "central_iowa.csv.gz").read_bytes())
    )
    table = read_weather(days, today=TODAY)
    return {
        "a rule file's program, compiled and run": _engine(),
        "31 years of days, read": lambda: read_weather(days, today=TODAY),
        "10 years of hours, read": _hours(folder),
        "30 members of 1,000 days": lambda: members(table, dt.date(2020, 12, 1), 365, 635),
    }


def _best(work: Callable[[], object], runs: int) -> float:
    times = []
    for _ in range(runs):
        start = time.process_time()
        work()
        times.append(time.process_time() - start)
    return min(times)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--runs", type=int, default=7)
    runs = parser.parse_args().runs
    numbers = np.random.default_rng(1).random(1_000_000)
    with tempfile.TemporaryDirectory() as folder:
        for name, work in _steps(Path(folder)).items():
            yardstick = _best(lambda: np.sort(numbers), runs)
            taken = _best(work, runs)
            print(f"{name:42} {taken * 1000:8.2f} ms  {taken / yardstick:7.3f} x the yardstick")


if __name__ == "__main__":
    main()
