"""The law files against what their sources print, typed off anew from the texts named beside."""

from __future__ import annotations

import datetime as dt
import re

import pytest

from advisor.base import record as records
from advisor.base.units import convert
from advisor.places.regions import region_name
from advisor.rulebook.law import FEEDING_SUBJECTS, Laws, laws_at, rules_on
from advisor.rulebook.model import RuleBook
from advisor.rulebook.read_rulebook import read_rulebook
from advisor.rulebook.stale import stale

BOOK = read_rulebook(cache=False)
LAWS = list(BOOK.laws.values())

# First and last banned day. NJ: N.J.S.A. 58:10A-62 "before March 1st or after November 15th". MD:
# 8-803.5(c) the same days. NY: ECL 17-2103 "between December first and April first"; a paper of
# 23 April 2012 has it that feeding is allowed from 2 April to 30 November. VT: the agency,
# "before April 1 or after October 15". MA: summary of 330 CMR 31, "between December 1 and March 1".
# Seminole County: "June 1st through September 30th".
BANS = {
    "us_nj": ((11, 16), (2, 29)),
    "us_md": ((11, 16), (2, 29)),
    "us_ny": ((12, 1), (4, 1)),
    "us_vt": ((10, 16), (3, 31)),
    "us_ma": ((12, 1), (3, 1)),
    "us_fl_seminole": ((6, 1), (9, 30)),
}
# Pounds of nitrogen for 1,000 ft² at a time, all of it and its quick part. NJ: Rutgers, 2013.
# MD: Extension schedule (2023). PA: 3 Pa.C.S. 6813(a). Marion 19-247(b), Orange 15-804(c), Polk
# 12-236(c).
CAPS = {
    ("us_nj", False): 0.9, ("us_nj", True): 0.7,
    ("us_md", False): 0.9, ("us_md", True): 0.7,
    ("us_pa", False): 0.9, ("us_pa", True): 0.7,
    ("us_fl_marion", False): 1.0, ("us_fl_marion", True): 0.7,
    ("us_fl_orange", False): 1.0,
    ("us_fl_polk", True): 0.5,
}  # fmt: skip
# Feet from water. NJ: as reported by Rutgers; MD 8-803.5(d); NY ECL 17-2103(3)(c); VT agency;
# MI: MSU Extension on Act 299; PA: Penn State on Act 83; Seminole County.
STRIPS = {
    "us_nj": 25, "us_md": 15, "us_ny": 20, "us_vt": 25, "us_mi": 15, "us_pa": 15,
    "us_fl_seminole": 15,
}  # fmt: skip


def test_bans_are_those_in_print(book: RuleBook) -> None:
    found = {
        id: (rule.first, rule.last)
        for id, law in book.laws.items()
        for rule in rules_on([law], ["blackout"])
    }
    assert found == BANS


def test_caps_are_those_in_print(book: RuleBook) -> None:
    found = {
        (id, rule.soluble): round(convert(rule.most or 0.0, "g/m2", "lb/1000ft2"), 6)
        for id, law in book.laws.items()
        for rule in rules_on([law], ["nitrogen_cap"])
        if rule.per == "dose"
    }
    assert found == CAPS


def test_a_county_caps_the_year_by_grass(book: RuleBook) -> None:
    # Marion County 19-247(b): bahia 3, bermuda 4, centipede 2, St. Augustine 3, zoysia 4 lb.
    year = {
        grass: round(convert(rule.most or 0.0, "g/m2", "lb/1000ft2"), 6)
        for rule in rules_on([book.laws["us_fl_marion"]], ["nitrogen_cap"])
        for grass in rule.grasses
        if rule.per == "year"
    }
    assert year == {
        "bahiagrass": 3, "bermudagrass": 4, "centipedegrass": 2, "st_augustinegrass": 3,
        "zoysiagrass": 4,
    }  # fmt: skip


