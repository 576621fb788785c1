"""A case knows no folder: one made from a site's folder, one from what a reader told."""

from __future__ import annotations

import ast
import datetime as dt
import gzip
import shutil
from pathlib import Path, PurePath

import pytest

import advisor
from advisor.advice.book import Advice
from advisor.amounts.reckon import amounts_for
from advisor.base.problems import BadInput
from advisor.base.record import replace
from advisor.cases.case import NOTHING_KEPT, Case
from advisor.cases.open_folder import open_case
from advisor.cases.parts import parts_on
from advisor.demo.scenario import DEMO_DAY, write_demo
from advisor.mailing.letters.compose import Composer, Editor
from advisor.mailing.letters.letter_key import LetterKey
from advisor.mailing.letters.reader_case import case_of
from advisor.mailing.readers.reader import Measured
from advisor.mailing.readers.weather_places import Cell, CellWeather, cell_weather
from advisor.planning.keep_plan import keep_plan
from advisor.planning.workplan import compose_workplan
from advisor.records.kept import PLAN_FILE
from advisor.render.digest.edition import compose_edition, keep_edition
from advisor.render.digest.measure import to_find_out
from advisor.render.digest.week import compose_week
from advisor.render.digest.week_json import week_json
from advisor.rulebook.model import RuleBook
from advisor.rulebook.read_rulebook import read_rulebook

IOWA = Path(__file__).parents[1] / "data" / "weather" / "central_iowa.csv.gz"
TODAY = dt.date(2026, 11, 25)
DAYS = (dt.date(2018, 4, 20), dt.date(2018, 9, 1))
THATCH = Measured("thatch_depth", "0.8 in", dt.date(2018, 4, 1))


@pytest.fixture(scope="module")
def book() -> RuleBook:
    return read_rulebook(cache=False)


@pytest.fixture(scope="module")
def place(tmp_path_factory: pytest.TempPathFactory) -> tuple[Cell, CellWeather]:
    folder = tmp_path_factory.mktemp("list")
    (folder / "weather").mkdir()
    (folder / "weather" / "iowa.csv").write_bytes(gzip.decompress(IOWA.read_bytes()))
    cell = Cell("iowa.csv", "central Iowa", 42.035, -93.0, "record", "x")
    return cell, cell_weather(folder, cell, TODAY)


def key_at(cell: Cell, area_m2: float | None = None, *measured: Measured) -> LetterKey:
    return LetterKey(
        cell, cell.latitude, cell.longitude, "kentucky_bluegrass", "US", "IA", "us", measured,
        area_m2,
    )  # fmt: skip


@pytest.fixture(scope="module")
def of_another(tmp_path_factory: pytest.TempPathFactory, book: RuleBook) -> Path:
    """A folder really called `-`, with another lawn's plan and kept digests."""
    site = write_demo(tmp_path_factory.mktemp("demo"))
    earlier = open_case(site, book, DEMO_DAY - dt.timedelta(days=7))
    keep_edition(compose_edition(earlier), site)
    keep_plan(compose_workplan(Advice(earlier), DEMO_DAY, 3), site)
    beside = tmp_path_factory.mktemp("beside")
    shutil.copytree(site, beside / "-")
    assert open_case(beside / "-", book, DEMO_DAY).plan is not None
    assert open_case(beside / "-", book, DEMO_DAY).said is not None
    return beside


@pytest.mark.slow
def test_no_folder_beside_the_process_gets_into_a_letter(
    place: tuple[Cell, CellWeather], book: RuleBook, of_another: Path,
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch,
) -> None:  # fmt: skip
    cell, weather = place
    keys = [key_at(cell), key_at(cell, 300.0, THATCH), replace(key_at(cell), grass="dont_know")]
    letters = {}
    for beside in (tmp_path, of_another):
        monkeypatch.chdir(beside)
        composer = Composer(weather, book, DEMO_DAY, TODAY, Editor())
        letters[beside] = [composer.letter(key) for key in keys]
        cases = [composer.week_of(key).advice.case for key in keys]
        assert [(case.plan, case.said) for case in cases] == [(None, None)] * len(keys)
    assert letters[tmp_path] == letters[of_another]
    assert all(letter.text for letter in letters[tmp_path])


def site_of(folder: Path, cell: Cell) -> Path:
    """The site's folder of a keeper who tells what `key_at(cell, 300, THATCH)` does."""
    folder.mkdir()
    (folder / "site.yaml").write_text(
        f"format: 1\nname: Kentucky bluegrass, weather of central Iowa\nplace: {{latitude: "
        f"{cell.latitude}, longitude: {cell.longitude}, country: US, subdivision: IA}}\n"
        "units: us\nstand: [{grass: kentucky_bluegrass}]\nareas: [{name: lawn, size: 300 m2}]\n",
        encoding="utf-8",
    )
    (folder / "journal.csv").write_text(
        "id,date,kind,what,value,area,note\n"
        f"r1,{THATCH.on},observation,{THATCH.fact},{THATCH.value},,\n",
        encoding="utf-8",
    )
    (folder / "weather.csv").write_bytes(gzip.decompress(IOWA.read_bytes()))
    return folder


