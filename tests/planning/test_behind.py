"""The rest of a day that runs late, on the demo's settled weekend, at every quarter of an hour.

That the rest keeps every rule of a plan is seen by `check_plan`, which knows nothing of the search;
what has to hold besides is looked at here.
"""

from __future__ import annotations

import datetime as dt
import json
import re
import shutil
from itertools import pairwise
from pathlib import Path

import pytest
from settled_days import SATURDAY, SUNDAY, day_of, minute, run, settled
from typer.testing import CliRunner

from advisor.base.problems import BadInput
from advisor.cli.main import app
from advisor.planning.behind import compose_behind
from advisor.planning.check_plan import plan_faults
from advisor.planning.day_progress import progress_of
from advisor.planning.day_schedule import schedule_day
from advisor.planning.doors import Door
from advisor.planning.make_plan import make_plan
from advisor.planning.stop import where_to_stop
from advisor.planning.timetable import Crew, Task, WorkDay, wall_minutes
from advisor.rulebook.read_rulebook import read_rulebook
from advisor.weather.kept_weather import forecast_path

WORK = read_rulebook().work


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return settled(tmp_path_factory.mktemp("demo"))


def limited(site: Path, folder: Path, limits: str) -> Path:
    """The same lawn with limits that were written after the plan was kept."""
    found = Path(shutil.copytree(site, folder / "site"))
    with (found / "site.yaml").open("a", encoding="utf-8") as file:
        file.write(f"limits: {limits}\n")
    return found


def behind(site: Path, on: dt.date, delay: str, *more: str) -> dict:
    words = ("behind", str(site), delay, "--on", on.isoformat(), *more)
    return json.loads(run(*words, "--json")) | {"said": " ".join(run(*words).split())}


@pytest.mark.parametrize("on", [SATURDAY, SUNDAY], ids=str)
@pytest.mark.parametrize("delay", [0, 60, 120, 240, 480, 600])
def test_nothing_is_lost_and_nothing_owed_is_left(site: Path, on: dt.date, delay: int) -> None:
    day = day_of(site, on)
    for come in range(7 * 60 + 10, 14 * 60, 15):
        now = come + delay
        progress = progress_of(day, come)
        found = compose_behind(day, progress, now)
        stop = where_to_stop(day.pieces, WORK, progress)
        fits = {piece.id for piece in found.pieces if piece.task}
        assert {p.piece.id for p in stop.owed if p.piece.task} <= fits
        # Each task that is left has its hour, or its job moves.
        moved = {(move.item.operation.id, move.item.part.name) for move in found.moves}
        for piece in day.pieces:
            if piece.task is None:
                continue
            left = progress.done[piece.id] < 1
            lost = left and piece.id not in fits
            assert not lost or (piece.task.operation, piece.task.area) in moved
            assert left or piece.id not in fits
        for piece in found.pieces:
            assert piece.start >= now
            if piece.task is not None:
                share = 1 - progress.done[piece.id]
                whole = next(p.task for p in day.pieces if p.id == piece.id)
                assert whole is not None
                assert piece.task.minutes == pytest.approx(whole.minutes * share)
                assert piece.end - piece.start == wall_minutes(piece.task, 1, day.day.rest)
        # The way back is planned for each machine that is here, and no way there.
        ways = [p.errand for p in found.pieces if p.errand]
        for id, _ in found.held:
            back = [way for way in ways if id in way.machines and way.kind == "return"]
            assert len(back) == (id not in found.over_night)
        there = {id for way in ways if way.kind == "fetch" for id in way.machines}
        begun = [p for p in day.pieces if p.id in progress.begun and progress.left(p)]
        assert not there & {id for id, _ in found.held} or any(p.errand for p in begun)
        ordered = sorted(found.pieces, key=lambda piece: piece.start)
        for a, b in pairwise(ordered):
            assert a.end <= b.start


def test_without_delay_the_rest_is_the_plan(site: Path) -> None:
    """What was planned comes out again, minute by minute."""
    for on in (SATURDAY, SUNDAY):
        day = day_of(site, on)
        for piece in day.pieces:
            found = compose_behind(day, progress_of(day, piece.start), piece.start)
            rest = [(p.id, p.start, p.end) for p in day.pieces if p.start >= piece.start]
            assert [(p.id, p.start, p.end) for p in found.pieces] == rest
            assert not found.moves


def test_two_hours_behind_before_anything(site: Path) -> None:
    found = behind(site, SATURDAY, "2 h")
    assert found["said"].startswith("All that is left of today still fits, until about 15:00.")
    assert (found["rest"][0]["start"], found["moves"]) == ("11:00", [])
    assert "Mind: Mower: closed shoes" in found["said"]


def test_what_does_not_fit_moves_to_its_next_free_day(site: Path) -> None:
    found = behind(site, SATURDAY, "8 h", "--at", "17:00")
    assert found["said"].startswith(
        "Low mowing (front) still fits, until about 17:30; thatch removal (front) moves to Sunday"
    )
    (moved,) = found["moves"]
    assert (moved["job"], moved["next_day"]) == ("thatch_removal", "2026-09-06")
    assert moved["hired_again"] == []


def test_torn_up_thatch_is_raked_off_before_the_run_goes_on(site: Path) -> None:
    found = behind(site, SATURDAY, "8 h", "--at", "18:30")
    assert [part["does"].split()[0] for part in found["rest"]] == ["rake", "clean,"]
    assert found["said"].startswith("Rake up and bag the debris (front) still fits")
    assert "the rest of thatch removal (front) moves to Sunday 6 Sep" in found["said"]
    assert "costs 140 USD more" in found["said"]
    assert not found["over"]


