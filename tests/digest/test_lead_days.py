"""What is to be seen to beforehand is counted back from a day that the keeper really has free."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from advisor.cases.open_folder import open_case
from advisor.demo.scenario import write_demo
from advisor.render.digest.edition import compose_edition
from advisor.rulebook.read_rulebook import read_rulebook

WEEKEND = "free_days: [saturday, sunday]"


@pytest.mark.parametrize(
    ("on", "people", "day"),
    [
        ("2026-09-06", "", "Saturday 12 Sep"),
        ("2026-09-06", "days_off: [2026-09-11]", "Friday 11 Sep"),
        ("2026-09-06", "blocked: [2026-09-12]", "Sunday 13 Sep"),
        # The first Monday of September is free by 5 U.S.C. 6103(a).
        ("2026-09-01", "blocked: [2026-09-05, 2026-09-06]", "Monday 7 Sep"),
        (
            "2026-09-01",
            "blocked: [2026-09-05, 2026-09-06], holidays_free: false",
            "Saturday 12 Sep",
        ),
        # A bridge day is only free if it is taken off.
        ("2026-09-07", "days_off: [2026-09-10], bridge_days: true", "Saturday 12 Sep"),
    ],
)
def test_the_next_free_day(tmp_path: Path, on: str, people: str, day: str) -> None:
    folder = write_demo(tmp_path)
    record = folder / "site.yaml"
    written = record.read_text(encoding="utf-8")
    assert WEEKEND in written
    more = f"{WEEKEND}, {people}" if people else WEEKEND
    record.write_text(written.replace(WEEKEND, more), encoding="utf-8")
    digest = compose_edition(open_case(folder, read_rulebook(), dt.date.fromisoformat(on))).digest
    marked = [line.says for line in digest.gates if "lines to be marked" in line.says]
    assert marked
    assert all(f"for work on {day}" in says for says in marked), marked
