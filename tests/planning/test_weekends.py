"""Which weekends suit: on real weather, with what is published about the season there."""

from __future__ import annotations

import csv
import datetime as dt
import gzip
import json
from pathlib import Path

import numpy as np
import pytest

from advisor.advice.book import Advice
from advisor.base.problems import BadInput
from advisor.base.record import replace
from advisor.cases.case import Case
from advisor.cases.open_folder import open_case
from advisor.cases.parts import parts_on
from advisor.planning.fit_days import day_slice, fit_days, people_can_work
from advisor.planning.weekends import compose_weekends
from advisor.records.limits import Limits
from advisor.render.sheets.weekends_json import weekends_json
from advisor.render.sheets.weekends_text import weekends_text
from advisor.rulebook.read_rulebook import read_rulebook

DATA = Path(__file__).parents[1] / "data" / "weather"
AUGUST = dt.date(2017, 8, 1)
SITE = """\
format: 1
name: Nebraska
units: us
place: {latitude: 40.4, longitude: -101.7, elevation: 1030 m, time_zone: America/Denver,
        country: US, subdivision: NE}
stand: [{grass: kentucky_bluegrass}]
sown_on: 2005-09-01
areas: [{name: lawn, size: 3000 ft2}]
soil: {texture: silt_loam}
water: {irrigated: true, can_water_seed: true}
"""
JOURNAL = """\
id,date,kind,what,value,area,note
r1,2017-07-20,observation,thatch_depth,0.9 in,,
r2,2017-07-20,observation,soil_firmness,hard,,
r3,2017-07-20,wish,overseeding,yes,,
r4,2017-07-20,observation,good_turf_share,70 %,,
r5,2017-07-20,observation,weed_preventer,none,,
"""


@pytest.fixture(scope="module")
def lawn(tmp_path_factory: pytest.TempPathFactory) -> Case:
    folder = tmp_path_factory.mktemp("nebraska")
    (folder / "site.yaml").write_text(SITE)
    (folder / "journal.csv").write_text(JOURNAL)
    weather = gzip.decompress((DATA / "champion_ne.csv.gz").read_bytes())
    (folder / "weather.csv").write_bytes(weather)
    return open_case(folder, read_rulebook())


def test_who_is_never_free_is_told_so_and_not_that_no_season_comes(lawn: Case) -> None:
    away = Limits(away=((AUGUST, dt.date(2018, 8, 1)),))
    hours = Limits(work=(("monday", 0, 0),))
    for limits in (away, hours):
        bound = replace(lawn, on=AUGUST, site=replace(lawn.site, limits=limits))
        found = compose_weekends(Advice(bound))
        assert found.wanted
        assert found.choices == ()
        assert "No day is free in this time." in weekends_text(found)


def test_the_best_weekend_for_seed_lies_in_the_printed_season(lawn: Case) -> None:
    # University of Nebraska: sow bluegrass from 15 August to 15 September
    # (rules/sources.yaml, unl_browning_2021, and the table in docs/validation/sowing_windows.md).
    found = compose_weekends(Advice(replace(lawn, on=AUGUST)))
    best = max(found.choices, key=lambda choice: choice.fit("overseeding"))
    assert dt.date(2017, 8, 15) <= best.run.first <= dt.date(2017, 9, 15)
    assert best.fit("overseeding") > 0.3
    late = next(c for c in found.choices if c.run.first == dt.date(2017, 11, 4))
    assert late.fit("overseeding") == 0


def test_chances_count_the_years_themselves(lawn: Case) -> None:
    """Dry days of one weekend counted straight from the file, without the program's tables."""
    (part,) = parts_on(replace(lawn, on=AUGUST))
    facts = part.decider.day.weather
    assert facts is not None
    first, last = dt.date(2017, 9, 9), dt.date(2017, 9, 10)
    days = day_slice(facts, first, last)
    with gzip.open(DATA / "champion_ne.csv.gz", "rt") as file:
        by_day = {row["date"]: row for row in csv.DictReader(file)}
    dry = []
    for year in facts.axis.years:
        for day in (first, last):
            # A member named after the midsummer of its year lends the following days.
            row = by_day[f"{year}-{day:%m-%d}"]
            high, rain = float(row["air_max_c"]), float(row["rain_mm"] or "nan")
            dry.append(not (rain > 2.5 or high > 32.2 or high < 2))
    assert people_can_work(facts)[:, days].mean() == pytest.approx(np.mean(dry))


def test_chance_is_never_more_than_that_of_the_season(lawn: Case) -> None:
    for choice in compose_weekends(Advice(replace(lawn, on=AUGUST))).choices:
        for fit in choice.fits:
            assert 0 <= fit.chance <= fit.in_season <= 1


