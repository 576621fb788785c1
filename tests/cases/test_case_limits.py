"""The limits of a case: those of site.yaml, and over them what was noted and stands on the day."""

from __future__ import annotations

import ast
import datetime as dt
from pathlib import Path

import pytest

import advisor
from advisor.base.record import replace
from advisor.cases.case import Case
from advisor.cases.open_folder import open_case
from advisor.records.journal import Journal, read_journal
from advisor.records.limits import HiredOn, Limits, is_barred, spans_on
from advisor.rulebook.read_rulebook import read_rulebook

ON = dt.date(2026, 9, 3)
SATURDAY, SUNDAY = dt.date(2026, 9, 5), dt.date(2026, 9, 6)
WHOLE = ("", 0, 24 * 60)
MORNING = ("", 8 * 60, 12 * 60)
SITE = """\
format: 1
name: Invented lawn
place: {latitude: 41.2, longitude: -81.9, country: US, subdivision: OH}
stand: [{grass: dont_know}]
areas: [{name: front, size: 100 m2}]
"""
HEAD = "id,date,kind,what,value,area,note\n"


@pytest.fixture(scope="module")
def lawn(tmp_path_factory: pytest.TempPathFactory) -> Case:
    folder = tmp_path_factory.mktemp("lawn")
    (folder / "site.yaml").write_text(SITE)
    return replace(open_case(folder, read_rulebook()), on=ON)


def stands(lawn: Case, *rows: str, site: Limits | None = None, on: dt.date = ON) -> Limits:
    """The limits with a journal; a row is `kind,what,value` and is of 3 September, or is whole."""
    lines = (
        row if row[0] == "r" else f"r{number},2026-09-03,{row},," for number, row in enumerate(rows)
    )
    file = Path(lawn.name) / "journal.csv"
    file.write_text(HEAD + "".join(f"{line}\n" for line in lines), encoding="utf-8")
    journal = read_journal(file, {}, frozenset(), dt.date(2027, 1, 1))
    given = replace(lawn.site, limits=site or Limits())
    return replace(lawn, journal=journal, site=given, on=on).limits


def test_hours_of_one_day_leave_the_others_as_they_were(lawn: Case) -> None:
    found = stands(lawn, "limit,work,2026-09-05 09:00 to 11:00")
    assert found == Limits(work=(WHOLE, ("2026-09-05", 540, 660)))
    assert spans_on(found.work, SATURDAY) == ((540, 660),)
    assert spans_on(found.work, SUNDAY) is None
    bound = stands(lawn, "limit,work,2026-09-05 never", site=Limits(work=(MORNING,)))
    assert is_barred(bound, SATURDAY)
    assert spans_on(bound.work, SUNDAY) == ((480, 720),)


def test_a_later_record_of_the_same_day_stands_and_one_of_another_day_beside_it(
    lawn: Case,
) -> None:
    found = stands(
        lawn, "limit,engines,sunday never", "limit,engines,saturday never",
        "limit,engines,sunday 10:00 to 12:00",
    )  # fmt: skip
    assert found.engines == (WHOLE, ("saturday", 0, 0), ("sunday", 600, 720))


def test_helpers_and_days_away_add_up_and_the_rest_is_replaced(lawn: Case) -> None:
    site = Limits(
        helpers=(("sunday", 480, 720),), hire=50, machines=False,
        hired_on=(HiredOn(kind="core_aerator", days=((SUNDAY, SUNDAY),)),),
    )  # fmt: skip
    found = stands(
        lawn, 'limit,helpers,"saturday 08:00 to 12:00, saturday 08:00 to 12:00"',
        "limit,away,2026-09-10", "limit,away,2026-09-20 to 2026-09-22", "limit,hire,120.5",
        "limit,machines,yes", "limit,hired_on,core_aerator: 2026-09-12", site=site,
    )  # fmt: skip
    saturday = ("saturday", 480, 720)
    assert found.helpers == (("sunday", 480, 720), saturday, saturday)
    assert [(first.day, last.day) for first, last in found.away] == [(10, 10), (20, 22)]
    assert (found.hire, found.machines) == (120.5, True)
    (corer,) = found.hired_on
    assert corer.days == ((dt.date(2026, 9, 12), dt.date(2026, 9, 12)),)


def test_one_absence_that_is_told_twice_is_one(lawn: Case) -> None:
    rows = ("limit,away,2026-09-10 to 2026-09-24", "limit,away,2026-09-07 to 2026-09-13",
            "limit,away,2026-09-25", "limit,away,2026-10-01")  # fmt: skip
    assert [(str(a)[5:], str(b)[5:]) for a, b in stands(lawn, *rows).away] == [
        ("09-07", "09-25"), ("10-01", "10-01"),
    ]  # fmt: skip


def test_what_is_dated_is_over_by_itself_and_the_rest_stands(lawn: Case) -> None:
    rows = (
        "limit,work,2026-09-05 never", "limit,away,2026-09-04 to 2026-09-06",
        "limit,helpers,2026-09-05 08:00 to 12:00", "limit,hired_on,core_aerator: 2026-09-05",
    )  # fmt: skip
    assert stands(lawn, *rows, on=SATURDAY).work is not None
    assert stands(lawn, *rows, on=SUNDAY) == Limits(away=((dt.date(2026, 9, 4), SUNDAY),))
    assert stands(lawn, *rows, on=dt.date(2026, 9, 7)) == Limits()
    assert not stands(lawn, "limit,lifting,no", on=dt.date(2026, 12, 1)).lifting


def test_a_record_counts_from_its_day_until_it_is_undone(lawn: Case) -> None:
    rows = ("r1,2026-09-04,limit,lifting,no,,", "r2,2026-09-08,undo,r1,,,")
    assert stands(lawn, *rows).lifting
    assert not stands(lawn, *rows, on=SATURDAY).lifting
    assert stands(lawn, *rows, on=dt.date(2026, 9, 8)).lifting


def test_none_ends_a_limit_and_all_none_ends_what_was_noted(lawn: Case) -> None:
    site = Limits(hire=50, machines=False)
    assert stands(lawn, "limit,hire,none", site=site) == Limits(machines=False)
    rows = ("limit,hire,20", "limit,work,sunday never", "limit,all,none", "limit,lifting,no")
    assert stands(lawn, *rows, site=site) == replace(site, lifting=False)


def test_no_module_reads_the_limits_of_the_site_past_the_case() -> None:
    """`X.limits` of a grass, a hull or the like is not meant: only of what is called a site."""
    root = Path(advisor.__file__).parent
    found = []
    for path in root.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Attribute) and node.attr == "limits":
                of = node.value
                name = of.attr if isinstance(of, ast.Attribute) else getattr(of, "id", "")
                if name == "site":
                    found.append(path.relative_to(root).as_posix())
    assert found == ["cases/case.py"]


def test_an_empty_journal_changes_nothing(lawn: Case) -> None:
    site = Limits(work=(MORNING, ("2026-09-01", 0, 0)), away=((ON, ON),))
    assert replace(lawn, journal=Journal(), site=replace(lawn.site, limits=site)).limits == site
