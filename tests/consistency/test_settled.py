"""The same lawns with limits and with a plan that was settled on: still no contradiction.

The plan is kept three days before, for the long weekend after it, so that every view is of a lawn
whose renovation is under way. A day without work to settle is read with the limits alone.
"""

from __future__ import annotations

import datetime as dt
import random
from dataclasses import replace
from pathlib import Path

import pytest
from claims import counts
from lawns import CLIMATES, FORTY, Lawn, write
from readback import ReadBack
from views import Refused, said, titles, views

LIMITS = (
    "work: [08:00 to 12:00, 15:00 to 18:00]", "lifting: no", "machines: no", "hire: 100",
    "engines: [09:00 to 18:00, sunday never]", "helpers: [saturday 08:00 to 12:00]",
    "shop: [08:00 to 17:00, sunday never]",
)  # fmt: skip
SEASON = (4, 5, 8, 9, 10)


def limited(lawn: Lawn) -> Lawn:
    """With one to three limits; every fourth has none."""
    rng = random.Random(f"limits of {lawn.name}")
    chosen = rng.sample(LIMITS, rng.randint(1, 3)) if rng.random() < 0.75 else []
    lines = "".join(f"  {each}\n" for each in chosen)
    return replace(lawn, site=lawn.site + ("limits:\n" + lines if lines else ""))


def settle(site: Path, day: dt.date) -> bool:
    """Keep the plan for the three days from the next Saturday; False where it holds no work."""
    saturday = day + dt.timedelta(days=(5 - day.weekday()) % 7)
    words = ("--from", saturday.isoformat(), "--days", "3", "--keep")
    before = (day - dt.timedelta(days=3)).isoformat()
    try:
        said("workplan", str(site), "--on", before, *words)
    except Refused as refused:
        if "holds no work" not in str(refused):
            raise
        return False
    return True


def check(lawn: Lawn, day: dt.date, folder: Path) -> bool:
    """Whether a plan was settled on."""
    site = write(limited(lawn), folder / f"{lawn.name} {day}")
    for note in ("lines marked", "own lines flagged"):
        said("note", str(site), note, "--on", (day - dt.timedelta(days=5)).isoformat())
    settled = settle(site, day)
    shown = views(site, day, folder)
    back = ReadBack(lawn.parts, day, titles(), shown.forms)
    found = back.all(shown.texts)
    assert not counts(found), (lawn.name, day, settled, found)
    return settled


def in_season(lawn: Lawn) -> list[dt.date]:
    return [day for day in lawn.days if day.month in SEASON]


@pytest.mark.sample(4)
@pytest.mark.parametrize("at", range(len(CLIMATES)))
def test_a_lawn_of_each_climate_on_a_drawn_day(at: int, tmp_path: Path) -> None:
    rng = random.Random(f"settled {at}")
    lawn = FORTY[at + len(CLIMATES) * rng.randrange(4)]
    check(lawn, rng.choice(in_season(lawn)), tmp_path)


@pytest.mark.long
@pytest.mark.parametrize("lawn", FORTY, ids=lambda lawn: lawn.name.split()[1])
def test_every_lawn_on_each_day_of_its_seasons(lawn: Lawn, tmp_path: Path) -> None:
    settled = [check(lawn, day, tmp_path) for day in in_season(lawn)]
    assert any(settled), "nothing was ever settled on, so little was tested"
