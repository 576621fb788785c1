"""What is shared between readers changes no word: held to `advisor week`'s way, each by itself."""

from __future__ import annotations

import datetime as dt
import os
import random

import pytest

from advisor.base.problems import BadInput
from advisor.base.record import replace
from advisor.decide.verdicts.decision_cache import KeptRules
from advisor.mailing.letters.attachments import beside_of
from advisor.mailing.letters.compose import Composer, Editor, shortened, told, worth_a_mail
from advisor.mailing.letters.letter import NO_MAIL, Letter
from advisor.mailing.letters.letter_key import LetterKey
from advisor.mailing.letters.reader_case import case_of
from advisor.mailing.letters.said import earlier_in, said_of
from advisor.mailing.letters.size_template import Pattern
from advisor.mailing.mails.subject import subject_of
from advisor.mailing.readers.reader import Measured
from advisor.mailing.readers.weather_places import CellWeather, cell_weather, read_places
from advisor.records.words import UNKNOWN_GRASS
from advisor.render.digest.edition import changes
from advisor.render.digest.render import digest_text, head_words, mail_html
from advisor.render.digest.view import HEAD_WORDS, fitted
from advisor.render.digest.week import compose_week
from advisor.rulebook.conditions import leaves

from .conftest import TODAY, write_list

EDITORS = (Editor(note="A dry spring."), Editor(correction="Not 3 in but 2."))
DRAWN = int(os.environ.get("SHARED_CASES", "20"))
"""How many letters are compared; more of them outside the suite."""
LAWS = (("US", "IA"), ("US", "NJ"), ("US", "MD"), ("US", "FL"), ("GB", "ENG"), ("", ""))
CHANGES = ("grass", "value", "place", "units", "area_m2", "more", "day", "weeks", "form")


def plainly(key: LetterKey, weather: CellWeather, book, on: dt.date, editor: Editor) -> Letter:
    """The letter of a case composed by itself: nothing kept, rendered in full."""
    case = case_of(key, weather, book, on, TODAY)
    week = compose_week(case)
    changed = changes(earlier_in(key.said), week.answers, week.soil)
    digest = shortened(fitted(told(week, changed), head_words))
    digest = replace(digest, editor=editor.lines)
    beside = beside_of(key, week.advice, known=key.grass != UNKNOWN_GRASS)
    beside = beside if key.told_nothing else beside.not_shown
    if key.weeks == "needed" and not (worth_a_mail(digest) or editor.correction):
        return replace(NO_MAIL, beside=beside)
    page = mail_html(digest) if key.form == "both" else ""
    return Letter(subject_of(digest), digest_text(digest), page, beside, said_of(week.answers))


class Draw:
    """Keys by chance, and such as differ from one of them in one respect."""

    def __init__(self, seed: int, book) -> None:
        self.chance = random.Random(seed)
        self.grasses = tuple(book.grasses)
        self.facts = [d for d in book.vocabulary.definitions.values()
                      if d.of_keeper and d.varies == "record" and d.stale_after
                      and d.kind in ("number", "flag", "choice")]  # fmt: skip
        trees = (tree for operation in book.operations.values()
                 for tree in operation.trees().values())  # fmt: skip
        self.limits: dict[str, list[float]] = {}
        for leaf in (leaf for tree in trees for leaf in leaves(tree)):
            if isinstance(leaf.limit, float):
                self.limits.setdefault(leaf.fact, []).append(leaf.limit)

    def key(self, cell, on: dt.date) -> LetterKey:
        grass = self.chance.choice(self.grasses)
        country, subdivision = self.chance.choice(LAWS)
        measured = tuple(
            self.measured(fact, on) for fact in self.chance.sample(self.facts, self.fewer(6))
        )
        # Growing turf is mown, which takes an amount of time.
        if self.fewer(1) and "turf_state" not in {m.fact for m in measured}:
            measured += (Measured("turf_state", "growing", on - dt.timedelta(days=2)),)
        return LetterKey(cell, cell.latitude, cell.longitude, grass, country, subdivision,
                    self.chance.choice(("us", "metric")), measured, self.size())  # fmt: skip

    def changed(self, key: LetterKey, what: str, on: dt.date) -> LetterKey:
        chance, known = self.chance, key.measured
        others = [fact for fact in self.facts if fact.name not in {m.fact for m in known}]
        if what == "grass":
            # Eleven grasses are tried for one who does not know it, which takes its time.
            return replace(key, grass=chance.choice(self.grasses))
        if what == "place":
            country, subdivision = chance.choice(LAWS)
            return replace(key, country=country, subdivision=subdivision)
        if what == "more" or (what in ("value", "day") and not known):
            return replace(key, measured=(*known, self.measured(chance.choice(others), on)))
        if what in ("value", "day"):
            at = chance.randrange(len(known))
            fact = next(fact for fact in self.facts if fact.name == known[at].fact)
            new = self.measured(fact, on) if what == "value" else replace(
                known[at], on=known[at].on - dt.timedelta(days=1)
            )  # fmt: skip
            return replace(key, measured=(*known[:at], new, *known[at + 1 :]))
        if what == "units":
            return replace(key, units="us" if key.units == "metric" else "metric")
        if what == "area_m2":
            return replace(key, area_m2=self.size())
        return replace(key, **{"weeks": {"weeks": "needed"}, "form": {"form": "text"}}[what])

    def fewer(self, most: int) -> int:
        return self.chance.randint(0, self.chance.randint(0, most))

    def size(self) -> float | None:
        return self.chance.choice((None, self.chance.uniform(20, 3000)))

    def measured(self, fact, on: dt.date) -> Measured:
        """What a reader could have written; of numbers often a limit, or what lies beside it."""
        day = on - dt.timedelta(days=self.chance.randint(0, 9))
        if fact.kind == "choice":
            return Measured(fact.name, self.chance.choice(fact.choices).replace("_", " "), day)
        if fact.kind == "flag":
            return Measured(fact.name, self.chance.choice(("yes", "no")), day)
        low, high = fact.lowest or 0.0, fact.highest or 100.0
        limits = [limit for limit in self.limits.get(fact.name, ()) if low < limit < high]
        number = low + (high - low) * self.chance.random() ** 3
        if limits and self.chance.random() < 0.7:
            number = self.chance.choice(limits) * self.chance.choice((0.97, 1.0, 1.03))
            number = min(max(number, low), high)
        unit = {"share": "%"}.get(fact.unit, fact.unit)
        return Measured(
            fact.name, f"{number * (100 if unit == '%' else 1):.4g} {unit}".strip(), day
        )


