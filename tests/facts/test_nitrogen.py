"""Nitrogen fed since midsummer, added up from the journal.

1 lb of nitrogen for 1,000 ft² is 453.59 g on 92.903 m², 4.882 g/m² (international pound and foot).
"""

from __future__ import annotations

import datetime as dt
from itertools import count

from advisor.facts.spread_facts import feeding_half, nitrogen_fed
from advisor.records.entry import Entry
from advisor.records.journal import Journal

MIDSUMMER = dt.date(2026, 6, 21)
POUND = 453.59237 / 92.90304
_ids = count()


def fed(day: tuple[int, int, int], pounds: float | None, area: str = "") -> Entry:
    details: dict[str, float | str] = {} if pounds is None else {"n": pounds * POUND}
    return Entry(f"r{next(_ids)}", dt.date(*day), "work", "feeding", details=details, area=area)


def stated(day: tuple[int, int, int], pounds: float) -> Entry:
    return Entry(
        f"r{next(_ids)}", dt.date(*day), "observation", "nitrogen_fed", value=pounds * POUND
    )


def total(*entries: Entry, area: str | None = None) -> float | None:
    value = nitrogen_fed(Journal(entries), area, MIDSUMMER).value
    assert value is None or isinstance(value, float)
    return None if value is None else round(value / POUND, 6)


def test_feedings_since_midsummer_add_up() -> None:
    assert total(fed((2026, 9, 5), 0.9), fed((2026, 11, 2), 0.7)) == 1.6


def test_feedings_before_midsummer_belong_to_the_year_before() -> None:
    assert total(fed((2026, 5, 20), 0.9), fed((2026, 9, 5), 0.7)) == 0.7
    assert total(fed((2026, 6, 21), 0.5)) == 0.5


def test_silence_is_not_nil() -> None:
    fact = nitrogen_fed(Journal(), None, MIDSUMMER)
    assert fact.value is None
    assert fact.note == "no record of any feeding"


def test_who_recorded_feedings_before_has_fed_none_this_year() -> None:
    assert total(fed((2025, 9, 5), 0.9)) == 0.0


def test_a_feeding_without_its_nitrogen_leaves_the_sum_unknown() -> None:
    fact = nitrogen_fed(Journal((fed((2026, 9, 5), None),)), None, MIDSUMMER)
    assert fact.value is None
    assert "2026-09-05" in fact.note


def test_a_stated_sum_stands_for_what_came_before_it() -> None:
    assert total(fed((2026, 8, 30), None), stated((2026, 9, 1), 0.5)) == 0.5
    assert total(stated((2026, 9, 1), 0.5), fed((2026, 9, 20), 0.9)) == 1.4
    # On the day itself the keeper has counted it already.
    assert total(stated((2026, 9, 1), 0.5), fed((2026, 9, 1), 0.5)) == 0.5
    # The newest sum stands, and one from before midsummer does not.
    assert total(stated((2026, 9, 1), 0.5), stated((2026, 9, 2), 0.0)) == 0.0
    assert total(stated((2026, 6, 1), 2.0), fed((2026, 9, 5), 0.9)) == 0.9


def test_areas_are_counted_apart() -> None:
    both = (fed((2026, 9, 5), 0.9, "front"), fed((2026, 9, 5), 0.5, "back"))
    assert total(*both, area="front") == 0.9
    assert total(*both, area="back") == 0.5
    assert total(fed((2026, 9, 5), 0.9), area="back") == 0.9


def test_the_feeding_year_of_cool_season_grass_runs_from_midsummer() -> None:
    # Maryland schedule (2023): September, October-November and May belong to one year's 2.7 lb.
    starts = {
        feeding_half(dt.date(*day), 40.0, warm=False).since
        for day in ((2026, 9, 5), (2026, 11, 1), (2027, 5, 20))
    }
    assert starts == {dt.date(2026, 6, 21)}


def test_the_feeding_year_of_warm_season_grass_runs_from_winter() -> None:
    # Kansas column of June: May, June, July and August share one season's 3 lb.
    starts = {
        feeding_half(dt.date(2026, month, 10), 35.0, warm=True).since for month in (5, 6, 7, 8)
    }
    assert starts == {dt.date(2025, 12, 21)}


def test_the_halves_meet_at_the_solstices() -> None:
    def half(*day: int, latitude: float = 40.0) -> object:
        return feeding_half(dt.date(*day), latitude, warm=False).fact.value

    assert half(2026, 6, 20) == "to_midsummer"
    assert half(2026, 6, 21) == half(2026, 12, 20) == "to_midwinter"
    assert half(2026, 12, 21) == "to_midsummer"
    # Six months on in the south, and on the equator as in the north.
    assert half(2026, 6, 21, latitude=-40.0) == "to_midsummer"
    assert half(2026, 12, 21, latitude=-40.0) == "to_midwinter"
    assert half(2026, 7, 1, latitude=0.0) == "to_midwinter"
