"""What the law of a place forbids is in no plan: N.J.S.A. 58:10A-62 and the British garden list.

New Jersey: no fertiliser on turf after 15 November and before 1 March. United Kingdom: only
authorised garden products, so that care alone is advised on (rules/laws). The weather is that of
central Iowa and of Norfolk (tests/data/weather/README.md), the places are invented.
"""

from __future__ import annotations

import datetime as dt
import gzip
from pathlib import Path

import pytest

from advisor.advice.book import Advice
from advisor.answers.consult import consult
from advisor.base.record import replace
from advisor.cases.case import Case
from advisor.cases.open_folder import open_case
from advisor.cases.parts import parts_on
from advisor.planning.fit_days import day_slice, fit_days
from advisor.planning.weekends import compose_weekends
from advisor.planning.workplan import compose_workplan
from advisor.render.yearly.rows import rows_of
from advisor.render.yearly.year import compose_year
from advisor.rulebook.read_rulebook import read_rulebook

DATA = Path(__file__).parents[1] / "data" / "weather"
ON = dt.date(2018, 10, 1)


def lawn_at(folder: Path, place: str, record: str) -> Case:
    (folder / "site.yaml").write_text(
        f"format: 1\nname: Test\nplace: {{{place}}}\nstand: [{{grass: kentucky_bluegrass}}]\n"
        "areas: [{name: lawn, size: 3000 ft2}]\n",
        encoding="utf-8",
    )
    (folder / "weather.csv").write_bytes(gzip.decompress((DATA / record).read_bytes()))
    return open_case(folder, read_rulebook())


@pytest.fixture(scope="module")
def jersey(tmp_path_factory: pytest.TempPathFactory) -> Case:
    place = "latitude: 40.4, longitude: -74.5, country: US, subdivision: NJ"
    return lawn_at(tmp_path_factory.mktemp("nj"), place, "central_iowa.csv.gz")


@pytest.fixture(scope="module")
def norfolk(tmp_path_factory: pytest.TempPathFactory) -> Case:
    place = "latitude: 52.6, longitude: 1.0, country: GB"
    return lawn_at(tmp_path_factory.mktemp("gb"), place, "norfolk_uk.csv.gz")


def test_no_day_of_a_ban_is_fit_for_feeding(jersey: Case) -> None:
    (part,) = parts_on(replace(jersey, on=ON))
    fit = fit_days(part.decider, "feeding")
    facts = part.decider.day.weather
    assert fit is not None
    assert facts is not None
    last_day = day_slice(facts, dt.date(2018, 11, 15), dt.date(2018, 11, 15))
    banned = day_slice(facts, dt.date(2018, 11, 16), dt.date(2019, 2, 28))
    assert last_day is not None
    assert banned is not None
    assert (fit.chance_in_season(last_day) or 0) > 0
    assert fit.chance_in_season(banned) == 0


def test_a_plan_leaves_out_what_the_law_forbids_on_its_days(jersey: Case) -> None:
    plan = compose_workplan(Advice(replace(jersey, on=ON)), dt.date(2018, 11, 15), 2)
    (why,) = (left.why for left in plan.left if left.item.operation.id == "feeding")
    assert why == "the law here forbids it on these days"


def test_the_year_shows_no_season_inside_a_ban(jersey: Case) -> None:
    year = compose_year(Advice(replace(jersey, on=ON)))
    assert year.forbidden == "Left out by law: feeding from 16 Nov to 29 Feb."
    feeding = [w for w in year.windows if w.operation.id == "feeding"]
    inside = [i for i, week in enumerate(year.weeks) if dt.date(2018, 11, 19) <= week]
    inside = [i for i in inside if year.weeks[i] < dt.date(2019, 2, 18)]
    assert inside
    assert feeding
    assert all(w.found.weeks[i] == 0 for w in feeding for i in inside)


def test_outside_the_united_states_no_pesticide_is_in_season(norfolk: Case) -> None:
    for on in (dt.date(2019, 1, 5), dt.date(2019, 4, 20)):
        (answer,) = consult(replace(norfolk, on=on), "should I put down a weed preventer").answers
        assert answer.headline.startswith("Not here – outside the United States only care is")
        assert not answer.measure
        assert not answer.season
        assert not answer.amounts
    year = compose_year(Advice(replace(norfolk, on=dt.date(2019, 3, 1))))
    titles = " ".join(row.title for row in rows_of(year))
    assert "Weed preventer" not in titles
    assert "Grub" not in titles
    assert "weed preventer" in year.forbidden
    found = compose_weekends(Advice(replace(norfolk, on=dt.date(2019, 3, 1))))
    assert not {"preemergent", "grubs", "broadleaf_weeds"} & {id for id, _ in found.wanted}
    assert "weed preventer" in found.law
