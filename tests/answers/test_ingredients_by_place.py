"""No view offers an active ingredient where home use of it is barred, or may be, and every other
one is offered with the question whether it is allowed. What is shown is read as a reader sees it:
text, HTML and JSON; what may be shown stands in ingredient_bars.py, typed from the laws."""

from __future__ import annotations

import datetime as dt
import html
import json
import re
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from advisor.base.record import replace

sys.path.insert(0, str(Path(__file__).parent))

from ingredient_bars import INGREDIENTS, NOBODY_HIRED, PLACES, US, expected

from advisor.advice.book import Advice
from advisor.answers.consult import consult
from advisor.answers.to_json import answer_json
from advisor.cases.case import Case
from advisor.cases.open_folder import open_case
from advisor.planning.weekends import compose_weekends
from advisor.render.digest.edition import compose_edition, show
from advisor.render.digest.measure import measure_lines
from advisor.render.digest.render import answer_text
from advisor.render.digest.week import all_answers, worthwhile
from advisor.render.sheets.weekends_text import weekends_text
from advisor.rulebook.read_rulebook import read_rulebook

BOOK = read_rulebook()
ASKS = "ask first whether home use is allowed where you live"
LAW = ("The law in ", "Reported of ")
RULES_READ = re.compile(r"Rules read: .*?stand above this advice\.")
MONTHS = (-6, -5, -3, 0, 2, 3, 4, 4, 3, 0, -3, -5)
SIDES = {
    "DE": (50.0, 9.0), "NL": (52.0, 5.0), "AU": (-37.0, 145.0), "NZ": (-43.0, 172.0),
}  # fmt: skip
DAY = dt.date

SPRING, JUNE, SEPTEMBER, WINTER = (
    DAY(2026, 4, 5), DAY(2026, 6, 15), DAY(2026, 9, 15), DAY(2025, 12, 28),
)  # fmt: skip
# What a place of the United States is offered if nothing bars it, by the job that is due:
# preventives and cures against grubs, weed preventers, and what may go down with seed.
OFFERED = {
    JUNE: {"chlorantraniliprole", "imidacloprid"},
    SEPTEMBER: {"trichlorfon", "carbaryl"},
    WINTER: {"chlorantraniliprole", "imidacloprid", "siduron", "mesotrione"},
    SPRING: {"dithiopyr", "pendimethalin", "prodiamine", "siduron", "mesotrione"},
}
# Here what to measure and the free days are read as well; they are slower than all the rest.
PLANNED = (SPRING, JUNE)
# Days on both sides of the beginnings and of the one repeal.
TURNS = [
    ("New York", DAY(2024, 12, 30)), ("New York", DAY(2024, 12, 31)),
    ("New York", DAY(2022, 12, 31)), ("New York", DAY(2023, 1, 1)),
    ("New York", DAY(2026, 12, 30)), ("New York", DAY(2026, 12, 31)),
    ("California", DAY(2024, 12, 31)), ("California", DAY(2025, 1, 1)),
    ("California", DAY(2020, 7, 31)), ("California", DAY(2020, 8, 1)),
    ("Washington", DAY(2025, 12, 31)), ("Washington", DAY(2026, 1, 1)),
    ("Maryland", DAY(2017, 12, 31)), ("Maryland", DAY(2018, 1, 1)),
    ("Massachusetts", DAY(2022, 6, 30)), ("Massachusetts", DAY(2022, 7, 1)),
    ("Maine", DAY(2022, 8, 31)), ("Maine", DAY(2022, 9, 1)),
    ("Connecticut", DAY(2027, 9, 30)), ("Connecticut", DAY(2027, 10, 1)),
    ("Oregon", DAY(2026, 12, 31)), ("Oregon", DAY(2027, 1, 1)),
    ("Manitoba", DAY(2022, 11, 2)), ("Manitoba", DAY(2022, 11, 3)),
    ("New Zealand", DAY(2027, 1, 10)), ("New Zealand", DAY(2027, 1, 11)),
    ("Portland ME", DAY(2018, 12, 31)), ("Portland ME", DAY(2019, 1, 1)),
]  # fmt: skip
QUESTIONS = ("grub control", "weed preventer", "weed killer", "dormant seeding",
             "spring seeding", "overseeding", "brown patch")  # fmt: skip
RECORDS = {
    "grub_count": "14 /ft2", "grub_killer_label": "yes", "turf_state": "growing",
    "weed_share": "25 %", "weed_killer_label": "yes", "summer_grass_weeds": "yes",
    "preventer_label": "yes", "preventer_at_hand": "other", "good_turf_share": "60 %",
    "weed_preventer": "none", "lawn_flowers": "no", "disease_seen": "yes",
}  # fmt: skip