@pytest.mark.slow
def test_shared_letters_equal_those_made_one_by_one(tmp_path, book):
    """Any measurements, grasses, laws and weeks; judgements kept from cell to cell.

    What is kept by too little shows in readers who differ in one respect alone.
    """
    draw, folder = Draw(20_261_125, book), write_list(tmp_path)
    rules, compared = KeptRules(book), 0
    cells = read_places(folder)
    weathers = [cell_weather(folder, cell, TODAY) for cell in cells]
    while compared < DRAWN:
        cell, weather = draw.chance.choice(list(zip(cells, weathers, strict=True)))
        on = dt.date(2018, draw.chance.randint(1, 12), draw.chance.randint(1, 28))
        editor = draw.chance.choice(EDITORS)
        shared = Composer(weather, book, on, TODAY, editor, rules)
        first = draw.key(cell, on)
        if not compared:
            # One who told nothing is drawn seldom, and alone is shown to others.
            first = replace(first, measured=(), area_m2=None)
        before = on - dt.timedelta(days=draw.chance.choice((7, 14, 28)))
        said = Composer(weather, book, before, TODAY, editor, rules).letter(first).said
        others = (draw.changed(first, what, on) for what in CHANGES)
        for one in (first, replace(first, said=said), *others):
            assert shared.letter(one) == plainly(one, weather, book, on, editor), one
            compared += 1


def test_a_case_that_fails_leaves_nothing_to_the_next(tmp_path, book):
    """Each reader with the same fault is told of it; none gets the digest of another."""
    folder = write_list(tmp_path)
    cell, on = read_places(folder)[0], dt.date(2018, 9, 10)
    shared = Composer(cell_weather(folder, cell, TODAY), book, on, TODAY, EDITORS[0])
    good = LetterKey(cell, 42.0, -93.0, "tall_fescue", "US", "IA", "us", (), 100.0)
    faulty = replace(good, measured=(Measured("thatch_depth", "a thumb", on),))
    whole = shared.letter(good)
    for area in (100.0, 200.0):
        with pytest.raises(BadInput, match="thumb"):
            shared.letter(replace(faulty, area_m2=area))
    assert shared.letter(good) == whole


@pytest.mark.slow
def test_a_grass_that_is_not_known_shares_too(tmp_path, book):
    """All grasses are tried for such a reader."""
    folder = write_list(tmp_path)
    cell, on = read_places(folder)[0], dt.date(2018, 9, 10)
    weather = cell_weather(folder, cell, TODAY)
    shared = Composer(weather, book, on, TODAY, EDITORS[0])
    known = LetterKey(cell, 42.0, -93.0, "tall_fescue", "US", "IA", "us", (), None)
    for key in (known, replace(known, grass=UNKNOWN_GRASS)):
        assert shared.letter(key) == plainly(key, weather, book, on, EDITORS[0])


def test_amounts_are_filled_in_as_they_would_be_rendered(tmp_path, book):
    """Also where their length decides what else the head has room for."""
    folder = write_list(tmp_path)
    cell, on = read_places(folder)[0], dt.date(2018, 9, 10)
    growing = Measured("turf_state", "growing", dt.date(2018, 9, 9))
    key = LetterKey(cell, 42.0, -93.0, "kentucky_bluegrass", "US", "IA", "us", (growing,), 300.0)
    weather = cell_weather(folder, cell, TODAY)
    case = case_of(key, weather, book, on, TODAY)
    digest = told(compose_week(case))
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
