"""The demo's Saturday and Sunday as they are settled, and what was noted on them."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

from typer.testing import CliRunner

from advisor.cli.main import app
from advisor.cli.opened import advice_for
from advisor.demo.scenario import write_demo
from advisor.planning.on_day import OnDay, settled_today

SATURDAY, SUNDAY = dt.date(2026, 9, 5), dt.date(2026, 9, 6)


def run(*words: str) -> str:
    """What a command says that works."""
    found = CliRunner().invoke(app, list(words))
    assert found.exit_code == 0, (found.output, found.exception)
    return found.output


def settled(folder: Path, made: str = "2026-09-02") -> Path:
    """The demo's lawn with its plan of 5 September kept, all gates seen to."""
    site = write_demo(folder)
    for gate in ("lines marked", "own lines flagged"):
        run("note", str(site), gate, "--on", made)
    days = ("--from", "2026-09-05", "--days", "3")
    run("workplan", str(site), "--on", made, *days, "--keep")
    return site


def day_of(site: Path, on: dt.date) -> OnDay:
    """What is settled for a day."""
    day = settled_today(advice_for(site, on))
    assert day is not None
    return day


def minute(clock: str) -> int:
    """`11:30` in minutes after midnight."""
    hour, rest = clock.split(":")
    return int(hour) * 60 + int(rest)
