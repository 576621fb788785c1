"""Nothing that was only seen, wanted, refused or failed becomes work; plain work still does.

records/not_work.csv and records/work.csv are sentences of our own, in many manners of speaking,
across all operations.
"""

from __future__ import annotations

import csv
import datetime as dt
import re
from functools import cache
from pathlib import Path

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.answers.record import propose_note, propose_work, work_words
from advisor.base.paths import data_folder
from advisor.base.problems import BadInput
from advisor.base.record import replace
from advisor.cases.open_folder import open_case
from advisor.records.entry import Entry
from advisor.records.entry_text import understand
from advisor.records.journal import Journal
from advisor.records.words import COMPLETED
from advisor.rulebook.read_rulebook import read_rulebook

DAY = dt.date(2026, 9, 6)
HERE = Path(__file__).parent / "records"
SITE = """\
format: 1
name: Invented lawn
place: {latitude: 41.1, longitude: -81.6, elevation: 1050 ft, country: US, subdivision: OH}
units: us
climate: humid
stand: [{grass: Kentucky bluegrass, share: 100 %}]
areas:
  - {name: front, size: "3,000 ft2", sun: full, slope: gentle, near_water: no}
  - {name: back, size: "2,000 ft2", sun: full, slope: gentle, near_water: no}
soil: {texture: loam}
"""


def rows(name):
    with (HERE / name).open(encoding="utf-8") as file:
        return [tuple(row.values()) for row in csv.DictReader(file)]


NOT_WORK = rows("not_work.csv")
WORK = rows("work.csv")
# Told in the record of what went wrong before; sowing that has no word of doing is refused.
FOUND_WRONG = [
    "dandelions all over", "seed came up", "wanted to aerate but it rained",
    "took a photo of the bare patch", "cut a plug with a knife",
]  # fmt: skip


@pytest.fixture(scope="module")
def lawn(tmp_path_factory):
    folder = tmp_path_factory.mktemp("lawn")
    (folder / "site.yaml").write_text(SITE)
    return open_case(folder, read_rulebook())


def test_the_sentences_are_of_every_operation(lawn):
    assert {row[0] for row in NOT_WORK} == set(lawn.book.operations)
    told = {id for id, words in lawn.book.done_as.items() if words.alone or words.to}
    # Nothing is done on the lawn by choosing another grass.
    assert set(lawn.book.operations) - told == {"species_choice"}
    assert {row[0] for row in WORK} == told
    assert len(NOT_WORK) >= 120
    assert len(WORK) >= 60


@pytest.mark.parametrize(("operation", "manner", "sentence"), NOT_WORK)
def test_it_is_not_work(lawn, operation, manner, sentence):
    with pytest.raises(BadInput) as caught:
        propose_work(replace(lawn, on=DAY), sentence)
    (problem,) = caught.value.problems
    assert "\n" not in problem.what
    kind, refusal = noted(lawn, sentence)
    assert "reads as work" not in refusal
    assert "\n" not in refusal
    # A note may hold a reading, or a wish of the keeper's own.
    assert kind in ("", "observation", "wish" if manner == "wanted" else "")


def noted(lawn, sentence):
    """The kind that `note` makes of it, or why none."""
    try:
        return propose_note(replace(lawn, on=DAY), sentence).entry.kind, ""
    except BadInput as error:
        return "", str(error)


@pytest.mark.parametrize("sentence", FOUND_WRONG)
def test_the_refusal_says_what_it_understood_and_what_records_it(lawn, sentence):
    with pytest.raises(
        BadInput, match=r"is about .*, and is not work done: .*('advisor note |a note )[^;]*records"
    ):
        propose_work(replace(lawn, on=DAY), sentence)