def lawn_at(
    folder: Path,
    place: str,
    on: dt.date,
    *,
    wishes: tuple[str, ...] = (),
    grass: str = "kentucky_bluegrass",
    without: str = "",
    grubs: str = "14 /ft2",
) -> Case:
    """An invented lawn on which the jobs that name ingredients are due; only its codes matter."""
    keys = zip(("country", "subdivision", "county", "town"), PLACES[place], strict=True)
    lines = "".join(f'  {key}: "{value}"\n' for key, value in keys if value)
    north, east = SIDES.get(PLACES[place][0], (40.0, -75.0))
    (folder / "site.yaml").write_text(
        f"format: 1\nname: Test\nplace:\n  latitude: {north}\n  longitude: {east}\n"
        f"{lines}stand:\n  - {{grass: {grass}}}\nwater: {{irrigated: true}}\n"
        "areas:\n  - {name: front, size: 3000 ft2}\n",
        encoding="utf-8",
    )
    # Records are of the past, whatever day is asked about.
    day = min(on - dt.timedelta(days=1), DAY(2026, 11, 15))
    records = {**RECORDS, "grub_count": grubs}
    kept = [("observation", name, value) for name, value in records.items() if name != without]
    kept += [("wish", name, "yes") for name in wishes]
    rows = (f"r{i},{day},{kind},{name},{value},," for i, (kind, name, value) in enumerate(kept, 1))
    (folder / "journal.csv").write_text(
        "\n".join(("id,date,kind,what,value,area,note", *rows)) + "\n", encoding="utf-8"
    )
    warmth = MONTHS if north > 0 else (*MONTHS[6:], *MONTHS[:6])
    normals = (f"{i},{20 + 2.2 * m:.1f},{9 + 2.2 * m:.1f},100" for i, m in enumerate(warmth, 1))
    (folder / "normals.csv").write_text(
        "\n".join(("month,air_max_c,air_min_c,rain_mm", *normals)) + "\n", encoding="utf-8"
    )
    return open_case(folder, BOOK)


def paragraphs(text: str) -> Iterator[str]:
    """Bullets and paragraphs of a text, each on one line."""
    for block in re.split(r"\n(?=\s*(?:-|\d+\.) |\s*\n)|\n(?=Rules read|Local rules)", text):
        yield " ".join(block.split()).removeprefix("- ")


def of_html(page: str) -> Iterator[str]:
    for block in re.split(r"</?(?:p|li|td|tr|h\d|div|dd|dt|summary|ul|ol)\b[^>]*>", page):
        yield " ".join(html.unescape(re.sub(r"<[^>]+>", " ", block)).split())


def of_json(data: object) -> Iterator[str]:
    if isinstance(data, dict):
        for value in data.values():
            yield from of_json(value)
    elif isinstance(data, list):
        for value in data:
            yield from of_json(value)
    elif isinstance(data, str):
        yield data


def views(lawn: Case, on: dt.date, questions: tuple[str, ...]) -> Iterator[tuple[str, list[str]]]:
    """Each view, by name, as its bullets and paragraphs."""
    edition = compose_edition(replace(lawn, on=on))
    yield "week, text", list(paragraphs(show(edition, "text")))
    yield "week, html", list(of_html(show(edition, "html")))
    yield "week, json", list(of_json(json.loads(show(edition, "json"))))
    for question in questions:
        asked = consult(replace(lawn, on=on), question)
        for answer in asked.answers:
            for why in (False, True):
                text = answer_text(answer, BOOK, asked.weather, asked.law, why=why)
                yield f"{question}{', why' if why else ''}", list(paragraphs(text))
            yield f"{question}, json", list(of_json(answer_json(asked.advice, answer)))
    if on not in PLANNED:
        return
    _, answers, question = all_answers(replace(lawn, on=on))
    told = measure_lines(question, worthwhile(answers, BOOK))
    yield "measure", [line for pair in told for line in pair]
    weekends = compose_weekends(Advice(replace(lawn, on=on)))
    yield "weekends", list(paragraphs(weekends_text(weekends)))


NAMED = re.compile(rf"(?i)(?<!\w)(?:{'|'.join(map(re.escape, INGREDIENTS))})(?!\w)")
SPELT = {ingredient.lower(): ingredient for ingredient in INGREDIENTS}


def named_in(text: str) -> set[str]:
    """The ingredients that a text names."""
    return {SPELT[word.lower()] for word in NAMED.findall(text)}


def check(place: str, on: dt.date, lawn: Case, questions: tuple[str, ...] = QUESTIONS) -> set[str]:
    """What is offered on a day, after it was held against the law."""
    law = expected(place, on)
    offered: set[str] = set()
    for view, told in views(lawn, on, questions):
        assert told, view
        for text in told:
            if text.startswith(LAW):
                continue
            text = RULES_READ.sub("", text)
            for said in re.split(r"(?<=[.!?]) (?=[A-Z])", text) if NAMED.search(text) else ():
                found = named_in(said)
                assert not found & law.left_out, (place, on, view, said)
                assert not found or ASKS in said, (place, on, view, said)
                offered |= found
        law_said = " ".join(t for t in told if t.startswith("The law in "))
        for text in told:
            assert "barred by law" not in text
        for ingredient in law.doubtful - law.barred:
            # What was only reported is not told as the law.
            assert not re.search(rf"no {ingredient}\b", law_said), (place, on, view)
    return offered


