"""Short plain notes: what is understood, and what is refused rather than guessed."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass

import pytest

from advisor.base.problems import BadInput
from advisor.records.date_words import take_date, take_time
from advisor.records.doing import DoneAs, DoneTo
from advisor.records.entry import JournalRules, NewEntry, check_new
from advisor.records.entry_text import SpokenFact, understand
from advisor.records.note_words import stem
from advisor.records.work_text import WorkWords

# 16 September 2026 is a Wednesday.
UNDERSTOOD = [
    ("thatch 0.8 in", "09-16 observation thatch_depth 0.8 in"),
    ("Thatch ½ in in the front", "09-16 observation thatch_depth ½ in @front"),
    ("thatch 1 1/2 in in back yard", "09-16 observation thatch_depth 1 1/2 in @back_yard"),
    ("soil 58 F at 8am", "09-16 observation soil_thermometer 58 F"),
    ("soil temperature 14.5 °c", "09-16 observation soil_thermometer 14.5 °C"),
    ("pH 6.2", "09-16 observation soil_ph 6.2"),
    ("turf is brown", "09-16 observation turf_state brown"),
    ("lawn green and growing since Monday", "09-14 observation turf_state green_and_growing"),
    ("footprints stay", "09-16 observation footprints_stay yes"),
    ("footprints don't stay", "09-16 observation footprints_stay no"),
    ("label wait 1 Sep", "09-16 observation label_wait_until 2026-09-01"),
    ("cored yesterday, 3 passes", "09-15 work core_aeration passes=3"),
    ("core aerated last Saturday twice 3 in deep", "09-12 work core_aeration passes=2; depth=3 in"),
    ("dethatched on 12 Sep", "09-12 work thatch_removal"),
    ("dethatched 50 % today", "09-16 work thatch_removal share=50 %"),
    ("fed 0.7 lb N", "09-16 work feeding n=0.7 lb/1000ft2"),
    ("fed 0.7 lb n per 1000 sq ft", "09-16 work feeding n=0.7 lb/1000ft2"),
    ("fed 3.4 g N per m2", "09-16 work feeding n=3.4 g/m2"),
    ("fed 3 lb/1000 ft2 of product", "09-16 work feeding rate=3 lb/1000 ft2"),
    ("watered half an inch", "09-16 work watering water=1/2 inch"),
    ("watered 3 in deep", "09-16 work watering depth=3 in"),
    ("overseeded 3 lb/1000 ft2 of seed on Sep 5", "09-05 work overseeding seed=3 lb/1000 ft2"),
    ("mowed to 3 inches 2 days ago", "09-14 work mowing depth=3 inches"),
    ("want to overseed", "09-16 wish overseeding yes"),
    ("don't want to dethatch", "09-16 wish thatch_removal no"),
]
REFUSED = [
    ("thatch 0.8", "thatch_depth: '0.8' has no unit; write it with 'mm' or 'cm' or 'in', such as "
     "'0.8 in'"),
    ("thatch 60 F", "thatch_depth: '60 f' is a temperature; wanted depth in 'mm' or 'cm' or 'in'"),
    ("thatch", "'thatch_depth' has no value; add it with its unit"),
    ("label wait", "'label_wait_until' has no date; add it, such as '12 Sep'"),
    ("turf is odd",
     "'turf_state' is not clear; say which it is: green_and_growing, brown, stressed"),
    ("turf not brown",
     "'turf_state' is not clear; say which it is: green_and_growing, brown, stressed"),
    ("dethatched and cored", "'dethatched and cored' may be about 'core_aeration' or "
     "'thatch_removal'; say it with more of the name"),
    ("didn't core", "'didn't core' is about core aeration, and is not work done: 'didn't' says "
     "that it was not; for a wish write 'do not want …'"),
    ("overseeded 3 lb", "'3 lb' is not understood; about work it can be passes, a depth such as "
     "'3 in', an amount such as '0.7 lb N' or '3 lb/1000ft2', a time such as 'took 90 min'"),
    ("cored 9/12/2026", "'9/12/2026' may be read in two ways; write '12 Sep' or 2026-09-16"),
    ("cored on 9/12", "'9/12' may be read in two ways; write '12 Sep' or 2026-09-16"),
    ("cored tomorrow", "'tomorrow' lies in the future; a note tells what has been"),
    ("cored on 31 Feb", "'31 feb' is no date of the calendar"),
    ("cored at 25:00", "'at 25:00' is no time of day"),
    ("hello", "cannot tell what 'hello' is about; it can be a reading: footprints stay, "
     "label wait until, soil ph, soil thermometer, thatch depth, turf state, or work: "
     "core aeration, feeding, mowing, overseeding, thatch removal, watering"),
]  # fmt: skip


def short(entry: NewEntry) -> str:
    area = f"@{entry.area}" if entry.area else ""
    parts = (f"{entry.date:%m-%d}", entry.kind, entry.what, entry.value, area)
    return " ".join(part for part in parts if part)


@pytest.mark.parametrize(("note", "wanted"), UNDERSTOOD)
def test_understood(
    note: str,
    wanted: str,
    facts: Mapping[str, SpokenFact],
    operations: dict[str, WorkWords],
    today: dt.date,
) -> None:
    areas = frozenset({"front", "back_yard"})
    entry = understand(note, facts, operations, today, areas).entry
    assert short(entry) == wanted
    assert entry.note.startswith(note)
    # What is understood can be written: it passes the journal's own checks.
    checked = check_new(entry, JournalRules(facts, frozenset(operations), today, areas))
    assert checked.what == entry.what


@pytest.mark.parametrize(("note", "wanted"), REFUSED)
def test_refused(
    note: str,
    wanted: str,
    facts: Mapping[str, SpokenFact],
    operations: dict[str, WorkWords],
    today: dt.date,
) -> None:
    with pytest.raises(BadInput) as caught:
        understand(note, facts, operations, today)
    assert str(caught.value) == f"this note: {wanted}"


def test_the_time_of_day_stands_in_the_note(
    facts: Mapping[str, SpokenFact], today: dt.date
) -> None:
    assert understand("soil 58 F at 8:30 pm", facts, {}, today).entry.note.endswith(" [20:30]")
    assert understand("soil 58 F", facts, {}, today).entry.note == "soil 58 F"


def test_a_long_list_is_cut(today: dt.date) -> None:
    many = {f"job{letter}": WorkWords() for letter in "abcdefghijkl"}
    with pytest.raises(BadInput) as caught:
        understand("hello", {}, many, today)
    assert str(caught.value).endswith("jobi, jobj, …")


def test_the_longer_phrase_is_meant(facts: Mapping[str, SpokenFact], today: dt.date) -> None:
    low = DoneAs(to=(DoneTo(("mowed",), ("low",)),))
    table = {
        "mowing": WorkWords(("cut", "cut low"), DoneAs(("mowed",))),
        "low_mow": WorkWords(("low", "very low cut"), low),
    }
    assert understand("want a very low cut", facts, table, today).entry.what == "low_mow"
    assert understand("want to cut low", facts, table, today).entry.what == "mowing"
    assert understand("mowed low", facts, table, today).entry.what == "low_mow"
    assert understand("mowed", facts, table, today).entry.what == "mowing"


@pytest.mark.parametrize(
    ("note", "says"),
    [
        ("cored yesterday, 3 passes", "2026-09-15: core aeration done: passes 3"),
        ("dethatched in the front", "2026-09-16: thatch removal (front) done"),
        ("lawn green and growing", "2026-09-16: turf state green and growing"),
        ("want to overseed", "2026-09-16: overseeding wanted"),
        ("don't want to overseed", "2026-09-16: overseeding not wanted"),
    ],
)
def test_it_says_how_it_understood(
    note: str,
    says: str,
    facts: Mapping[str, SpokenFact],
    operations: dict[str, WorkWords],
    today: dt.date,
) -> None:
    assert understand(note, facts, operations, today, ["front"]).says == says


@pytest.mark.parametrize(
    ("words", "wanted"),
    [
        ("today", "2026-09-16"),
        ("this morning", "2026-09-16"),
        ("yesterday evening", "2026-09-15"),
        ("the day before yesterday", "2026-09-14"),
        ("3 days ago", "2026-09-13"),
        ("a week ago", "2026-09-09"),
        ("two weeks ago", "2026-09-02"),
        ("wednesday", "2026-09-16"),
        ("last wednesday", "2026-09-09"),
        ("on thursday", "2026-09-10"),
        ("on sat", "2026-09-12"),
        ("last sun", "2026-09-13"),
        ("2026-09-01", "2026-09-01"),
        ("on the 1st of september", "2026-09-01"),
        ("sept. 3rd", "2026-09-03"),
        ("3 oct", "2025-10-03"),
        ("oct 3, 2024", "2024-10-03"),
        ("29 feb", "2024-02-29"),
        ("full sun", "None"),
        ("in may be", "None"),
    ],
)
def test_dates(words: str, wanted: str) -> None:
    found, rest = take_date(f"cored {words} well", dt.date(2026, 9, 16))
    assert str(found) == wanted
    assert wanted == "None" or rest.split() == ["cored", ",", "well"]


@pytest.mark.parametrize(
    ("words", "wanted"),
    [
        ("at 8am", "08:00:00"),
        ("8:30 pm", "20:30:00"),
        ("12 am", "00:00:00"),
        ("12 p.m.", "12:00:00"),
        ("07:30", "07:30:00"),
        ("23:30", "23:30:00"),
        ("at 0:00", "00:00:00"),
        ("at 3 in", "None"),
    ],
)
def test_times(words: str, wanted: str) -> None:
    assert str(take_time(f"soil 58 f {words}")[0]) == wanted


@pytest.mark.parametrize("words", ["at 13pm", "0 am", "24:00"])
def test_no_time_of_day(words: str) -> None:
    with pytest.raises(ValueError, match="is no time of day"):
        take_time(words)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("cored", "core"),
        ("coring", "core"),
        ("mowed", "mow"),
        ("mown", "mow"),
        ("fed", "feed"),
        ("overseeded", "overseed"),
        ("slitted", "slit"),
        ("aerated", "aerate"),
        ("raking", "rake"),
        ("scarified", "scarify"),
    ],
)
def test_forms_of_a_word_are_one(one: str, other: str) -> None:
    assert stem(one) == stem(other)


@pytest.mark.parametrize(
    ("one", "other"), [("seed", "see"), ("thatch", "dethatch"), ("weed", "wed")]
)
def test_different_words_stay_different(one: str, other: str) -> None:
    assert stem(one) != stem(other)


@pytest.mark.parametrize("words", ["preventer none", "no preventer", "no weed preventer this year"])
def test_nothing_is_a_choice_where_the_fact_has_it(words):
    @dataclass(frozen=True)
    class Preventer:
        name: str = "weed_preventer"
        kind: str = "choice"
        unit: str = ""
        choices: tuple[str, ...] = ("none", "dithiopyr", "other")
        lowest: float | None = None
        highest: float | None = None
        said_as: tuple[str, ...] = ("preventer",)

    found = understand(words, {"weed_preventer": Preventer()}, {}, dt.date(2026, 9, 1))
    assert found.entry.value == "none"
