"""A reader's letter says of a lawn what the views of a site folder with the same facts say.

Verdicts, dates and amounts, as text and as a page, of one lawn in each climate on its drawn day and
on a day at the start of its autumn; and the amounts as plain arithmetic has them.
"""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from pathlib import Path

import pytest
from claims import contradictions
from lawns import CLIMATES, FORTY, Lawn
from letters import PART, both
from reader import Claim
from reckoning import Reckoning
from test_reckoning import wrong

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


@pytest.mark.parametrize("lawn", ONE_EACH, ids=lambda lawn: lawn.name.split()[1])
def test_a_letter_says_what_the_site_says(lawn: Lawn, tmp_path: Path, book: RuleBook) -> None:
    check(lawn, lawn.drawn, tmp_path, book)


@pytest.mark.sample(3)
@pytest.mark.parametrize("lawn", FORTY, ids=lambda lawn: lawn.name.split()[1])
def test_and_when_autumn_work_is_due(lawn: Lawn, tmp_path: Path, book: RuleBook) -> None:
    month = 3 if "country: NZ" in lawn.site else 9
    check(lawn, dt.date(lawn.climate.year, month, 5), tmp_path, book)


@pytest.mark.parametrize("otherwise", [{"size": "5100 ft2"}, {"grass": "tall_fescue"}])
def test_a_letter_from_other_facts_is_found_out(
    otherwise: dict[str, str], tmp_path: Path, book: RuleBook
) -> None:
    letter, views = both(FORTY[0], FORTY[0].drawn, tmp_path, book, **otherwise)
    assert list(contradictions([*letter, *views], (PART,)))
