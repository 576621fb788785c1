"""One thing is changed on a lawn: every view that tells what hangs on it follows, and no other.

The lawns have much to be done (`changed.py`), in both unit systems. Amounts follow in proportion,
to the printed rounding, and are again what plain arithmetic makes of the changed files.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable
from dataclasses import replace

import pytest
from changed import lawn_of
from changed_views import views_of
from lawns import CLIMATES, Lawn
from reader import Claim
from reckoning import Reckoning
from test_reckoning import FIELDS, numbers, wrong

IOWA = lawn_of(CLIMATES[0], True, "kentucky_bluegrass", dt.date(2018, 9, 5)), dt.date(2018, 9, 5)
NEBRASKA = lawn_of(CLIMATES[1], True, "fine_fescues", dt.date(2016, 8, 30)), dt.date(2016, 8, 30)
ENGLAND = (
    lawn_of(CLIMATES[3], False, "perennial_ryegrass", dt.date(2019, 9, 20)), dt.date(2019, 9, 20),
)  # fmt: skip
SEATTLE = (
    lawn_of(CLIMATES[5], False, "kentucky_bluegrass", dt.date(2015, 9, 5)), dt.date(2015, 9, 5),
)  # fmt: skip
LAWNS = (IOWA, ENGLAND, NEBRASKA, SEATTLE)
PLANNED = ("planned", "scheduled")
"""Other hours may fall on other days."""
Key = tuple[str, str, str, str]


def keyed(claims: Iterable[Claim]) -> dict[Key, set[object]]:
    found: dict[Key, set[object]] = {}
    for c in claims:
        found.setdefault((c.view, c.job, c.part, c.field), set()).add(c.value)
    return found


def follows(
    before: tuple[Claim, ...],
    after: tuple[Claim, ...],
    ratio: Callable[[Claim], float | None],
    *,
    free: tuple[str, ...] = (),
) -> int:
    """Checks that what has a ratio has changed by it, and that all else is as it was.

    A ratio of 0: changed, by whatever plain arithmetic says. Returns how many claims moved.
    """
    old, new = (keyed(c for c in each if c.field not in free) for each in (before, after))
    # A digest has room for so many words: what a longer line pushes out is told in brief.
    assert {view for view, *_ in old.keys() ^ new.keys()} <= {"week", "week page"}
    moved = 0
    for claim in {(c.view, c.job, c.part, c.field): c for c in before}.values():
        key = claim.view, claim.job, claim.part, claim.field
        if claim.field in free or key not in new:
            continue
        by = ratio(claim)
        if by is None:
            assert old[key] == new[key], key
            continue
        moved += 1
        assert old[key].isdisjoint(new[key]), ("stale", key)
        (value,) = new[key]
        for was, now in zip(numbers(claim), numbers(replace(claim, value=value)), strict=True):
            step = 0.1 if claim.field != "water" else 10.0 ** (len(f"{now:.0f}") - 2)
            assert not by or abs(now - by * was) <= step / 2 * (1 + by) + 1e-6, (key, was, now)
    return moved


def reckoned(lawn: Lawn, on: dt.date, claims: Iterable[Claim]) -> bool:
    plain = [c for c in claims if c.field in FIELDS and not c.view.endswith("data")]
    return not list(wrong(plain, Reckoning.read(lawn.site, lawn.journal, on)))


def with_site(lawn: Lawn, was: str, now: str) -> Lawn:
    assert lawn.site.count(was) == 1, was
    return replace(lawn, site=lawn.site.replace(was, now))


def with_row(lawn: Lawn, day: dt.date, row: str, at: str = "r90") -> Lawn:
    return replace(lawn, journal=f"{lawn.journal}{at},{day},{row},\n")


EACH = pytest.mark.parametrize(("lawn", "on"), LAWNS, ids=("us", "metric", "us 2", "metric 2"))


@pytest.mark.slow
@pytest.mark.sample(1)
@EACH
def test_seed_that_sprouts_half_as_well_is_twice_the_weight(lawn: Lawn, on: dt.date) -> None:
    other = with_site(lawn, "germination: 90 %", "germination: 45 %")
    after = views_of(other, on)

    def ratio(claim: Claim) -> float | None:
        return 2.0 if (claim.field, claim.part) == ("seed", "front") else None

    moved = follows(views_of(lawn, on), after, ratio)
    assert moved >= 5  # answer, amounts, work plan, and the data of three commands
    assert reckoned(other, on, after)


@pytest.mark.slow
@pytest.mark.sample(1)
@EACH
def test_a_weaker_fertiliser_weighs_more(lawn: Lawn, on: dt.date) -> None:
    other = with_site(lawn, "25-0-5", "12-0-5")
    after = views_of(other, on)
    before = views_of(lawn, on)
    moved = follows(before, after, lambda c: 25 / 12 if c.field == "product" else None)
    assert moved >= 4
    assert reckoned(other, on, after)
    texts = [c.value for c in after if c.field == "product" and len(c.value) == 3]
    assert all(value[2] in ("12-0-5", "lb", "kg") for value in texts)


@pytest.mark.slow
@pytest.mark.sample(1)
@EACH
def test_twice_the_ground_takes_twice_as_much(lawn: Lawn, on: dt.date) -> None:
    size = "3000 ft2" if "3000 ft2" in lawn.site else "280 m2"
    number, unit = size.split()
    other = with_site(lawn, size, f"{2 * int(number)} {unit}")

    def ratio(claim: Claim) -> float | None:
        if claim.part != "front" or claim.field not in FIELDS:
            return None
        return 0.0 if claim.field == "minutes" else 2.0

    after = views_of(other, on)
    assert follows(views_of(lawn, on), after, ratio, free=PLANNED) >= 20
    assert reckoned(other, on, after)
    for job in ("Core aeration", "Overseeding", "Thatch removal"):
        was, now = (
            {numbers(c)[0] for c in claims if (c.job, c.part, c.field) == (job, "front", "minutes")}
            for claims in (views_of(lawn, on), after)
        )
        # Steps are whole fives; each may be rounded up by almost one.
        assert len(was) == len(now) == 1
        assert abs(now.pop() - 2 * was.pop()) <= 15


@pytest.mark.slow
@pytest.mark.sample(1)
@EACH
def test_the_time_that_was_noted_is_the_time_that_is_told(lawn: Lawn, on: dt.date) -> None:
    long_ago = on - dt.timedelta(days=500)
    other = with_row(lawn, long_ago, "work,core_aeration,took=155 min,front")
    after = views_of(other, on)
    core = [c for c in after if (c.job, c.part, c.field) == ("Core aeration", "front", "minutes")]
    assert {numbers(c) for c in core} == {(155.0, 155.0)}
    about = "Core aeration", "front", "minutes"
    moved = follows(
        views_of(lawn, on), after, free=PLANNED,
        ratio=lambda c: 0.0 if (c.job, c.part, c.field) == about else None,
    )  # fmt: skip
    assert moved >= 3
    assert reckoned(other, on, after)


def out(claims: Iterable[Claim], job: str, part: str) -> None:
    """Checks that no view advises a job, gives it a day, or has an event for it."""
    here = [c for c in claims if c.job == job and c.part in (part, "*", "")]
    told = {c.field: c for c in here if c.field in ("scheduled", "planned", "appointed", "watered")}
    assert not told
    assert {c.value for c in here if c.field == "verdict"} <= {"ruled_out", "not_needed"}
    assert any(c.field == "verdict" for c in here)
    near = [c for c in here if c.view == "calendar" and c.field in ("event", "by")]
    assert not near, near


BANS = ("a preventer", "a wish")


def banned(lawn: Lawn, on: dt.date, ban: str) -> Lawn:
    """Seed is forbidden by a weed preventer in the soil, or is no longer wanted."""
    if ban == "a wish":
        return with_row(lawn, on, "wish,overseeding,no,front")
    put_down = on - dt.timedelta(days=12)
    other = with_row(lawn, put_down, "work,preemergent,,front")
    return with_row(other, on, "observation,weed_preventer,prodiamine,front", "r91")


@pytest.mark.slow
@pytest.mark.sample(2)
@pytest.mark.parametrize("settled", [False, True], ids=["", "settled"])
@pytest.mark.parametrize("ban", BANS)
@EACH
def test_what_is_forbidden_is_nowhere_advised(
    lawn: Lawn, on: dt.date, ban: str, settled: bool
) -> None:
    """Nor where a day had been settled for it before."""
    after = views_of(banned(lawn, on, ban), on, lawn.journal if settled else "")
    out(after, "Overseeding", "front")
    if not settled:
        back = [{k: v for k, v in keyed(views_of(x, on)).items()
                 if k[2] == "back" and k[1] in ("Overseeding", "Core aeration", "Thatch removal")}
                for x in (lawn, banned(lawn, on, ban))]  # fmt: skip
        assert back[0] == back[1]


@pytest.mark.slow
@pytest.mark.sample(1)
@EACH
def test_a_day_that_was_settled_is_the_day_in_every_view(lawn: Lawn, on: dt.date) -> None:
    claims = views_of(lawn, on, lawn.journal)
    days: dict[tuple[str, str], set[object]] = {}
    views: dict[tuple[str, str], set[str]] = {}
    for c in claims:
        if c.field == "appointed":
            days.setdefault((c.job, c.part), set()).add(c.value)
            views.setdefault((c.job, c.part), set()).add(c.view)
    assert days
    assert all(len(each) == 1 for each in days.values()), days
    # What has an appointment has no other day anywhere.
    assert not [c for c in claims if c.field == "by" and (c.job, c.part) in days]
    assert views["Overseeding", "front"] >= {
        "ask", "amounts", "calendar", "week data", "ask overseeding data",
    }  # fmt: skip
    assert {c.value for c in claims if c.field == "watered"}


@pytest.mark.slow
def test_a_law_that_forbids_feeding_is_followed_everywhere() -> None:
    """New Jersey feeds no turf from 16 November (N.J.S.A. 58:10A-62); Ohio has no such rule."""
    on = dt.date(2013, 11, 28)
    place = CLIMATES[4].place
    found = {}
    for state in ("OH", "NJ"):
        climate = replace(CLIMATES[4], place=place.replace("NY", state, 1))
        found[state] = views_of(lawn_of(climate, True, "kentucky_bluegrass", on), on)
    assert {c.value for c in found["OH"] if (c.job, c.field) == ("Feeding", "verdict")} & {"do"}
    out(found["NJ"], "Feeding", "back")
