"""Days of a ban against the calendar, and unknown where nothing was read."""

from __future__ import annotations

import datetime as dt

import pytest

from advisor.facts.fact import Fact
from advisor.facts.told_facts import NOT_CHECKED, LocalLaw, barred_at_hand, law_facts

WINTER = LocalLaw(checked=True, bans=(((11, 16), (2, 29)),), phosphorus=True)
SUMMER = LocalLaw(checked=True, bans=(((6, 1), (9, 30)),))


def facts(law: LocalLaw, *day: int) -> dict[str, object]:
    return {fact.name: fact.value for fact in law_facts(law, dt.date(*day))}


@pytest.mark.parametrize(
    ("day", "allowed_again"),
    [
        ((2026, 11, 15), (2026, 11, 15)),
        ((2026, 11, 16), (2027, 3, 1)),
        ((2026, 12, 31), (2027, 3, 1)),
        ((2027, 2, 28), (2027, 3, 1)),
        ((2028, 2, 29), (2028, 3, 1)),
        ((2027, 3, 1), (2027, 3, 1)),
    ],
)
def test_a_ban_over_new_year(
    day: tuple[int, int, int], allowed_again: tuple[int, int, int]
) -> None:
    # N.J.S.A. 58:10A-62: "before March 1st or after November 15th in any calendar year".
    wait = (dt.date(*allowed_again) - dt.date(*day)).days
    assert facts(WINTER, *day)["law_ban_left"] == wait


def test_a_ban_within_a_year() -> None:
    # Seminole County, Florida: 1 June to 30 September.
    assert facts(SUMMER, 2026, 5, 31)["law_ban_left"] == 0
    assert facts(SUMMER, 2026, 6, 1)["law_ban_left"] == 122
    assert facts(SUMMER, 2026, 9, 30)["law_ban_left"] == 1
    assert facts(SUMMER, 2026, 10, 1)["law_ban_left"] == 0


def test_days_until_the_next_ban() -> None:
    assert facts(WINTER, 2026, 11, 15)["law_ban_in"] == 1
    assert facts(WINTER, 2026, 11, 16)["law_ban_in"] == 0
    assert facts(WINTER, 2026, 3, 1)["law_ban_in"] == 260
    both = LocalLaw(checked=True, bans=(*WINTER.bans, *SUMMER.bans))
    assert facts(both, 2026, 3, 1)["law_ban_in"] == 92


def test_a_ban_of_the_whole_year_comes_to_an_end_of_counting() -> None:
    always = LocalLaw(checked=True, bans=(((1, 1), (12, 31)),))
    assert facts(always, 2026, 5, 1)["law_ban_left"] == 366


def test_what_was_not_read_is_unknown() -> None:
    for law in (NOT_CHECKED, LocalLaw(checked=True)):
        found = facts(law, 2026, 12, 1)
        names = ("law_ban_left", "law_ban_in", "law_phosphorus", "pesticides_barred")
        assert found == dict.fromkeys(names)
    notes = {fact.note for fact in law_facts(NOT_CHECKED, dt.date(2026, 12, 1))}
    assert notes == {"the rules of this place were not checked"}


def test_a_preventer_at_hand_that_is_left_out() -> None:
    law = LocalLaw(left_out=frozenset({"siduron"}))
    for value, barred in (("siduron", True), ("dithiopyr", False), ("none", False), (None, None)):
        at_hand = Fact("preventer_at_hand", value, "measured", None)
        assert barred_at_hand(at_hand, law).value is barred
