"""A reader's letter says of a lawn what the views of a site folder with the same facts say.

Verdicts, dates and amounts, as text and as a page, of one lawn in each climate on its drawn day and
on a day at the start of its autumn; and the amounts as plain arithmetic has them.
"""

from __future__ import annotations

import datetime as dt
import re
from collections import defaultdict
from html import unescape
from pathlib import Path

import pytest
from claims import contradictions
from lawns import CLIMATES, FORTY, Lawn, write
from letters import PART, both, letter_of, site_of, told_of
from reader import Claim
from reckoning import Reckoning
from test_reckoning import wrong
from views import said

from advisor.mailing.letters.letter import Letter
from advisor.rulebook.model import RuleBook
from advisor.rulebook.read_rulebook import read_rulebook

ONE_EACH = FORTY[: len(CLIMATES)]


@pytest.fixture(scope="module")
def book() -> RuleBook:
    return read_rulebook()


def check(lawn: Lawn, on: dt.date, folder: Path, book: RuleBook) -> None:
    letter, views = both(lawn, on, folder, book)
    told: dict[tuple[str, str, str], set[object]] = defaultdict(set)
    for claim in letter:
        told[about(claim)].add(claim.value)
    assert all(len(values) == 1 for values in told.values()), told
    assert not list(contradictions([*letter, *views], (PART,)))
    # Something is compared: the letter is not empty, and the views speak of the same.
    assert told.keys() & {about(claim) for claim in views}
    site = folder / "weather"
    files = ((site / name).read_text(encoding="utf-8") for name in ("site.yaml", "journal.csv"))
    assert not list(wrong(letter, Reckoning.read(*files, on)))


def about(claim: Claim) -> tuple[str, str, str]:
    return claim.job, claim.part or PART, claim.field


@pytest.mark.sample(4)
@pytest.mark.parametrize("lawn", ONE_EACH, ids=lambda lawn: lawn.name.split()[1])
def test_a_letter_says_what_the_site_says(lawn: Lawn, tmp_path: Path, book: RuleBook) -> None:
    check(lawn, lawn.drawn, tmp_path, book)


@pytest.mark.sample(3)
@pytest.mark.parametrize("lawn", FORTY, ids=lambda lawn: lawn.name.split()[1])
def test_and_when_autumn_work_is_due(lawn: Lawn, tmp_path: Path, book: RuleBook) -> None:
    check(lawn, first_of_autumn(lawn), tmp_path, book)


def first_of_autumn(lawn: Lawn) -> dt.date:
    return dt.date(lawn.climate.year, 3 if "country: NZ" in lawn.site else 9, 5)


@pytest.mark.sample(2)
@pytest.mark.parametrize("lawn", ONE_EACH, ids=lambda lawn: lawn.name.split()[1])
def test_what_changed_since_the_last_letter(lawn: Lawn, tmp_path: Path, book: RuleBook) -> None:
    """Letter after letter, it is what the keeper is told who keeps the digests of these days."""
    weather, day = write(lawn, tmp_path / "weather"), first_of_autumn(lawn)
    facts, letter, told = told_of(lawn, day), Letter("", "", ""), list[list[str]]()
    site = site_of(facts, tmp_path / "weather")
    for on in (day, *(day + dt.timedelta(days) for days in (14, 28, 42))):
        letter = letter_of(facts, weather, book, on, letter.said)
        page = said("week", str(site), "--on", on.isoformat(), "--format", "html")
        week = said("week", str(site), "--on", on.isoformat(), "--keep")
        told.append(since_the_last(letter.text))
        assert told[-1] == since_the_last(week) == on_page(letter.html) == on_page(page)
    assert not told[0], "a first letter is told of no change"
    assert any(told), "nothing was compared"


def since_the_last(text: str) -> list[str]:
    """The points of a digest on what has changed, each with why, which may stand further below."""
    for heading in ("WHY IT CHANGED", "SINCE THE LAST DIGEST"):
        _, found, section = text.partition(f"\n{heading}\n")
        if found:
            points = " ".join(section.partition("\n\n")[0].split())
            return points.removeprefix("- ").split(" - ")
    return []


def on_page(page: str) -> list[str]:
    for heading in ("Why it changed", "Since the last digest"):
        if section := re.search(rf">{heading}</h2>(.*?)</section>", page, re.DOTALL):
            points = re.findall(r"<li[^>]*>(.*?)</li>", section[1], re.DOTALL)
            return [unescape(re.sub(r"<[^>]*>", "", point)) for point in points]
    return []


@pytest.mark.parametrize("otherwise", [{"size": "5100 ft2"}, {"grass": "tall_fescue"}])
def test_a_letter_from_other_facts_is_found_out(
    otherwise: dict[str, str], tmp_path: Path, book: RuleBook
) -> None:
    letter, views = both(FORTY[0], FORTY[0].drawn, tmp_path, book, **otherwise)
    assert list(contradictions([*letter, *views], (PART,)))
