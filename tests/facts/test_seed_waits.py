"""How long seed waits after a preventer, by hand from what the journal may hold."""

from __future__ import annotations

import datetime as dt

import pytest

from advisor.cases.parts import grass_of_lawn
from advisor.facts.fact import Fact
from advisor.facts.spread_facts import planned_wait, seed_age, seeding_wait_left
from advisor.rulebook.read_rulebook import read_rulebook

ON = dt.date(2026, 8, 1)
BOOK = read_rulebook(cache=False)
# The labels' kind, in days: three months, four months to a year (rules/ingredients.yaml).
WAITS = {"dithiopyr": 91.0, "prodiamine": 364.0, "siduron": 0.0}
SPRING = dt.date(2026, 4, 15)


def left(
    preventer: str | None = None,
    noted: dt.date | None = None,
    done: dt.date | None = None,
    label: float | None = None,
    labelled: dt.date | None = None,
) -> float | None:
    since = None if done is None else float((ON - done).days)
    facts = {
        "weed_preventer": Fact("weed_preventer", preventer, "measured", noted),
        "preventer_label_wait": Fact("preventer_label_wait", label, "measured", labelled),
        "days_since.preemergent": Fact("days_since.preemergent", since, "recorded", done),
    }
    value = seeding_wait_left(facts, WAITS, ON).value
    assert value is None or isinstance(value, float)
    return value


def test_by_ingredient() -> None:
    assert left("dithiopyr", dt.date(2026, 6, 1)) == 91 - 61
    assert left("dithiopyr", SPRING) == 0
    assert left("prodiamine", SPRING) == 364 - 108
    assert left("siduron", ON) == 0
    assert left("none", ON) == 0


def test_what_nobody_knows_is_not_nil() -> None:
    assert left() is None
    assert left("other", SPRING) is None


def test_the_label_stands_above_the_list() -> None:
    assert left("other", SPRING, label=120.0, labelled=SPRING) == 12
    assert left("dithiopyr", SPRING, label=120.0, labelled=SPRING) == 12
    # A label of an earlier product says nothing about this one.
    assert left("dithiopyr", SPRING, label=300.0, labelled=dt.date(2025, 4, 1)) == 0


def test_work_whose_ingredient_nobody_noted() -> None:
    assert left(done=SPRING) is None
    assert left("none", dt.date(2026, 3, 1), done=SPRING) is None
    # Once even the longest wait has passed, it no longer matters.
    assert left("none", dt.date(2025, 1, 1), done=dt.date(2025, 4, 1)) == 0


def test_a_note_after_the_work_counts_from_the_work() -> None:
    work = dt.date(2026, 6, 1)
    assert left("dithiopyr", work + dt.timedelta(days=3), done=work) == 91 - 61
    # Noted long after: another one, or a guess; the longer wait is taken.
    assert left("dithiopyr", dt.date(2026, 7, 1), done=work) == 91 - 31


@pytest.mark.parametrize(
    ("at_hand", "days"), [("dithiopyr", 91.0), ("none", 0.0), ("other", None), (None, None)]
)
def test_the_preventer_at_hand(at_hand: str | None, days: float | None) -> None:
    fact = Fact("preventer_at_hand", at_hand, "measured", ON)
    assert planned_wait(fact, WAITS).value == days


def test_safe_on_one_grass_says_nothing_of_another() -> None:
    """Siduron may go down with cool-season seed (Purdue 2011), not on seeded bermudagrass (Patton
    and others 2004); mesotrione is named for three grasses (Virginia Tech)."""
    waits = {id: grass_of_lawn(grass, BOOK).seed_waits for id, grass in BOOK.grasses.items()}
    assert waits["tall_fescue"]["siduron"] == waits["zoysiagrass"]["siduron"] == 0
    assert "siduron" not in waits["bermudagrass"]
    assert waits["kentucky_bluegrass"]["mesotrione"] == 0
    assert "mesotrione" not in waits["perennial_ryegrass"]
    assert waits["bermudagrass"]["dithiopyr"] == 91


def test_the_newest_sowing() -> None:
    def since(job: str, days: float | None) -> Fact:
        return Fact(f"days_since.{job}", days, "recorded", ON if days is not None else None)

    names = {"overseeding": 300.0, "spring_seeding": 40.0, "dormant_seeding": None, "mowing": 3.0}
    facts = {f"days_since.{job}": since(job, days) for job, days in names.items()}
    assert seed_age(facts).value == 40
    assert seed_age({"days_since.mowing": since("mowing", 3.0)}).value is None
