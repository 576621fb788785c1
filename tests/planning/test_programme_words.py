"""What is said of a programme, in the order of the demo's autumn (invented records)."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest
from demo_autumn import CUT, FED, PREPARED, SOWN, lawn_of

from advisor.advice.book import Advice
from advisor.demo.scenario import DEMO_DAY
from advisor.planning.programme_words import near_standings, standing_lines
from advisor.render.digest.edition import compose_edition
from advisor.rulebook.read_rulebook import read_rulebook

SAID = [
    (DEMO_DAY, (), "step 1 of 7, low mowing, by 15 Sep. Then thatch removal, core aeration and "),
    (
        dt.date(2026, 9, 7),
        PREPARED,
        "step 4 of 7, overseeding, by 15 Sep. Then watering new seed, ",
    ),
    (dt.date(2026, 9, 8), SOWN, "step 5 of 7, watering new seed"),
    (dt.date(2026, 10, 2), CUT, "step 5 of 7, watering new seed. Then mowing and feeding"),
]


@pytest.mark.parametrize(("on", "lines", "says"), SAID, ids=["due", "prepared", "sown", "cut"])
def test_the_step_whose_turn_it_is_and_what_follows(
    tmp_path: Path, on: dt.date, lines: tuple[str, ...], says: str
) -> None:
    advice = Advice(lawn_of(tmp_path, read_rulebook(), on, *lines))
    (line,) = standing_lines(near_standings(advice), advice)
    assert line.title == "Renovation, front"
    assert line.says.startswith(says)


def test_what_no_longer_fits_is_said(tmp_path: Path) -> None:
    advice = Advice(lawn_of(tmp_path, read_rulebook(), dt.date(2026, 9, 14)))
    (line,) = standing_lines(near_standings(advice), advice)
    # Cores wait three working days for the marks, and the seed is due before.
    assert "core aeration cannot come before 17 Sep" in line.says
    assert "Brought through" not in line.says


def test_a_day_told_beside_it_is_not_said_twice(tmp_path: Path) -> None:
    advice = Advice(lawn_of(tmp_path, read_rulebook(), DEMO_DAY))
    beside = frozenset((job, "front") for job in ("low_mow", "thatch_removal"))
    (line,) = standing_lines(near_standings(advice), advice, beside)
    assert line.says.startswith("steps 1 and 2 of 7. Then core aeration and overseeding")


LEADS = [
    (DEMO_DAY, (), "Renovation this week: low mowing, thatch removal, core aeration and "),
    (dt.date(2026, 8, 26), (), "Not this week as things stand: overseeding, by 15 Sep, waits for"),
    (dt.date(2026, 9, 7), PREPARED, "This week: overseeding, by 15 Sep."),
]


@pytest.mark.parametrize(("on", "lines", "lead"), LEADS, ids=["whole", "barred", "rest"])
def test_the_first_line_is_about_the_whole(
    tmp_path: Path, on: dt.date, lines: tuple[str, ...], lead: str
) -> None:
    digest = compose_edition(lawn_of(tmp_path, read_rulebook(), on, *lines)).digest
    assert digest.lead.startswith(lead)


def test_nothing_routine_has_a_programme_of_its_own(tmp_path: Path) -> None:
    advice = Advice(lawn_of(tmp_path, read_rulebook(), dt.date(2026, 4, 11)))
    assert near_standings(advice) == ()


def test_what_is_brought_through_is_said_so(tmp_path: Path) -> None:
    lines = (*FED, *(f"r9{n},2026-10-{8 + 7 * n:02},work,mowing,,front,invented" for n in range(2)))
    advice = Advice(lawn_of(tmp_path, read_rulebook(), dt.date(2026, 10, 23), *lines))
    (line,) = standing_lines(near_standings(advice), advice)
    assert line.says == "brought through."