def test_what_is_owed_is_done_past_the_keepers_hours(site: Path) -> None:
    found = behind(site, SUNDAY, "8 h", "--at", "19:40")
    assert found["said"].startswith("Finish only what is begun, until about 20:35: it goes past")
    assert [part["does"].split()[0] for part in found["rest"]] == ["rake", "first"]
    assert found["over"]


def test_what_is_owed_goes_past_midnight_and_any_price(site: Path, tmp_path: Path) -> None:
    poor = limited(site, tmp_path, "{hire: 100}")
    found = behind(poor, SATURDAY, "12.75 h", "--at", "23:45")
    assert found["said"].startswith("Finish only what is begun, until about 00:35 tomorrow")
    assert {part["does"].split()[0] for part in found["rest"]} == {"rake"}
    assert found["over_night"] == ["vertical_mower"]
    early = behind(poor, SATURDAY, "6 h", "--at", "17:00")
    assert early["over_night"] == []
    refused = CliRunner().invoke(app, ["behind", str(site), "20 h", "--on", "2026-09-05"])
    assert isinstance(refused.exception, BadInput)


def test_before_a_closed_shop_the_machine_stays(site: Path, tmp_path: Path) -> None:
    shut = limited(site, tmp_path, "{shop: ['07:30 to 12:30']}")
    found = behind(shut, SATURDAY, "1 h", "--at", "11:50")
    assert found["over_night"] == ["vertical_mower"]
    assert "no way back today any more; lock it up over night" in found["said"]
    assert "the shop closes at 12:30" in found["said"]
    assert {part["does"].split()[0] for part in found["rest"]} == {"run", "rake"}
    in_time = behind(shut, SATURDAY, "30 min", "--at", "11:35")
    assert in_time["over_night"] == []
    shop = re.search(r"at the shop about (\d\d:\d\d)", in_time["said"])
    assert shop
    assert minute(shop[1]) <= minute("12:30")


def test_what_is_not_marked_is_not_begun(site: Path, tmp_path: Path) -> None:
    """The plan was kept while there was time to ask; on the day the lines are not marked."""
    bare = Path(shutil.copytree(site, tmp_path / "site"))
    (row,) = re.findall(r"^(\w+),.*lines_marked", (bare / "journal.csv").read_text("utf-8"), re.M)
    run("undo", str(bare), row, "--on", "2026-09-06")
    found = behind(bare, SUNDAY, "1 h")
    assert found["shut"] == ["core_aeration/front"]
    assert not any("pull cores" in part["does"] for part in found["rest"])
    assert "Stop: no core aeration today" in found["said"]


def test_a_machine_that_is_here_only_goes_back() -> None:
    door = Door(40, 15, 15, 15, 35)
    crew = Crew(1, {"tiller": (240.0, 50.0)}, {"tiller": door})
    task = Task("till", "new_seeding", "lawn", "till", 60, 6.0, machine="tiller", engine=True)
    day = WorkDay(SATURDAY, 600, 1200, 600, 30, held=(("tiller", 500),))
    for todo in ([task], []):
        plan = make_plan(todo, [day], crew)
        assert [errand.kind for errand in plan.errands] == ["return"]
        assert plan_faults(plan, todo, [day], crew) == []
        # From the shop in the morning to the shop.
        blocks = -(-(plan.errands[0].at_shop - 500) // 240)
        assert plan.hire == blocks * 50
    late = schedule_day([], WorkDay(SATURDAY, 1180, 1200, 600, 30, held=day.held), crew)
    assert late is None
    # The checker sees a machine that is fetched twice, or left.
    fresh = make_plan([task], [WorkDay(SATURDAY, 600, 1200, 600, 30)], crew)
    assert any("not returned once" in fault for fault in plan_faults(fresh, [task], [day], crew))


@pytest.mark.parametrize(
    ("sky", "note"), [((34.0, 20.0, 0.0), "hot: rest a quarter"), ((20.0, 12.0, 9.0), "rain")]
)
def test_todays_sky_counts_and_not_that_of_the_day_on_which_the_plan_was_kept(
    site: Path, tmp_path: Path, sky: tuple[float, float, float], note: str
) -> None:
    other = Path(shutil.copytree(site, tmp_path / "site"))
    rows = (other / "weather.csv").read_text(encoding="utf-8").splitlines()
    known = [row for row in rows if not re.match(r"\d", row) or row[:10] < "2026-09-05"]
    (other / "weather.csv").write_text("\n".join(known) + "\n", encoding="utf-8")
    path = forecast_path(other)
    path.parent.mkdir(exist_ok=True)
    made = [f"# {name}: 2026-09-04T12:00:00+00:00" for name in ("fetched", "issued")]
    row = f"2026-09-05,{','.join(map(str, sky))}"
    head = "date,max temp (C),min temp (C),rain (mm)"
    path.write_text("\n".join(("# invented", *made, head, row)) + "\n", encoding="utf-8")
    found = behind(other, SATURDAY, "2 h", "--at", "11:00")
    assert f"Today: {note}" in found["said"]
    if note != "rain":
        # In such heat work ends at noon; the mowing is done, the machine is not fetched.
        assert all(minute(part["end"]) <= 12 * 60 for part in found["rest"])
        assert [each["job"] for each in found["moves"]] == ["thatch_removal"]
    else:
        assert [part["does"].split()[0] for part in found["rest"]][-1] == "rake"
