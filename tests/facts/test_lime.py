"""Lime that is still due. The 75 lb of the examples are those of Penn State's home lawn report."""

from __future__ import annotations

import datetime as dt
from itertools import count

from advisor.facts.fact import Fact
from advisor.facts.spread_facts import lime_facts
from advisor.records.entry import Entry
from advisor.records.journal import Journal

POUND = 453.59237 / 92.90304
REPORT = dt.date(2026, 3, 1)
_ids = count()


def spread(day: tuple[int, int, int], pounds: float | None) -> Entry:
    details: dict[str, float | str] = {} if pounds is None else {"rate": pounds * POUND}
    return Entry(f"r{next(_ids)}", dt.date(*day), "work", "lime", details=details)


def facts(*entries: Entry, pounds: float | None = 75, due: bool | None = None) -> dict[str, Fact]:
    asked = None if pounds is None else pounds * POUND
    recommended = Fact("lime_recommended", asked, "measured", REPORT if asked is not None else None)
    found = lime_facts(Journal(entries), None, recommended, Fact("lime_due", due, "measured", None))
    return {fact.name: fact for fact in found}


def left(*entries: Entry, pounds: float = 75) -> float | None:
    value = facts(*entries, pounds=pounds)["lime_left"].value
    return None if value is None else round(float(value) / POUND, 6)


def test_what_was_spread_since_the_report_is_taken_off() -> None:
    assert left() == 75
    assert left(spread((2026, 4, 1), 50)) == 25
    assert left(spread((2026, 4, 1), 50), spread((2026, 10, 1), 25)) == 0
    assert left(spread((2025, 10, 1), 50)) == 75
    assert left(spread((2026, 4, 1), 100)) == 0


def test_due_follows_from_the_amount() -> None:
    assert facts()["lime_due"].value is True
    assert facts(pounds=0)["lime_due"].value is False
    assert facts(spread((2026, 4, 1), 75), due=True)["lime_due"].value is False


def test_a_spreading_without_its_rate_leaves_it_unknown() -> None:
    found = facts(spread((2026, 4, 1), None))
    assert found["lime_left"].value is None
    assert found["lime_due"].value is None
    assert "2026-04-01" in found["lime_left"].note


def test_without_an_amount_the_keepers_word_stands() -> None:
    for word in (True, False, None):
        found = facts(pounds=None, due=word)
        assert found["lime_due"].value is word
        assert found["lime_left"].value is None