def test_where_we_have_a_reading_note_records_it(lawn):
    seen = propose_note(replace(lawn, on=DAY), "weeds cover 30 %").entry
    assert (seen.kind, seen.what, seen.value) == ("observation", "weed_share", "30 %")
    with pytest.raises(
        BadInput, match=r"'advisor note \S+ \"weeds cover 10 %\"' records what was seen"
    ):
        propose_work(replace(lawn, on=DAY), "dandelions all over")
    with pytest.raises(
        BadInput, match=r"no reading that is understood, such as 'weeds cover 10 %'"
    ):
        propose_note(replace(lawn, on=DAY), "dandelions all over")


@pytest.mark.parametrize(("operation", "value", "area", "sentence"), WORK)
def test_plain_work_is_recorded_as_meant(lawn, operation, value, area, sentence):
    entry = propose_work(replace(lawn, on=DAY), sentence).entry
    assert (entry.kind, entry.what, entry.value, entry.area) == ("work", operation, value, area)
    # Noted, it is pointed to the command that records work.
    kind, refusal = noted(lawn, sentence)
    assert kind != "work"
    assert kind == "observation" or re.search(
        r"'advisor done \S+ \S.*' records it|not clear|has no", refusal
    )


@pytest.mark.parametrize(
    ("sentence", "said"),
    [
        ("mowed, bagged the clippings", "may be about 'clippings' or 'mowing'"),
        ("seeded and watered", "may be about"),
        ("cored the front and the back", "'front' and 'back': a record is of one part"),
        ("cored back and front", "'front' and 'back': a record is of one part"),
    ],
)
def test_two_at_once_are_not_recorded_as_one(lawn, sentence, said):
    with pytest.raises(BadInput, match=re.escape(said)):
        propose_work(replace(lawn, on=DAY), sentence)


SPOILED = [
    "wanted: {}", "{} if it stays dry", "almost {}", "the neighbour {}", "{}?", "not {}",
    "{} but the machine broke", "should have {}", "tried, never {}", "{} every year",
    "a contractor {}", "{} last fall", "dreamed that I {}", "next week {}", "he {}",
]  # fmt: skip


@pytest.mark.slow
@pytest.mark.sample(6)
@pytest.mark.parametrize("spoiled", SPOILED)
def test_one_word_spoils_any_plain_sentence(lawn, spoiled):
    """The class behind the examples: each manner undoes each sentence of real work."""
    for *_, sentence in WORK:
        with pytest.raises(BadInput):
            raise_unless_work(lawn, spoiled.format(sentence))


def raise_unless_work(lawn, sentence):
    found = propose_work(replace(lawn, on=DAY), sentence)
    raise AssertionError(f"'{sentence}' became {found.entry}")


PLAIN = set("i we the a my front back lawn grass yesterday with in all over some and of".split())  # noqa: SIM905
PLAIN |= set("was were got have has had bag three machine seen dry wet brown up down out".split())  # noqa: SIM905


def vocabulary(lawn):
    """All words of the jobs and many plain ones, without any that tells of doing."""
    words = {w for phrases in lawn.book.asked_as.values() for p in phrases for w in p.split()}
    return sorted((words | PLAIN) - doing(lawn))


def doing(lawn):
    verbs = {
        phrase.split()[0]
        for words in lawn.book.done_as.values()
        for phrase in (*words.alone, *(did for to in words.to for did in to.did))
    }
    # A phrase such as "spring seeded" is told by its last word.
    last = {p.split()[-1] for words in lawn.book.done_as.values() for p in words.alone}
    return verbs | last | {phrase.split()[0] for phrase in COMPLETED}


@pytest.mark.slow
@settings(max_examples=400, deadline=None)
@given(data=st.data())
def test_no_sentence_without_a_word_of_doing_is_work(lawn, data):
    words = data.draw(st.lists(st.sampled_from(vocabulary(lawn)), min_size=1, max_size=9))
    try:
        kind = understand(
            " ".join(words), {}, work_words(lawn), DAY, lawn.site.area_names
        ).entry.kind
    except BadInput:
        return
    assert kind == "wish"


@cache
def operation_files():
    """Every rule file of an operation, as plain YAML has it."""
    folder = data_folder("rules") / "operations"
    return [yaml.safe_load(path.read_text(encoding="utf-8")) for path in folder.glob("*.yaml")]


