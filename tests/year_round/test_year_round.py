"""A small part of the year-round grid; docs/validation/year_round.py runs all of it.

The weather is that of real records (tests/data/weather/README.md), the keeper's facts come from the
rule files' examples, the cautions from rules/cautions.yaml.
"""

from __future__ import annotations

import datetime as dt
import random
from pathlib import Path
from typing import get_args

import pytest
from exclusive import excluding, greedy_keeper
from grid import CLIMATES, Climate, axis_of, day_of, keeper_facts, verdicts, wished_for
from safe import READ, forbidden
from seasons import cells, read_seasons

from advisor.decide.verdicts.decide import Decider
from advisor.rulebook.model import RuleBook, VerdictName

DAYS = ((2, 10), (4, 25), (6, 20), (9, 5), (11, 1))


@pytest.mark.slow
@pytest.mark.sample(2)
@pytest.mark.parametrize("climate", CLIMATES, ids=lambda climate: climate.name)
def test_each_lawn_gets_verdicts_that_agree(climate: Climate, book: RuleBook, folder: Path) -> None:
    rng = random.Random(climate.name)
    before = book.all_before
    month, day = DAYS[CLIMATES.index(climate) % len(DAYS)]
    for on in (dt.date(climate.year, month, day), dt.date(climate.year, (month + 5) % 12 + 1, day)):
        axis = axis_of(climate, on, folder)
        for grass in book.grasses:
            keeper = greedy_keeper(book, grass, rng)
            decider = Decider(book, day_of(book, climate, grass, axis, on, keeper), "metric")
            found = verdicts(decider)
            assert set(found.values()) <= set(get_args(VerdictName))
            assert {id for id, o in book.operations.items() if grass in o.grasses} == set(found)
            assert not list(excluding(decider, before)), (on, grass)
            seen = {name: decider.day.facts[name].value for name in READ}
            for id in (id for id, verdict in found.items() if verdict == "do"):
                assert not forbidden(book.operations[id], seen), (on, grass, id)


def test_the_check_of_exclusion_can_fail(book: RuleBook, folder: Path) -> None:
    """Were the working order turned round, thatch removal and sowing would exclude each other."""
    climate, grass, on = CLIMATES[1], "tall_fescue", dt.date(2018, 9, 5)
    known = {}
    for id in ("thatch_removal", "overseeding"):
        example = wished_for(book.operations[id], book, grass)
        assert example is not None
        known |= keeper_facts(book, example)
    axis = axis_of(climate, on, folder)
    decider = Decider(book, day_of(book, climate, grass, axis, on, known), "metric")
    assert {decider.decide(id).verdict for id in ("thatch_removal", "overseeding")} == {"do"}
    free = {id: frozenset[str]() for id in book.operations}
    assert not list(excluding(decider, free))
    turned = {**free, "thatch_removal": frozenset({"overseeding"})}
    assert [pair[:2] for pair in excluding(decider, turned)] == [("overseeding", "thatch_removal")]


def test_the_check_of_cautions_can_fail(book: RuleBook) -> None:
    mowing, feeding = book.operations["mowing"], book.operations["feeding"]
    assert forbidden(mowing, {"frozen_ground": True})
    assert forbidden(mowing, {"soil_feel": "wet"})
    assert forbidden(feeding, {"law_ban_left": 3.0})
    assert forbidden(book.operations["dormant_seeding"], {"air_high_3d": 35.0})
    assert not forbidden(mowing, {"frozen_ground": False, "soil_feel": "moist"})


@pytest.mark.parametrize("place", [0, 1, 16, 19, 24, 30, 34])
def test_a_published_season_comes_to_do(place: int, book: RuleBook, folder: Path) -> None:
    """Against the dates in print of tests/data/published_seasons.csv; one grass of each row."""
    season = read_seasons()[place]
    assert season.source in book.sources
    tried = list(cells(book, season, folder, grasses=1, years=1))
    assert any(cell.reached for cell in tried), (season, [cell.verdicts for cell in tried])
