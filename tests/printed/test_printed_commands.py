"""Every command that a view prints can be pasted, goes well, and does what the view says.

The demo lawn is looked at through every view and refusal; of the forty invented lawns
(tests/consistency) through the views of a week's work, some by themselves, all with `-m long`.
"""

from __future__ import annotations

import datetime as dt
import importlib.util
import sys
from pathlib import Path

import pytest
from effects import EFFECTS, ELSEWHERE, kind_of
from keeper import Keeper
from printed import Printed, composed, run, written_out

from advisor.demo.scenario import DEMO_DAY, write_demo


def _lawns():
    path = Path(__file__).parents[1] / "consistency" / "lawns.py"
    spec = importlib.util.spec_from_file_location("forty_lawns", path)
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module  # dataclasses look their module up
    spec.loader.exec_module(module)
    return module


LAWNS = _lawns()
SITE = "Anna's lawn"
"""A folder whose name has to be quoted."""
ZONES = """
  zones:
    - {name: east, areas: [front]}
    - {name: west, areas: [back], precipitation_rate: 0.5 in/h}
"""
ON = ("--on", f"{DEMO_DAY}")


def check(keeper: Keeper, view: tuple[str, ...], seen: dict[str, set], answers=None) -> None:
    """Run all that a view prints, each once for a keeper."""
    printed: list[Printed] = list(keeper.printed(*view, answers=answers))
    for one in printed:
        kind = kind_of(one.argv)
        done = seen.setdefault(kind, set())
        if kind in ELSEWHERE or one.argv in done:
            continue
        done.add(one.argv)
        assert kind in EFFECTS, f"'{kind}' is printed; say in effects.py what it does"
        with keeper.as_it_was():
            EFFECTS[kind](keeper, one, view)


def views(site: str, on: dt.date, saturday: dt.date) -> list[tuple[str, ...]]:
    """The views of a lawn's work."""
    day = ("--on", f"{on}")
    plan = ("workplan", site, "--from", f"{saturday}", "--days", "3", *day)
    return [
        ("week", site, *day),
        ("ask", site, "should I core", *day),
        ("ask", site, "can we do the renovation on the weekend", *day),
        plan,
        ("weekends", site, *day),
        ("tomorrow", site, *day),
        ("stop", site, *day),
        ("amounts", site, *day),
        ("year", site, *day, "--ics", "year.ics"),
    ]


@pytest.fixture(scope="module")
def demo(tmp_path_factory) -> Keeper:
    home = tmp_path_factory.mktemp("home of a keeper")
    write_demo(home)
    (home / "site").rename(home / SITE)
    return Keeper(home, SITE, DEMO_DAY)


@pytest.fixture(scope="module")
def seen(demo) -> dict[str, set]:
    """All kinds that the demo lawn's views print, each run."""
    found: dict[str, set] = {}
    saturday = DEMO_DAY + dt.timedelta(days=7)
    late = ("workplan", SITE, "--from", f"{DEMO_DAY}", *ON)
    shown = views(SITE, DEMO_DAY, saturday)
    plan = next(view for view in shown if view[0] == "workplan")
    for view in [
        *shown,
        late,
        ("week", SITE, *ON, "--format", "html"),
        ("week", SITE, *ON, "--format", "eml", "--out", "week.eml"),
        ("week", SITE, *ON, "--json"),
        ("ask", SITE, "should I core", *ON, "--json"),
        ("year", SITE, *ON, "--html", "year.html"),
        ("amounts", SITE, *ON, "--html", "amounts.html"),
        (*plan, "--html", "plan.html"),
        (*plan, "--json"),
        ("measure", SITE, *ON),
        ("measure", SITE, *ON, "--json"),
        ("spreader", "pans", "2", "6", "10", "11", "10", "6", "2"),
        ("spreader", "pans", "2", "6", "10", "11", "10", "6", "2", "--spacing", "0.3 m"),
        ("rules", "show", "core_aeration"),
    ]:
        check(demo, view, found)
    return found


@pytest.mark.slow
def test_the_demo_lawn(seen) -> None:
    assert {"note", "done", "week", "spreader trial", "rules examples"} <= set(seen)
    assert {argv[2] for argv in seen["note"]} == {
        "lines marked", "own lines flagged", "own lines: none"
    }  # fmt: skip
    assert {argv[1] for argv in (*seen["note"], *seen["done"], *seen["week"])} == {SITE}


@pytest.mark.slow
@pytest.mark.parametrize(
    ("view", "kinds"),
    [
        (("done", SITE, "want overseeding", *ON), {"note"}),
        (("done", SITE, "hope to core next week", *ON), {"note"}),
        (("done", SITE, "we should core", *ON), {"note"}),
        (("done", SITE, "tried to dethatch", *ON), {"note"}),
        (("done", SITE, "thatch 0.8 in", *ON), {"note"}),
        (("done", SITE, "no lifting, my back is out", *ON), {"note"}),
        (("done", SITE, *ON, "--", "- thatch is 0.8 in"), {"note"}),
        (("done", SITE, "should I dethatch?", *ON), {"ask"}),
        (("done", SITE, "weeds sprayed?", *ON), {"ask"}),
        (("note", SITE, "should I lime?", *ON), {"ask"}),
        (("note", SITE, 'cored the lawn $HOME "quoted" \'n all', *ON), {"done"}),
        (("note", SITE, "cored yesterday", *ON), {"done"}),
        (("done", SITE, "overseeded the front, 2 passes", *ON), {"done"}),
        (("note", SITE, "prodiamine preventer put down", *ON), set()),
        (("done", SITE, "mowed", *ON, "--yes"), {"undo"}),
        (("note", SITE, "thatch 0.8 in", *ON, "--yes"), {"undo"}),
        (("note", SITE, "away from 10 to 24 september", *ON), {"undo"}),
    ],
)
def test_what_records_print(demo, view, kinds) -> None:
    found: dict[str, set] = {}
    check(demo, view, found)
    assert kinds <= set(found)


