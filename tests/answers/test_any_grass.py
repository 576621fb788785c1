"""Where the grass is not known no amount of one grass is told for all."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

from advisor.amounts.reckon import amounts_for
from advisor.answers.answer import GRASS_DECIDES, of_any_grass, sized
from advisor.answers.consult import consult
from advisor.base.record import replace
from advisor.cases.open_folder import open_case
from advisor.cases.parts import Ground
from advisor.rulebook.read_rulebook import read_rulebook

SITE = """\
format: 1
name: Test
place: {latitude: 40.0, longitude: -83.0, country: US}
stand: [{grass: dont_know}]
areas: [{name: lawn, size: 3000 ft2}]
"""


def test_amounts_that_differ_by_grass_are_left_out_with_the_reason(tmp_path: Path) -> None:
    """Seed for a new lawn: 2-3 lb of bluegrass, 7-10 lb of tall fescue for 1,000 ft² and the like
    (rules/grasses); the minutes of work are the same."""
    (tmp_path / "site.yaml").write_text(SITE, encoding="utf-8")
    lawn = open_case(tmp_path, read_rulebook())
    on = dt.date(2026, 9, 5)
    answers = [
        consult(replace(lawn, on=on), "should I overseed", grass=grass).answers[0]
        for grass in ("kentucky_bluegrass", "tall_fescue")
    ]
    names = [{amount.name for amount in answer.amounts} for answer in answers]
    told = of_any_grass(answers, answers[0])
    kept = {amount.name for amount in told.amounts}
    assert kept < names[0]
    assert "seed" in names[0] - kept
    assert told.advice[0] == GRASS_DECIDES
    larger = sized(told, amounts_for(lawn, told.decision, Ground((), 500.0)))
    assert {amount.name for amount in larger.amounts} == kept
    same = of_any_grass([answers[0], answers[0]], answers[0])
    assert same is answers[0]
