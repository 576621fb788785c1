"""What a reader gets who told only a place and a grass."""

from __future__ import annotations

import datetime as dt
import re

import pytest

from advisor.base.record import asdict, replace
from advisor.mailing.letters.compose import Composer, Editor, reader_digest
from advisor.mailing.letters.letter_key import key_of
from advisor.mailing.letters.reader_case import case_of
from advisor.mailing.mails.subject import LONGEST, subject_of
from advisor.mailing.readers.reader import Reader
from advisor.mailing.readers.weather_places import cell_weather, read_places
from advisor.render.digest.render import LINE

from .conftest import TODAY, write_list

GRASSES = ("tall_fescue", "bermudagrass")
DAYS = [dt.date(2018, month, 5) for month in (1, 4, 7, 9)]
EDITOR = Editor("Hello.\nTwo lines <b>here</b>.", "Is moss = bad? No.", "Not 3 in but 2.")


@pytest.fixture(scope="module")
def cell(tmp_path_factory):
    folder = write_list(tmp_path_factory.mktemp("list"))
    found = read_places(folder)[0]
    return found, cell_weather(folder, found, TODAY)


@pytest.fixture(scope="module", params=DAYS, ids=str)
def told(request, cell, book):
    """The letters of a day with what they were made from, one for each grass."""
    place, weather = cell
    composer = Composer(weather, book, request.param, TODAY, EDITOR)
    found = []
    for grass in GRASSES:
        reader = Reader("x@example.org", "X", 42.0, -93.1, "50010", "US", "IA", "", grass,
                        None, "us", TODAY, "form")  # fmt: skip
        key = key_of(reader, place)
        week = composer.week_of(key)
        found.append((key, week, composer.letter(key)))
    return found


def told_source(evidence):
    """As a mail names it: without files of this project."""
    return " ".join(re.split(r"[;,] (?:tests|docs)/", str(evidence))[0].split())


def test_only_what_was_told_is_told(told, cell, book):
    for key, week, letter in told:
        case = week.advice.case
        assert case.journal.entries == ()
        assert case.site.water.irrigated is None
        assert case == case_of(key, cell[1], book, case.on, TODAY)
        for word in ("site.yaml", "advisor ", "tests/", "journal.csv", "measure now"):
            assert word not in (letter.text + letter.html).lower()
        assert "record of central Iowa" in letter.text


def test_the_head_is_short_and_the_subject_one_line(told):
    for _, week, letter in told:
        head = letter.text.partition(LINE)[0]
        assert len(head.split()) <= 350 + len(" ".join(asdict(EDITOR).values()).split()) + 12
        assert letter.subject == subject_of(reader_digest(week))
        assert 0 < len(letter.subject) <= LONGEST


def test_open_seasons_are_told_with_their_end_their_cause_and_their_cautions(told):
    for _, week, letter in told:
        digest = reader_digest(week)
        by_title = {answer.title: answer for answer in week.measure}
        # Numbers of sources stand before the full stop.
        text = re.sub(r"\s\[[0-9, ]+\]", "", letter.text)
        head, _, below = (" ".join(part.split()) for part in text.partition(LINE))
        for line in digest.in_season:
            answer = by_title[line.title]
            assert answer.decision.outlook.state == "open"
            until = re.match(r"Until ([0-9]+) ([A-Z][a-z]{2})", line.says)
            last = answer.decision.by
            assert (int(until[1]), until[2]) == (last.day, f"{last:%b}")
            assert last >= week.first
            for _, caution in answer.safety:
                assert caution.short in head
                assert caution.text in below


def test_nobody_is_led_to_sow_into_a_weed_preventer_or_to_rake_out_seed(told, book):
    """Each wait of the rule book between two jobs that are shown is told, with its source."""
    ids = {operation.title: id for id, operation in book.operations.items()}
    for _, week, letter in told:
        digest = reader_digest(week)
        shown = {ids[line.title]: line.says for line in digest.in_season}
        head, _, below = (" ".join(part.split()) for part in letter.text.partition(LINE))
        for wait in (w for o in book.operations.values() for w in o.waits):
            if not shown.keys() & set(wait.after) or not shown.keys() & set(wait.blocks):
                continue
            if wait.strength == "label":
                assert wait.says.rpartition("; ")[2] in head
            else:
                blocked = shown[next(id for id in wait.blocks if id in shown)]
                assert wait.says.partition("; ")[0] in blocked
            evidence = book.operations[wait.declared].evidence
            for id in wait.evidence:
                assert told_source(evidence[id]) in below


def test_most_of_the_year_some_season_is_told(cell, book):
    """A mild check that the section is not empty by a slip: tall fescue in September."""
    place, weather = cell
    reader = Reader("x@example.org", "X", 42.0, -93.1, "50010", "US", "IA", "", "tall_fescue",
                    None, "us", TODAY, "form")  # fmt: skip
    composer = Composer(weather, book, dt.date(2018, 9, 10), TODAY, Editor())
    week = composer.week_of(key_of(reader, place))
    digest = reader_digest(week)
    assert digest.lead.startswith("In season if needed: overseeding, core aeration and ")
    assert digest.in_season[0].says == "Until 15 Sep, if you want it."
    assert digest.in_season[0].mind.startswith("Mind: Treated seed")
    assert "before overseeding: tines and wheels would break the seedlings" in (
        digest.in_season[1].says.lower()
    )
    assert any(
        "weed preventer in the soil stops grass seed" in m.says for m in digest.in_season_mind
    )
    assert any("after a broadleaf weed killer: " in m.says.lower() for m in digest.in_season_mind)
    with_work = replace(week, hold=week.do)
    assert reader_digest(with_work).lead == week.lead


@pytest.mark.parametrize(
    ("lead", "subject"),
    [
        ("Nothing to do this week.", "Nothing to do this week"),
        ("This week: low mowing; " + "x" * 60 + ".", "This week: low mowing"),
        ("Words after words " * 6, f"{'Words after words ' * 3}Words ..."),
    ],
)
def test_a_long_sentence_is_cut_where_it_may_be(told, lead, subject):
    _, week, _ = told[0]
    assert subject_of(replace(reader_digest(week), lead=lead)) == subject