@pytest.fixture
def little(tmp_path) -> Keeper:
    """A site with zones, one of them not measured."""
    home = tmp_path
    write_demo(home)
    text = (home / "site" / "site.yaml").read_text(encoding="utf-8")
    zoned = text.replace("water: {irrigated: true, can_water_seed: true}",
                         f"water:\n  irrigated: true{ZONES}")  # fmt: skip
    assert zoned != text
    (home / "site" / "site.yaml").write_text(zoned, encoding="utf-8")
    return Keeper(home, "site", dt.date(2026, 3, 5))


def test_what_a_timetable_of_water_prints(little, demo) -> None:
    found: dict[str, set] = {}
    check(little, ("waterplan", "site", "--on", "2026-01-05"), found)
    assert set(found) == {"waterplan cans"}
    # Where a verdict on grown turf keeps a zone out, this question is printed.
    assert little.does("ask", "site", "should I water").startswith("Watering")
    found = {}
    check(demo, ("waterplan", SITE, *ON), found)
    assert set(found) == {"waterplan cans"}


@pytest.mark.slow
def test_what_a_new_site_prints(tmp_path) -> None:
    (tmp_path / "-mine").mkdir()
    keeper = Keeper(tmp_path, "./-mine", DEMO_DAY)
    found: dict[str, set] = {}
    # Its own folder, without a site: refused with the command that writes one.
    ran = keeper.types("week", "--", "-mine")
    assert ran.status == 2
    check(keeper, ("week", "--", "-mine"), found)
    assert set(found) == {"new"}
    asked = "41.2, -81.9\ndon't know\n3000 ft2\n"
    said = keeper.does("new", "--", "-mine", answers=asked)
    from printed import commands_in

    kinds = {}
    for one in commands_in(said):
        kinds[kind_of(one.argv)] = one
    assert set(kinds) == {"weather", "week", "identify"}
    assert keeper.does(*kinds["week"].argv).startswith("MY LAWN")
    EFFECTS["identify"](keeper, kinds["identify"], ("new",))
    found = {}
    check(keeper, ("week", "--", "-mine"), found)
    assert set(found) == {"identify"}


@pytest.mark.slow
def test_a_name_that_cannot_be_typed_is_not_printed(tmp_path) -> None:
    write_demo(tmp_path)
    (tmp_path / "site").rename(tmp_path / "a\nb")
    keeper = Keeper(tmp_path, "a\nb", DEMO_DAY)
    for view in views("a\nb", DEMO_DAY, DEMO_DAY):
        assert not list(keeper.printed(*view)), view


def _each(lawn, on: dt.date, home: Path) -> None:
    (home / "the lawn").mkdir()
    LAWNS.write(lawn, home / "the lawn")
    keeper = Keeper(home, "the lawn", on)
    saturday = on + dt.timedelta(days=(5 - on.weekday()) % 7)
    found: dict[str, set] = {}
    for view in views("the lawn", on, saturday):
        check(keeper, view, found)
    assert found


@pytest.mark.slow
@pytest.mark.sample(2)
@pytest.mark.parametrize("lawn", LAWNS.FORTY, ids=[lawn.name for lawn in LAWNS.FORTY])
def test_the_lawns_on_a_day(lawn, tmp_path) -> None:
    _each(lawn, lawn.drawn, tmp_path)


@pytest.mark.long
@pytest.mark.parametrize("month", [3, 6, 9, 11])
@pytest.mark.parametrize("lawn", LAWNS.FORTY[::2], ids=[x.name for x in LAWNS.FORTY[::2]])
def test_the_lawns_through_the_year(lawn, month, tmp_path) -> None:
    _each(lawn, dt.date(lawn.climate.year, month, 20), tmp_path)


def test_each_command_that_is_composed_has_its_effect() -> None:
    kinds = {words for words in composed() if words}
    named = {kind_of(words) for words in kinds}
    assert named, "none found"
    assert named <= {*EFFECTS, *ELSEWHERE}


def test_no_command_is_written_out_that_wants_more_words() -> None:
    """What stands in code or a template as it is cannot name the keeper's folder."""
    complete = ("advisor identify",)
    labels = ("advisor failed,", "advisor weather: ", "advisor mail serve", "advisor mail demo")
    for file, text in written_out():
        rest = text
        for fine in (*complete, *labels):
            rest = rest.replace(fine, "")
        assert "advisor " not in rest, f"{file}: {text}"


def test_run_tells_a_refusal() -> None:
    assert run("wek").status == 2
