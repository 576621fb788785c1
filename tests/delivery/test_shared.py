"""What is shared between readers changes no word: held to `advisor week`'s way, each by itself."""

from __future__ import annotations

import datetime as dt
import os
import random
from dataclasses import replace

from advisor.answers.lawn import parts_on
from advisor.delivery.beside import beside_of
from advisor.delivery.case import Case, lawn_of
from advisor.delivery.compose import Composer, Editor, reader_digest, told, worth_a_mail
from advisor.delivery.letter import NO_MAIL, Letter
from advisor.delivery.pattern import Pattern
from advisor.delivery.reader import Measured
from advisor.delivery.subject import subject_of
from advisor.delivery.weather_places import CellWeather, cell_weather, read_places
from advisor.digest.fit import HEAD_WORDS, fitted
from advisor.digest.render import digest_text, head_words, mail_html
from advisor.digest.week import compose_week
from advisor.site.words import UNKNOWN_GRASS
from advisor.verdicts.kept import KeptRules

from .conftest import TODAY, write_list

EDITOR = Editor(note="A dry spring.", correction="Not 3 in but 2.")
DRAWN = int(os.environ.get("SHARED_CASES", "12"))
"""More of them outside the suite: 400 were compared when this was written."""


def plainly(case: Case, weather: CellWeather, book, on: dt.date) -> Letter:
    """The letter of a case composed by itself: nothing kept, rendered in full."""

    def parts_of(lawn, on, *, unknown_as=None):
        found = parts_on(lawn, on, unknown_as=unknown_as)
        return found if case.area_m2 else tuple(replace(part, size_m2=0.0) for part in found)

    lawn = lawn_of(case, weather, book, TODAY)
    digest = reader_digest(compose_week(lawn, on, parts_of), lawn)
    digest = replace(digest, editor=EDITOR.lines)
    known = parts_of(lawn, on) if case.grass != UNKNOWN_GRASS else ()
    beside = beside_of(case, lawn, known, on)
    beside = beside if case.told_nothing else beside.not_shown
    if case.weeks == "needed" and not (worth_a_mail(digest) or EDITOR.correction):
        return replace(NO_MAIL, beside=beside)
    page = mail_html(digest) if case.form == "both" else ""
    return Letter(subject_of(digest), digest_text(digest), page, beside)


def drawn_value(chance: random.Random, definition) -> str:
    """A value that a reader could have written; numbers lie anywhere, limits among them."""
    if definition.kind == "choice":
        return chance.choice(definition.choices).replace("_", " ")
    if definition.kind == "flag":
        return chance.choice(("yes", "no"))
    low, high = definition.lowest or 0.0, definition.highest or 100.0
    number = low + (high - low) * chance.random() ** 3
    unit = {"share": "%"}.get(definition.unit, definition.unit)
    return f"{number * (100 if unit == '%' else 1):.3f} {unit}".strip()


def drawn_case(chance: random.Random, cell, book, on: dt.date) -> Case:
    facts = [d for d in book.vocabulary.definitions.values()
             if d.of_keeper and d.varies == "record" and d.kind in ("number", "flag", "choice")
             and d.name in book.vocabulary and d.stale_after]  # fmt: skip
    measured = tuple(
        Measured(fact.name, drawn_value(chance, fact), on - dt.timedelta(days=chance.randint(0, 9)))
        for fact in chance.sample(facts, chance.choice((0, 0, 1, 2, 6)))
    )
    # Growing turf is mown, which takes an amount of time.
    if chance.random() < 0.5 and "turf_state" not in {m.fact for m in measured}:
        measured += (Measured("turf_state", "growing", on - dt.timedelta(days=2)),)
    country, subdivision = chance.choice((("US", "IA"), ("US", "NJ"), ("GB", "ENG"), ("", "")))
    return Case(
        cell, cell.latitude, cell.longitude, chance.choice((*book.grasses, "dont_know")), country,
        subdivision, chance.choice(("us", "metric")), measured,
        chance.choice((0.0, chance.uniform(20, 3000))), chance.choice(("both", "both", "text")),
        chance.choice(("all", "all", "needed")),
    )  # fmt: skip


def test_shared_letters_equal_those_made_one_by_one(tmp_path, book):
    """Any measurements, grasses, places, laws and weeks; judgements kept from cell to cell."""
    chance, folder = random.Random(20_261_125), write_list(tmp_path)
    rules, compared = KeptRules(book), 0
    cells = read_places(folder)
    weathers = [cell_weather(folder, cell, TODAY) for cell in cells]
    while compared < DRAWN:
        cell, weather = chance.choice(list(zip(cells, weathers, strict=True)))
        on = dt.date(2018, chance.randint(1, 12), chance.randint(1, 28))
        shared = Composer(weather, book, on, TODAY, EDITOR, rules)
        for _ in range(3):
            case = drawn_case(chance, cell, book, on)
            if case.grass == "dont_know":
                # Eleven grasses are tried for such a reader, which takes its time.
                case = replace(case, area_m2=0.0, grass=chance.choice((case.grass, "tall_fescue")))
            same = replace(case, area_m2=chance.uniform(20, 3000)) if case.area_m2 else case
            for one in dict.fromkeys((case, same)):
                assert shared.letter(one) == plainly(one, weather, book, on), one
                compared += 1


def test_amounts_are_filled_in_as_they_would_be_rendered(tmp_path, book):
    """Also where their length decides what else the head has room for."""
    folder = write_list(tmp_path)
    cell, on = read_places(folder)[0], dt.date(2018, 9, 10)
    growing = Measured("turf_state", "growing", dt.date(2018, 9, 9))
    case = Case(cell, 42.0, -93.0, "kentucky_bluegrass", "US", "IA", "us", (growing,), 300.0)
    weather = cell_weather(folder, cell, TODAY)
    lawn = lawn_of(case, weather, book, TODAY)
    digest = told(compose_week(lawn, on), lawn)
    (mowing,) = digest.tasks
    assert mowing.effort
    mowing = replace(mowing, cautions=("Closed shoes.",))
    digest = replace(digest, tasks=(mowing, replace(mowing, title="Raking")), in_season_mind=())

    def whole(fitting):
        return Letter(fitting.lead, digest_text(fitting), mail_html(fitting))

    pattern, seen = Pattern(digest, whole), set()
    bare = replace(digest, tasks=tuple(replace(task, effort="") for task in digest.tasks))
    room = (HEAD_WORDS - head_words(bare)) // 2
    for words in (0, 1, *range(room - 4, room + 60, 7), 99, 400):
        efforts = [f"<b>&\"' {'word ' * words}" if words else "" for _ in digest.tasks]
        one = replace(digest, tasks=tuple(
            replace(task, effort=effort) for task, effort in zip(digest.tasks, efforts, strict=True)
        ))  # fmt: skip
        expected = fitted(one, head_words)
        seen.add((expected.leave, expected.coming, expected.in_season, len(expected.tasks)))
        assert pattern.letter(efforts) == whole(expected)
    assert len(seen) > 3

    # A template that shows an effort otherwise is rendered in full.
    def twice(fitting):
        efforts = " ".join(task.effort for task in fitting.tasks)
        return Letter(efforts, digest_text(fitting) * 2, mail_html(fitting))

    some = ["A short word."] * len(digest.tasks)
    assert Pattern(digest, twice).letter(some) == twice(fitted(replace(digest, tasks=tuple(
        replace(task, effort="A short word.") for task in digest.tasks
    )), head_words))  # fmt: skip
