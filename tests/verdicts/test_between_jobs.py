"""How far off another job's season is, by hand on made-up outlooks."""

from __future__ import annotations

import datetime as dt

import pytest

from advisor.decide.verdicts.forward import End, days_to, gives_way_until, reaches
from advisor.decide.windows.interval import Spread
from advisor.decide.windows.outlook import Outlook, WindowState
from advisor.decide.windows.tracks import Opening
from advisor.rulebook.conditions import Leaf, facts_of
from advisor.rulebook.model import Boundary, Window
from advisor.rulebook.read_rulebook import read_rulebook

ON = dt.date(2026, 4, 1)
WINDOW = Window(
    "autumn", "autumn", 1, Boundary("midsummer"), Boundary("midwinter"),
    Leaf("day_length", "known", True), None, None,
)  # fmt: skip


def opening(first: dt.date) -> Opening:
    last = first + dt.timedelta(days=30)
    spread = [Spread(day, day, day) for day in (first, last)]
    return Opening(WINDOW, first.year, *spread, years=30, never=0, unknown=0)


def seen(state: WindowState, current: dt.date | None, *later: dt.date) -> Outlook:
    now = None if current is None else opening(current)
    return Outlook(state, 1.0, now, tuple(map(opening, later)), best=False, members=30)


@pytest.mark.parametrize(
    ("outlook", "days"),
    [
        (seen("open", dt.date(2026, 3, 20)), 0),
        (seen("before", dt.date(2026, 8, 19), dt.date(2026, 8, 19)), 140),
        (seen("over", dt.date(2025, 8, 19), dt.date(2026, 8, 19)), 140),
        (seen("over", dt.date(2025, 8, 19)), None),
        (seen("unknown", None), None),
    ],
)
def test_days_to(outlook: Outlook, days: float | None) -> None:
    assert days_to(outlook, ON) == days


@pytest.mark.parametrize(
    ("wait", "away", "clash"),
    [
        # Thirteen and seventeen weeks before a season that is twenty weeks off.
        (91.0, 140.0, False), (141.0, 140.0, True), (140.0, 140.0, False),
        (0.0, 0.0, False), (0.0, None, False), (None, 140.0, None), (91.0, None, None),
    ],
)  # fmt: skip
def test_reaches(wait: float | None, away: float | None, clash: bool | None) -> None:
    assert reaches(wait, away) is clash


def test_giving_way_ends_after_the_other_job_and_its_wait() -> None:
    """Lime before a feeding that is due in 5 days: fed on that day, and a week after it (7 d in
    rules/operations/lime.yaml), so the eighth day after it is free."""
    lime = read_rulebook().operations["lime"]
    (conflict,) = (c for c in lime.conflicts if c.id == "before_nitrogen_feeding")
    values = {"intended.feeding": True, "days_to.feeding": 5.0}
    assert gives_way_until(conflict, lime, values, ON) == End(dt.date(2026, 4, 1 + 5 + 7 + 1))
    assert gives_way_until(conflict, lime, {**values, "days_to.feeding": None}, ON) is None
    (other,) = (c for c in lime.conflicts if c.id == "limed_lately")
    assert gives_way_until(other, lime, {"days_since.lime": 20.0}, ON) is None


def test_no_day_is_named_where_new_seed_must_be_mown_first() -> None:
    """A broadleaf weed killer gives way to seed, and then waits for its third mowing
    (rules/operations/broadleaf_weeds.yaml), which no calendar knows."""
    weeds = read_rulebook().operations["broadleaf_weeds"]
    values = {"intended.overseeding": True, "days_to.overseeding": 0.0}
    (conflict,) = (c for c in weeds.conflicts if "days_to.overseeding" in facts_of(c.when))
    assert gives_way_until(conflict, weeds, values, ON) == End(dt.date(2026, 4, 2), sure=False)