@pytest.mark.parametrize("day", DAYS, ids=str)
def test_the_same_facts_make_the_same_week(
    day: dt.date, place: tuple[Cell, CellWeather], book: RuleBook, tmp_path: Path
) -> None:
    """But for whose weather it is: a reader is told the place, and a keeper the file."""
    cell, weather = place
    keeper = open_case(site_of(tmp_path / "site", cell), book, day)
    reader = case_of(key_at(cell, 300.0, THATCH), weather, book, day, TODAY)
    assert (keeper.site, keeper.on, keeper.normals) == (reader.site, reader.on, reader.normals)
    weeks = [compose_week(case) for case in (keeper, reader)]
    told = [week_json(week) for week in weeks]
    assert [data.pop("weather") for data in told] == [week.weather for week in weeks]
    assert told[0] == told[1]
    assert (
        weeks[0].weather.replace("own record, weather.csv", "record of central Iowa")
        == weeks[1].weather
    )
    asked, sought = to_find_out(keeper)
    assert asked == to_find_out(reader)[0]
    wanted = [
        [(w.wanted, w.for_what, w.areas) for w in to_find_out(c)[1]] for c in (keeper, reader)
    ]
    assert sought
    assert wanted[0] == wanted[1]


def test_an_unknown_size_is_none_all_the_way(
    place: tuple[Cell, CellWeather], book: RuleBook
) -> None:
    cell, weather = place
    case = case_of(key_at(cell), weather, book, DEMO_DAY, TODAY)
    assert [area.size for area in case.site.areas] == [None]
    assert case.site.total_area is None
    (part,) = parts_on(case)
    assert part.size_m2 is None
    assert part.ground.size_m2 is None
    for id in part.decider.operations():
        assert amounts_for(case, part.decider.decide(id), part.ground) == ()
    with pytest.raises(BadInput, match="a reader's lawn: how big the lawn is is not known"):
        compose_workplan(Advice(case), DEMO_DAY, 2, only=["thatch_removal"])


def test_calendars_go_on_under_the_hash_of_a_key() -> None:
    """It has always been this; with another one every reader's calendar would begin anew."""
    cell = Cell("iowa.csv", "central Iowa", 42.035, -93.0, "record", "x")
    assert key_at(cell).line == LINE
    assert key_at(cell, 300.0).line == LINE


LINE = "1182715aaa9c11d60e08d336d70d556b76eb505abb7659f53a51faa2d8b59ccf"


def holds_a_path(value: object) -> bool:
    if isinstance(value, PurePath):
        return True
    if isinstance(value, (list, tuple, set, frozenset)):
        return any(map(holds_a_path, value))
    if isinstance(value, dict):
        return any(map(holds_a_path, value.values()))
    names = getattr(value, "__struct_fields__", None) or getattr(value, "__dict__", {})
    return any(holds_a_path(getattr(value, name)) for name in names)


def test_what_was_kept_is_handed_in_and_read_once(book: RuleBook, of_another: Path) -> None:
    """No folder stands in a case; a plan that is kept later is of a later case."""
    site = of_another / "-"
    case = open_case(site, book, DEMO_DAY)
    assert case.name == str(site)
    given = {f: getattr(case, f) for f in Case.__struct_fields__ if f not in ("book", "kept")}
    assert not [name for name, value in given.items() if holds_a_path(value)]
    before, plan = (case.said, case.plan), site / PLAN_FILE
    text = plan.read_text(encoding="utf-8")
    plan.unlink()
    try:
        assert (case.said, case.plan) == before
        assert replace(case, on=DEMO_DAY + dt.timedelta(days=1)).plan == before[1]
        assert open_case(site, book, DEMO_DAY).plan is None
    finally:
        plan.write_text(text, encoding="utf-8")
    assert (replace(case, kept=NOTHING_KEPT).plan, replace(case, kept=NOTHING_KEPT).said) == (
        None,
        None,
    )


READERS = {"read_plan", "last_kept", "read_site", "read_journal", "read_memory", "read_weather"}
"""What reads something of a lawn from a folder."""
MAY = {
    "cases/open_folder.py",
    "mailing/readers/weather_places.py",  # of a list's folder, by its cell
    "fetch/report.py",  # `advisor weather` asks what to fetch
    "weather/kept_weather.py",  # keeps what was read as plain data, for the opener
    "render/yearly/calendar_feed.py",  # the calendar's own memory, of the named folder
}


def test_no_view_goes_back_to_the_folder() -> None:
    root = Path(advisor.__file__).parent
    found = set()
    for path in root.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ImportFrom) and READERS & {a.name for a in node.names}:
                found.add(path.relative_to(root).as_posix())
    assert found == MAY