def days_read(operation):
    """The limits beside `days_since.OPERATION` anywhere in the rule files, read as plain YAML."""
    facts = {f"days_since.{operation}", "seed_age" if operation.endswith("seeding") else ""}
    for file in operation_files():
        for node in nodes([file.get(part, []) for part in ("need", "ready", "conflicts")]):
            if node.get("fact") in facts:
                limits = (node[key] for key in ("under", "at_most", "at_least") if key in node)
                yield from (float(limit.removesuffix(" d")) for limit in limits)
        for wait in file.get("waits", []):
            if operation in wait["after"] and wait["for"] != "ingredient":
                yield float(wait["for"].removesuffix(" d"))


def nodes(part):
    """Every mapping in nested data."""
    if isinstance(part, dict):
        yield part
    for inner in part.values() if isinstance(part, dict) else part:
        if isinstance(inner, dict | list):
            yield from nodes(inner)


def test_what_wants_a_yes_follows_from_the_rule_files(lawn):
    """Whatever is read back has a limit of a week or more in the files; what is not asked about
    rules out nothing for so long on this lawn."""
    asked = set()
    for operation, _, _, sentence in WORK:
        if operation in asked:
            continue
        proposal = propose_work(replace(lawn, on=DAY), sentence)
        if proposal.asks:
            asked.add(operation)
            assert max(days_read(operation)) >= 7
    free = {row[0] for row in WORK} - asked
    for operation in free:
        # The rest rules out too little, or only calls for another job.
        assert operation in {
            "clippings", "drought_dormancy", "grubs", "leaf_litter", "low_mow", "mowing",
            "new_lawn", "seedling_watering", "tool_care", "watering",
        }  # fmt: skip
    assert asked >= {
        "broadleaf_weeds", "overseeding", "core_aeration", "thatch_removal", "preemergent",
        "feeding", "lime", "new_seeding", "spring_seeding", "dormant_seeding", "topdressing",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("sentence", "means"),
    [
        ("dethatched", "no thatch removal until 3 Jul 2027"),  # 300 days: once a year
        ("cored", "no core aeration until 3 Feb 2027"),  # 150 days
        ("fed", "no feeding until 6 Oct and no lime until 13 Sep"),  # 30 days and 7
        ("sprayed the dandelions", "until 6 Oct"),  # 30 days before seed
        ("dethatched on 1 Sep 2025", ""),  # long over
    ],
)
def test_it_says_what_it_rules_out_and_until_when(lawn, sentence, means):
    found = propose_work(replace(lawn, on=DAY), sentence).means
    assert means in found
    assert bool(found) == bool(means)


def test_a_warm_season_lawn_has_other_bans(lawn, tmp_path):
    (tmp_path / "site.yaml").write_text(SITE.replace("Kentucky bluegrass", "bermudagrass"))
    warm = open_case(tmp_path, lawn.book)
    assert (
        "no winter rye" in propose_work(replace(warm, on=DAY), "overseeded with winter rye").means
    )
    assert (
        "dormant seeding" not in propose_work(replace(warm, on=DAY), "sprayed the dandelions").means
    )
    assert "dormant seeding" in propose_work(replace(lawn, on=DAY), "sprayed the dandelions").means


def test_the_same_record_is_known_again(lawn):
    proposal = propose_work(replace(lawn, on=DAY), "mowed to 3 inches in the front")
    assert not proposal.asks
    entry = proposal.entry
    stands = Entry(
        "r1", entry.date, entry.kind, entry.what, text=entry.value, area=entry.area, note=entry.note
    )
    kept = replace(lawn, journal=Journal((stands,)))
    assert propose_work(replace(kept, on=DAY), "mowed  to 3 inches in the front").stands == "r1"
    for other in (
        "mowed to 2 inches in the front",
        "mowed to 3 inches in the back",
        "mowed the front to 3 inches",
        "mowed to 3 inches in the front yesterday",
    ):
        assert propose_work(replace(kept, on=DAY), other).stands == ""