@pytest.mark.slow
@pytest.mark.sample(4)
@pytest.mark.parametrize("place", PLACES)
def test_a_year_of_advice(place: str, tmp_path: Path) -> None:
    for on, usual in OFFERED.items():
        wishes = ("dormant_seeding",) if on == WINTER else ()
        wishes = ("spring_seeding", "preemergent") if on == SPRING else wishes
        offered = check(place, on, lawn_at(tmp_path, place, on, wishes=wishes))
        if place in US:
            assert usual - expected(place, on).left_out <= offered, (place, on)


@pytest.mark.sample(8)
@pytest.mark.parametrize(("place", "on"), TURNS, ids=lambda x: str(x))
def test_a_ban_begins_and_ends_by_the_calendar(place: str, on: dt.date, tmp_path: Path) -> None:
    # With few grubs what prevents them is told in any season, with many what kills them in theirs.
    many = (place, on.year) == ("California", 2020)
    lawn = lawn_at(tmp_path, place, on, grubs="14 /ft2" if many else "3 /ft2")
    offered = check(place, on, lawn, QUESTIONS[:1])
    if place in US and place != "Connecticut":  # By October 2027 the count of grubs is stale.
        usual = {"trichlorfon", "carbaryl"} if many else {"chlorantraniliprole", "imidacloprid"}
        assert usual - expected(place, on).left_out <= offered, (place, on)


@pytest.mark.parametrize("place", ["Ohio", "Montgomery County MD", "Portland ME", "Quebec"])
@pytest.mark.parametrize("grass", ["bermudagrass", "st_augustinegrass", "centipedegrass"])
def test_other_grasses(place: str, grass: str, tmp_path: Path) -> None:
    """The same on warm-season grass, on which some texts speak against an ingredient."""
    law = expected(place, SPRING)
    lawn = lawn_at(tmp_path, place, SPRING, grass=grass, wishes=("preemergent", "new_seeding"))
    for question in ("weed preventer", "weed killer", "grub control", "new lawn"):
        asked = consult(replace(lawn, on=SPRING), question)
        for answer in asked.answers:
            for text in paragraphs(answer_text(answer, BOOK, asked.weather, asked.law)):
                if not text.startswith(LAW):
                    text = RULES_READ.sub("", text)
                    assert not named_in(text) & law.left_out, (place, grass, text)


@pytest.mark.parametrize("place", ["Ohio", "California", "Montgomery County MD", "Nova Scotia"])
def test_what_an_ingredient_at_hand_would_mean(place: str, tmp_path: Path) -> None:
    """Asked which preventer is at hand, no result is told for one that is left out."""
    law = expected(place, SPRING)
    lawn = lawn_at(tmp_path, place, SPRING, wishes=("preemergent", "spring_seeding"),
                   without="preventer_at_hand")  # fmt: skip
    asked = consult(replace(lawn, on=SPRING), "weed preventer")
    for answer in asked.answers:
        for text in (*answer.changes, *(r for m in answer.measure for r in m.results)):
            assert not named_in(text) & law.left_out, text
            assert not named_in(text) or ASKS in text, text


@pytest.mark.parametrize("place", PLACES)
def test_nobody_is_to_be_hired_for_what_they_may_not_do(place: str, tmp_path: Path) -> None:
    on = DAY(2026, 1 if PLACES[place][0] in ("AU", "NZ") else 7, 15)
    lawn = lawn_at(tmp_path, place, on, grass="tall_fescue")
    asked = consult(replace(lawn, on=on), "brown patch")
    told = " ".join(t for a in asked.answers for t in a.advice)
    sent = re.search(r"licensed applicators is for one to put down", told) is not None
    assert sent is (place not in NOBODY_HIRED)


@pytest.mark.sample(8)
@pytest.mark.parametrize("place", PLACES)
def test_every_view_has_the_line_on_the_law(place: str, tmp_path: Path) -> None:
    lawn = lawn_at(tmp_path, place, JUNE)
    law = consult(replace(lawn, on=JUNE), "grub control").law
    assert law.endswith("labels and local codes stand above this advice.")
    asked = consult(replace(lawn, on=JUNE), "grub control")
    assert answer_json(asked.advice, asked.answers[0], law)["safety"][-1] == law
    edition = compose_edition(replace(lawn, on=JUNE))
    squeezed = " ".join(show(edition, "text").split())
    assert law in squeezed
    assert json.loads(show(edition, "json"))["law"] == law
    assert any(law in text for text in of_html(show(edition, "html")))


def test_whoever_has_a_barred_one_at_hand_is_stopped(tmp_path: Path) -> None:
    lawn = lawn_at(tmp_path, "Montgomery County MD", SPRING)
    (answer,) = consult(replace(lawn, on=SPRING), "weed preventer").answers
    assert answer.decision.for_good
    assert answer.decision.verdict != "do"
    lawn = lawn_at(tmp_path, "Maryland", SPRING)
    (answer,) = consult(replace(lawn, on=SPRING), "weed preventer").answers
    assert not answer.decision.for_good