def test_a_wet_record_leaves_no_day_to_work(lawn: Case) -> None:
    (part,) = parts_on(replace(lawn, on=AUGUST))
    facts = part.decider.day.weather
    assert facts is not None
    dry = fit_days(part.decider, "overseeding")
    assert dry is not None
    assert dry.can_work.any()
    facts.axis.columns["rain_mm"][:] += 30
    try:
        assert not people_can_work(facts).any()
    finally:
        facts.axis.columns["rain_mm"][:] -= 30


def test_a_long_weekend_outside_the_season_is_said(lawn: Case) -> None:
    text = weekends_text(
        compose_weekends(
            Advice(replace(lawn, on=AUGUST)), dt.date(2017, 9, 5), dt.date(2017, 10, 1)
        )
    )
    assert "no long weekend falls into its season" in " ".join(text.split())


def test_ranks_are_a_permutation_and_follow_the_whole_then_the_hours(lawn: Case) -> None:
    found = compose_weekends(Advice(replace(lawn, on=AUGUST)))
    assert sorted(c.rank for c in found.choices) == list(range(1, len(found.choices) + 1))
    whole = [item.operation.id for item in found.whole]
    assert whole == ["low_mow", "thatch_removal", "core_aeration", "overseeding"]
    order = [
        (round(choice.rehearsal.through * 10), round(choice.expected_hours, 1))
        for choice in found.ranked
        if choice.rehearsal
    ]
    assert len(order) == len(found.choices)
    assert order == sorted(order, reverse=True)


def test_the_whole_never_goes_through_where_a_part_has_no_season(lawn: Case) -> None:
    """Rehearsed on the same tables as the chance of each job, which it cannot pass."""
    found = compose_weekends(Advice(replace(lawn, on=AUGUST)))
    told = 0
    for choice in found.choices:
        assert choice.rehearsal is not None
        least = min(choice.fit(item.operation.id) for item in found.whole)
        assert choice.rehearsal.through <= least + 1e-9
        told += choice.rehearsal.through > 0
    assert told


def test_json(lawn: Case) -> None:
    told = json.loads(json.dumps(weekends_json(compose_weekends(Advice(replace(lawn, on=AUGUST))))))
    assert {"name", "from", "to", "days", "fits", "workable", "rank"} <= told["weekends"][0].keys()


@pytest.mark.parametrize(
    ("first", "last", "says"),
    [
        (dt.date(2017, 7, 1), None, "does not run forwards"),
        (None, dt.date(2017, 7, 1), "does not run forwards"),
        (None, dt.date(2019, 7, 1), "further off than the weather reaches"),
    ],
)
def test_refused(lawn: Case, first: dt.date | None, last: dt.date | None, says: str) -> None:
    with pytest.raises(BadInput, match=says):
        compose_weekends(Advice(replace(lawn, on=AUGUST)), first, last)


def test_only_work_that_waits_for_free_days_is_offered(lawn: Case) -> None:
    """Watering and mowing go on on any day, and nobody here asked about disease or a new lawn."""
    wanted = {id for id, _ in compose_weekends(Advice(replace(lawn, on=AUGUST))).wanted}
    assert {"overseeding", "core_aeration"} <= wanted
    assert not wanted & {"watering", "drought_dormancy", "mowing", "disease_watch", "new_seeding"}


def test_what_excludes_what_is_said_and_what_gives_way_is_not_offered(lawn: Case) -> None:
    """This lawn is to be sown, so weeds and feed give way (rules/operations/broadleaf_weeds.yaml
    and feeding.yaml); whether a preventer is wanted nobody has said (preemergent.yaml)."""
    found = compose_weekends(Advice(replace(lawn, on=dt.date(2017, 9, 5))))
    says = dict(found.instead)
    assert says["Broadleaf weed control"].startswith("you mean to sow within a month")
    assert says["Feeding"].startswith("seed comes first")
    assert says["Weed preventer and overseeding"].startswith("seed or preventer")
    # Dormant seeding stands in for a sowing that can still be had, and is not offered beside it.
    assert "dormant_seeding" not in {id for id, _ in found.wanted}
    assert not {"broadleaf_weeds", "feeding"} & {id for id, _ in found.wanted}
    needed = {fit.operation for choice in found.choices for fit in choice.fits if fit.needed}
    assert {"overseeding", "core_aeration", "thatch_removal"} <= needed
    assert "preemergent" not in needed
    text = weekends_text(found)
    ranked = text.split("BEST FIRST")[1].split("JOB BY JOB")[0]
    for choice in (text.split("\n\n")[1], *ranked.split("\n\n")):
        before, _, after = " ".join(choice.split()).partition("If your lawn needs it, also")
        assert "weed preventer" not in before.lower()
        assert "overseeding" not in after
    assert "Seed or preventer" not in text.split("ONE OR THE OTHER")[0]