def test_strips_are_those_in_print(book: RuleBook) -> None:
    found = {
        id: round(convert(rule.keep_off or 0.0, "m", "ft"), 6)
        for id, law in book.laws.items()
        for rule in rules_on([law], ["buffer"])
    }
    assert found == STRIPS


@pytest.mark.parametrize("law", LAWS, ids=lambda law: law.id)
def test_each_rule_rests_on_a_source_that_was_read(law: Laws) -> None:
    for rule in law.rules:
        if not rule.read:
            # Heard of only: it may leave an ingredient out, and no more.
            assert rule.bar is not None
            assert rule.bar.effect != "barred"
            continue
        for evidence in rule.evidence:
            assert evidence.kind == "published", rule.id
            assert evidence.source is not None
            assert evidence.source.read != "memory"
            assert evidence.at
        assert rule.checked is not None


@pytest.mark.parametrize("law", LAWS, ids=lambda law: law.id)
def test_the_sentence_says_the_numbers(law: Laws) -> None:
    for rule in law.rules:
        said = {float(x) for x in re.findall(r"\d+(?:\.\d+)?", rule.says)}
        if rule.most is not None:
            assert round(convert(rule.most, "g/m2", "lb/1000ft2"), 6) in said
        if rule.keep_off is not None:
            assert round(convert(rule.keep_off, "m", "ft"), 6) in said


@pytest.mark.parametrize("law", LAWS, ids=lambda law: law.id)
def test_each_place_is_one(law: Laws) -> None:
    """Its code is in the packaged list of places, under the name that the file gives."""
    if law.id == "eu":
        return  # The list has no unions of countries.
    assert region_name((law.country, law.subdivision)) in law.title


def test_phosphorus_is_never_forbidden_without_its_exceptions(book: RuleBook) -> None:
    for law in book.laws.values():
        for rule in rules_on([law], ["phosphorus"]):
            assert rule.exceptions, law.id


def test_where_a_law_holds(book: RuleBook) -> None:
    def ids(*place: str | None) -> list[str]:
        return [law.id for law in laws_at(book.laws, *place)]

    assert ids("US", "NJ", None) == ["us", "us_nj"]
    assert ids("us", "nj", "Ocean") == ["us", "us_nj"]
    assert ids("US", "FL", "Seminole County") == ids("US", "FL", "seminole")
    assert ids("US", "FL", "seminole") == ["us", "us_fl_seminole"]
    assert ids("US", "FL", None) == ids("US", "OH", "Seminole") == ["us"]
    assert ids("FR", None, None) == ["eu", "fr"]
    assert ids("AT", None, None) == ["eu"]
    assert ids("CH", None, None) == []
    assert ids("US", "ME", "Cumberland", "portland") == ["us", "us_me", "us_me_portland"]
    assert ids("US", "OR", None, "Portland") == ["us", "us_or"]
    assert ids("GB", "ENG", None) == ["gb"]
    assert ids(None, "NJ", None) == []
    state = records.replace(book.laws["us_fl_polk"], id="a_state", county="")
    assert [x.id for x in laws_at({**book.laws, "a": state}, "US", "FL", "Polk")] == [
        "us", "a_state", "us_fl_polk",
    ]  # fmt: skip


def test_rules_for_other_grasses_are_left_out(book: RuleBook) -> None:
    marion = [book.laws["us_fl_marion"]]
    for grass, count in (("bermudagrass", 3), ("tall_fescue", 2), ("", 7)):
        assert len(rules_on(marion, ["nitrogen_cap"], grass)) == count
    assert rules_on(marion, FEEDING_SUBJECTS)


def test_a_law_grows_stale(book: RuleBook) -> None:
    nothing = {"operations": {}, "programmes": {}, "grasses": {}, "ingredients": {}, "gates": {}}
    only = records.replace(book, key=None, **nothing)
    assert stale(only, dt.date(2028, 11, 24)) == ()
    later = stale(only, dt.date(2028, 11, 30))
    # Of Canada as a whole nothing was read, so nothing can be read again.
    assert {found.where for found in later} == set(book.laws) - {"ca"}
