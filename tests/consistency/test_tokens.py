"""What stands in a text is found, with its kind and unit; and what no field has is told apart."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal

import pytest
from keyed import keys
from passages import Splitter, points
from planted import altered
from reader import Reader
from rule_texts import in_rule_book
from tokens import tokens

SPLIT = Splitter(
    Reader(("Overseeding", "Low mowing", "Mowing"), ("front", "back"), dt.date(2026, 9, 5))
)


def found(text: str) -> list[tuple[str, object]]:
    return [
        (t.kind, str(t.value) if isinstance(t.value, Decimal) else t.value) for t in tokens(text)
    ]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Saturday 31 Aug to Sunday 1 Sep", [("date", (31, 8, None)), ("date", (1, 9, None))]),
        ("8–9 Sep, 9 to 21 Oct 2018", [
            ("date", (8, 9, None)), ("date", (9, 9, None)),
            ("date", (9, 10, 2018)), ("date", (21, 10, 2018)),
        ]),
        ("SATURDAY 8 SEP, 08:45 TO 11:50", [
            ("date", (8, 9, None)), ("clock", "08:45"), ("clock", "11:50"),
        ]),
        ("2018-09-05", [("date", (5, 9, 2018))]),
        ("3.6 to 5.5 lb of seed", [("lb", "3.6"), ("lb", "5.5")]),
        ("6,700 gal; 3 bags of 5 lb, 102 USD", [
            ("gal", "6700"), ("bag", "3"), ("lb", "5"), ("money", "102"),
        ]),
        ("0.9 lb per 1,000 ft²; -2 °C", [("lb per 1,000 ft²", "0.9"), ("°C", "-2")]),
        ("1 h 20 min to 2 h", [("min", "80"), ("min", "120")]),
        ("14 to 21 days, 3 working days", [
            ("day", "14"), ("day", "21"), ("working day", "3"),
        ]),
        ("nearly every year; 6 years in 10; in 3 of 27 years", [
            ("chance", (10, 10)), ("chance", (6, 10)), ("chance", (3, 27)),
        ]),
        ("a 32-0-4", [("analysis", "32-0-4")]),
        ("the front lawn, twice, [1, 2]", []),
    ],
)  # fmt: skip
def test_what_is_found(text: str, expected: list[tuple[str, object]]) -> None:
    assert found(text) == expected


def test_another_value_is_another_value() -> None:
    text = "By 15 Sep, 29 Sep: 3.6 to 5.5 lb, 1 h 20 min, 9 years in 10, 08:45, 32-0-4, 6,700 gal"
    for token in tokens(text):
        changed = text[: token.at[0]] + altered(token, text, text) + text[token.at[1] :]
        was, now = ([t.key for t in tokens(each)] for each in (text, changed))
        assert len(was) == len(now)
        assert sum(a != b for a, b in zip(was, now, strict=True)) == 1


def test_a_date_of_the_data_counts_with_its_year_and_without() -> None:
    of = set(keys({"day": "2026-09-15", "of": ["4.5 lb"]}))
    assert of == {("date", (15, 9, 2026)), ("date", (15, 9, None)), ("lb", Decimal("4.5"))}


def test_points_and_their_jobs() -> None:
    week = (
        "LAWN\n\nTHIS WEEK\n\n[ ] Overseeding, front – by 15 Sep\n    It is thin.\n\n"
        "Free days for mowing: 5 Sep nearly every year · 12–13 Sep 8 years in 10\n\n"
        "COMING\n  - Low mowing, front and\n    back: Not yet.\n\nWeather: own.\n"
    )
    assert [text for _, text in points(week.splitlines())][:2] == [
        "[ ] Overseeding, front – by 15 Sep",
        "It is thin.",
    ]
    read = {(p.section, p.jobs, p.text) for p in SPLIT.passages(week.splitlines())}
    assert ("THIS WEEK", (("Overseeding", "front"),), "It is thin.") in read
    assert ("FREE DAYS", (("Mowing", ""),), "12–13 Sep 8 years in 10") in read
    both = (("Low mowing", "front"), ("Low mowing", "back"))
    assert ("COMING", both, "- Low mowing, front and back: Not yet.") in read
    assert ("FOOT", (), "Weather: own.") in read


def test_a_sentence_of_the_rules_is_known_and_one_with_another_number_is_not() -> None:
    assert in_rule_book("bags of 20 kg (50 lb): share or halve")
    assert not in_rule_book("bags of 25 kg (50 lb): share or halve")
