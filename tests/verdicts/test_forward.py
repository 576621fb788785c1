"""When what stands in the way goes away, where a reading is missing."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from advisor.cases.open_folder import open_case
from advisor.cases.parts import parts_on
from advisor.decide.verdicts.forward import Clears, clears
from advisor.rulebook.read_rulebook import read_rulebook

ON = dt.date(2026, 1, 20)
MEANS = (-8, -6, 0, 8, 14, 20, 22, 21, 16, 10, 3, -5)


@pytest.fixture
def frozen(tmp_path: Path):
    """The wait for open ground of feeding in a January of -8 °C, with records or without."""

    def wait(*records: str) -> Clears:
        (tmp_path / "site.yaml").write_text(
            "format: 1\nname: Test\nplace: {latitude: 45.0, longitude: -93.0}\n"
            "stand: [{grass: kentucky_bluegrass}]\nareas: [{name: lawn, size: 300 m2}]\n"
        )
        rows = ("id,date,kind,what,value,area,note", *records, "")
        (tmp_path / "journal.csv").write_text("\n".join(rows))
        months = (f"{m},{mean + 5},{mean - 5},50" for m, mean in enumerate(MEANS, 1))
        head = "month,max temp (C),min temp (C),rain (mm)"
        (tmp_path / "normals.csv").write_text("\n".join((head, *months, "")))
        book = read_rulebook()
        (part,) = parts_on(open_case(tmp_path, book, ON))
        day = part.decider.day
        assert day.facts["frozen_ground"].value is True
        return clears(
            book.operations["feeding"].for_grass(book.grasses["kentucky_bluegrass"]).ready,
            day,
            book.vocabulary,
        )

    return wait


def test_a_missing_reading_is_no_wait_without_an_end(frozen) -> None:
    """Nobody has looked at the turf: no year can tell, which is not "in only 0 years of 10"."""
    assert frozen().chance is None


def test_what_all_years_can_tell_is_told(frozen) -> None:
    """The ground thaws in March, within two months of 20 January or not at all."""
    found = frozen("r1,2026-01-19,observation,turf_state,growing,,")
    assert found.chance in (0.0, 1.0)
