"""A rehearsal gives each job a day wherever there is a way: held to trying all ways."""

from __future__ import annotations

import datetime as dt
import random
from itertools import product

import numpy as np
import pytest

from advisor.planning.fit_days import FitDays
from advisor.planning.rehearsal import Piece, placing, rehearse

FRIDAY = dt.date(2026, 9, 4)
ONE = dt.timedelta(days=1)


def at(day: dt.date) -> int:
    return (day - FRIDAY).days


def by_trying_all(fits, before, minutes, room):
    """Whether any way gives each piece a day."""
    days = range(len(room))
    for way in product(days, repeat=len(fits)):
        each = list(zip(minutes, way, strict=True))
        load = [sum(takes for takes, on in each if on == day) for day in days]
        if (
            all(fits[i][day] for i, day in enumerate(way))
            and all(way[j] <= day for i, day in enumerate(way) for j in before[i])
            and all(used <= most for used, most in zip(load, room, strict=True))
        ):
            return True
    return False


@pytest.mark.parametrize("seed", range(4))
def test_it_finds_a_way_wherever_there_is_one(seed: int) -> None:
    chance, found = random.Random(seed), {True: 0, False: 0}
    for _ in range(150):
        pieces, days = chance.randint(1, 5), chance.randint(1, 4)
        fits = [[chance.random() < 0.7 for _ in range(days)] for _ in range(pieces)]
        before = [[j for j in range(i) if chance.random() < 0.4] for i in range(pieces)]
        minutes = [chance.choice((30.0, 60.0, 120.0, 200.0)) for _ in range(pieces)]
        room = [chance.choice((0.0, 120.0, 240.0, 240.0)) for _ in range(days)]
        placed = placing(fits, before, minutes, room)
        can = by_trying_all(fits, before, minutes, room)
        assert (None not in placed) is can
        found[can] += 1
        for i, day in enumerate(placed):
            if day is None:
                continue
            assert fits[i][day]
            assert all(placed[j] is not None and placed[j] <= day for j in before[i])
        used = [sum(minutes[i] for i, on in enumerate(placed) if on == d) for d in range(days)]
        assert all(takes <= most for takes, most in zip(used, room, strict=True))
    assert min(found.values()) > 10, "both ends are tried"


def table(rows: list[str]) -> np.ndarray:
    """Years by days: `x` is fit."""
    return np.array([[mark == "x" for mark in row] for row in rows])


def piece(name: str, rows: list[str], minutes: float = 60.0, after: tuple[str, ...] = (), bars=()):
    fit = table(rows)
    days = FitDays(fit, np.ones_like(fit), np.ones_like(fit))
    return Piece(name, days, minutes, frozenset(after), lambda day: day in bars)


def test_years_go_through_are_saved_by_the_rain_branch_or_lost() -> None:
    """Two jobs on a weekend, and the next weekend to spare; four years."""
    run, spare = [FRIDAY + ONE, FRIDAY + 2 * ONE], [FRIDAY + 8 * ONE, FRIDAY + 9 * ONE]
    #              fr sa su mo tu we th fr sa su
    tear = piece("tear", [".xx.....xx", "..x.....xx", "........xx", "..x......."])
    sow = piece("sow", [".xx.....xx", ".x......x.", ".xx......x", ".xx......."], after=("tear",))
    found = rehearse(
        [tear, sow],
        run,
        spare,
        [2001, 2002, 2003, 2004],
        lambda day: (day - FRIDAY).days,
        lambda _: 90.0,
    )
    assert found is not None
    assert [year.end for year in found.years] == ["through", "by_rain", "by_rain", "lost"]
    # One day holds one of the two; in 2004 both have but the Sunday.
    assert found.years[0].days == {"tear": run[0], "sow": run[1]}
    assert found.years[1].days == {"tear": run[1], "sow": spare[0]}
    assert found.years[2].days == {"tear": spare[0], "sow": spare[1]}
    assert found.worst.year == 2004
    assert found.worst.undone == ("sow",)
    assert (found.through, found.saved) == (0.25, 0.75)


def test_a_gate_bars_its_own_job_only() -> None:
    run, spare = [FRIDAY + ONE, FRIDAY + 2 * ONE], [FRIDAY + 8 * ONE]
    days = ["." + "x" * 9] * 2
    core = piece("core", days, bars=run)
    rake = piece("rake", days)
    found = rehearse(
        [rake, core], run, spare, [1, 2], lambda day: (day - FRIDAY).days, lambda _: 600.0
    )
    assert found is not None
    assert [year.end for year in found.years] == ["by_rain"] * 2
    assert found.years[0].days == {"rake": run[0], "core": spare[0]}


def test_nothing_is_said_where_no_year_can_tell() -> None:
    fit = table(["xxx"])
    unknown = FitDays(fit, fit, ~fit)
    one = Piece("one", unknown, 10.0, frozenset(), lambda _: False)
    where = {"index": at, "minutes_on": lambda _: 60.0}
    assert rehearse([one], [FRIDAY], [], [1], **where) is None
    assert rehearse([], [FRIDAY], [], [1], **where) is None
    assert rehearse([piece("long", ["xxx"], 61.0)], [FRIDAY], [], [1], **where) is None


def test_nobody_works_on_a_day_that_has_no_minutes() -> None:
    """As where the keeper is away on the Saturday."""
    run = [FRIDAY + ONE, FRIDAY + 2 * ONE]
    one = piece("one", ["." + "x" * 9])
    found = rehearse([one], run, [], [1], at, lambda day: 0.0 if day == run[0] else 60.0)
    assert found is not None
    assert found.years[0].days == {"one": run[1]}
