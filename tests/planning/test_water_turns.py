"""Cycles that soak in, zones that never overlap, everything inside the hours."""

from __future__ import annotations

import itertools
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.planning.cycle_soak import Cycles, intake_rate, longest_run, split
from advisor.planning.water_stages import Weather, seed_day, turf_days
from advisor.planning.water_turns import fit

TEXTURES = st.sampled_from(["sand", "sandy_loam", "loam", "silt_loam", "clay_loam", "clay", None])
SLOPES = st.sampled_from(["flat", "gentle", "steep", None])


# Hansen and Trimmer, PNW 287 (1997), Table 1, in/h.
@pytest.mark.parametrize(
    ("texture", "low", "high"),
    [
        ("sand", 1 / 2, 1),
        ("sandy_loam", 1 / 3, 3 / 4),
        ("silt_loam", 1 / 4, 4 / 10),
        ("clay_loam", 1 / 10, 1 / 4),
    ],
)
def test_intake_lies_in_the_published_range(texture: str, low: float, high: float) -> None:
    assert low <= intake_rate(texture, "flat") / 25.4 <= high
    assert intake_rate(texture, "gentle") / 25.4 == pytest.approx(low)
    assert intake_rate(texture, "steep") < intake_rate(texture, "gentle")


def test_heavy_clay_as_an_arizona_city_waters_it() -> None:
    """Chandler: under 0.1 in/h; three or more starts of 4 minutes, at least 30 minutes apart.

    Spray heads put down about 1.5 in/h, so that 12 minutes are 0.3 in.
    """
    intake = intake_rate("clay", "flat")
    assert intake / 25.4 < 0.1
    job = split(12, 1.5 * 25.4, intake, "gentle")
    assert len(job.minutes) >= 3
    assert max(job.minutes) <= 4
    assert job.rest >= 30


@given(st.integers(1, 400), st.floats(2, 60), TEXTURES, SLOPES)
def test_no_cycle_runs_off_and_none_is_lost(
    total: int, rate: float, texture: str | None, slope: str | None
) -> None:
    intake = intake_rate(texture, slope)
    try:
        job = split(total, rate, intake, slope)
    except ValueError:
        assert longest_run(rate, intake, slope) < 1
        return
    assert job.total == total
    assert max(job.minutes) - min(job.minutes) <= 1
    for minutes in job.minutes:
        assert minutes <= longest_run(rate, intake, slope) + 1e-9
    if len(job.minutes) > 1:
        puddle = max(0.0, rate - intake) * max(job.minutes) / 60
        assert job.rest >= 30
        assert intake * job.rest / 60 >= puddle - 1e-9


JOBS = st.dictionaries(
    st.sampled_from("abcdefg"),
    st.builds(
        Cycles,
        st.lists(st.integers(1, 40), min_size=1, max_size=5).map(tuple),
        st.integers(30, 90),
    ),
    max_size=7,
)


@given(
    JOBS,
    st.integers(0, 400),
    st.integers(1, 600),
    st.integers(0, 900),
    st.sets(st.sampled_from("abc")),
)
def test_zones_never_overlap_and_keep_the_hours(
    jobs: dict[str, Cycles], first: int, long: int, prefer: int, spare: set[str]
) -> None:
    found = fit(jobs, (first, first + long), prefer, frozenset(spare))
    for one, two in itertools.pairwise(found.runs):
        assert one.end <= two.start
    ran: dict[str, list[tuple[int, int]]] = {}
    for run in found.runs:
        assert first <= run.start < run.end <= first + long
        ran.setdefault(run.zone, []).append((run.start, run.end))
    # Each zone is watered in full, or given up and said so.
    assert set(ran) | set(found.gave_up) == set(jobs)
    assert not set(ran) & set(found.gave_up)
    for zone, times in ran.items():
        assert [end - start for start, end in times] == list(jobs[zone].minutes)
        for (_, end), (start, _) in itertools.pairwise(times):
            assert start - end >= jobs[zone].rest
    for zone in found.gave_up:
        if zone not in spare:
            assert not set(ran) & spare, "others are given up first"


def test_a_single_job_that_fits_is_never_given_up() -> None:
    job = Cycles((20, 20), 30)
    assert fit({"a": job}, (0, 70), 0, frozenset()).gave_up == {}
    assert fit({"a": job}, (0, 69), 0, frozenset()).gave_up == {"a": 40}


WEATHER = st.builds(Weather, st.floats(0, 10), st.floats(0, 40), st.floats(-5, 40))


@given(st.integers(0, 30), WEATHER, st.booleans())
def test_seed_gets_no_more_than_it_lacks(age: int, weather: Weather, second: bool) -> None:
    found = seed_day(age, weather, second)
    most = {0: 12.7}.get(age, max(1.0, 2.2 * weather.et))
    assert sum(found.turns) <= most + 1e-9
    assert len(found.turns) <= 3
    assert all(depth > 0 for depth in found.turns)
    if weather.rain >= most:
        assert not found.turns


def test_stages_go_from_often_to_seldom() -> None:
    """Common practice: three a day for two weeks; Iowa State: then less often and deeper."""
    dry = Weather(5.0, 0.0, 27.0)
    often, once, deep = (seed_day(age, dry, True) for age in (5, 16, 25))
    assert [len(w.turns) for w in (often, once, deep)] == [3, 1, 1]
    assert max(often.turns) < max(once.turns) < max(deep.turns)
    assert not seed_day(24, dry, False).turns


@given(st.floats(0, 30), st.lists(WEATHER, min_size=1, max_size=30))
def test_the_root_zone_is_never_overfilled_and_never_left_dry(
    deficit: float, days: list[Weather]
) -> None:
    """FAO-56 eq. 85 by hand: depletion + use - rain - watering stays within the root zone."""
    holds, lacks = 30.0, deficit
    for wish, day in zip(turf_days(deficit, holds, 0.95, days), days, strict=True):
        given_mm = sum(wish.turns)
        assert given_mm <= lacks - min(day.rain, lacks) + 1e-9
        if not wish.turns:
            assert lacks < holds / 2 or day.rain >= lacks
        lacks = min(holds, max(0.0, lacks - day.rain - given_mm) + 0.95 * day.et)
    assert math.isfinite(lacks)
