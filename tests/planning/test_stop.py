"""Whether a day's work can be left: on the demo's settled weekend, and on every job of the book.

What is owed is reckoned here a second time, plainly, from rules/work.yaml as it stands on disk.
"""

from __future__ import annotations

import datetime as dt
import json
import re
import shutil
from pathlib import Path

import pytest
from settled_days import SATURDAY, SUNDAY, day_of, minute, run, settled
from typer.testing import CliRunner

from advisor.base.paths import data_folder
from advisor.base.problems import BadInput
from advisor.base.strict_yaml import load_file
from advisor.cli.main import app
from advisor.cli.opened import advice_for
from advisor.planning.day_progress import by_clock, progress_of
from advisor.planning.on_day import Piece, settled_today
from advisor.planning.stop import stopping_points, too_late_for_the_shop, where_to_stop
from advisor.planning.timetable import Errand, Task
from advisor.rulebook.read_rulebook import read_rulebook

RAW = load_file(data_folder("rules") / "work.yaml").data["steps"]
WORK = read_rulebook().work


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return settled(tmp_path_factory.mktemp("demo"))


def plainly_owed(pieces: tuple[Piece, ...], at: int) -> set[str]:
    """By the words of the file: whole steps that are begun, and what a begun step owes."""
    owed = set()
    for piece in pieces:
        if piece.errand is not None:
            if piece.errand.kind == "return" and piece.end > at:
                ways = [p for p in pieces if p.errand and p.errand.kind == "fetch"]
                if any(
                    p.errand.at_shop < at and {*p.errand.machines} & {*piece.errand.machines}
                    for p in ways
                    if p.errand
                ):
                    owed.add(piece.id)
            continue
        assert piece.task is not None
        job, name, area = piece.id.split("/")
        if piece.end <= at:
            continue
        begun = {
            p.id.split("/")[1]
            for p in pieces
            if p.start < at and p.task and p.id.startswith(f"{job}/") and p.id.endswith(f"/{area}")
        }
        steps = {step["id"]: step for step in RAW[job]}
        if name in begun and steps[name].get("whole"):
            owed.add(piece.id)
        if any(name in steps[other].get("owes", ()) for other in begun):
            owed.add(piece.id)
    return owed


@pytest.mark.parametrize("on", [SATURDAY, SUNDAY], ids=str)
def test_nothing_owed_is_ever_left_and_no_minute_is_lost(site: Path, on: dt.date) -> None:
    day = day_of(site, on)
    assert day.as_kept
    planned = sum(piece.end - piece.start for piece in day.pieces)
    for at in range(7 * 60, 15 * 60):
        stop = where_to_stop(day.pieces, WORK, progress_of(day, at))
        assert {part.piece.id for part in stop.owed} == plainly_owed(day.pieces, at), at
        left = sum(part.minutes for part in (*stop.owed, *stop.waits))
        assert left + stop.done == pytest.approx(planned)
        assert stop.until == pytest.approx(sum(part.minutes for part in stop.owed))
        assert all(part.why for part in stop.owed)
        assert stop.now is not bool(stop.owed)


@pytest.mark.parametrize("job", list(RAW))
def test_every_job_at_every_minute(job: str) -> None:
    """Its steps half an hour each, one after the other; and carried to the end nothing is owed."""
    pieces = tuple(
        Piece(
            f"{job}/{step['id']}/front",
            600 + 30 * i,
            630 + 30 * i,
            task=Task(f"{job}/{step['id']}/front", job, "front", step["title"], 30, 4.0),
        )
        for i, step in enumerate(RAW[job])
    )
    for at in range(590, 640 + 30 * len(pieces)):
        progress = by_clock(pieces, at)
        stop = where_to_stop(pieces, WORK, progress)
        owed = {part.piece.id for part in stop.owed}
        assert owed == plainly_owed(pieces, at), at
        # Whoever has done what is owed may stop.
        finished = {id: 1.0 if id in owed else share for id, share in progress.done.items()}
        after = type(progress)(finished, progress.begun | owed)
        assert where_to_stop(pieces, WORK, after).now, at
    assert where_to_stop(pieces, WORK, by_clock(pieces, 590)).now
    assert stopping_points(pieces, WORK)[-1] == pieces[-1].end


@pytest.mark.parametrize(
    ("on", "at", "first", "owed"),
    [
        (SATURDAY, "08:30", "Yes, you can stop here", []),
        (SATURDAY, "09:30", "Yes, you can stop here", []),
        # The machine is here, and has not run.
        (SATURDAY, "10:25", "Not yet", ["return the vertical"]),
        # Thatch lies on the lawn.
        (SATURDAY, "11:05", "Not yet", ["return the vertical", "rake up and bag"]),
        (SATURDAY, "12:10", "Not yet", ["rake up and bag"]),
        (SATURDAY, "13:00", "Yes: all of today's work is done", []),
        # Raked, and not cored; cored, and not sown.
        (SUNDAY, "08:00", "Yes, you can stop here", []),
        (SUNDAY, "10:50", "Yes, you can stop here", []),
        # Seed is on and not covered; covered and not watered.
        (SUNDAY, "11:00", "Not yet", ["rake the seed in", "first watering"]),
        (SUNDAY, "12:20", "Not yet", ["first watering"]),
        (SUNDAY, "12:35", "Yes: all of today's work is done", []),
    ],
)
def test_the_first_line_answers(
    site: Path, on: dt.date, at: str, first: str, owed: list[str]
) -> None:
    words = ("stop", str(site), "--on", on.isoformat(), "--at", at)
    said = " ".join(run(*words).split())
    assert said.startswith(first)
    told = json.loads(run(*words, "--json"))
    assert told["now"] is (not owed)
    assert len(told["owed"]) == len(owed)
    for part, wanted in zip(told["owed"], owed, strict=True):
        assert wanted in part["does"]
    if owed:
        assert "Mind: " in said
        ends = re.search(r"until about (\d\d:\d\d)", said)
        assert ends
        assert minute(ends[1]) == minute(at) + told["minutes"]


def test_what_waits_has_its_day_and_its_price(site: Path) -> None:
    said = " ".join(run("stop", str(site), "--on", "2026-09-05", "--at", "10:45").split())
    assert "Thatch removal (front), 20 min: by 15 Sep; next free day Sunday 6 Sep" in said
    assert "core aeration and overseeding (front) must come after it" in said
    assert "hired again: 70 USD" in said
    said = " ".join(run("stop", str(site), "--on", "2026-09-05", "--at", "09:30").split())
    assert "hired again" not in said


def test_who_is_behind_has_come_less_far(site: Path) -> None:
    late = run("stop", str(site), "--on", "2026-09-05", "--at", "13:30", "--behind", "2 h")
    assert late.startswith("Not yet: finish these 2 first, 1 h 30 min, until about 15:00")
    words = ["stop", str(site), "--on", "2026-09-05", "--behind", "2 h"]
    refused = CliRunner().invoke(app, words).exception
    assert isinstance(refused, BadInput)
    assert "--at" in str(refused)


def test_without_an_hour_it_says_where_the_day_may_be_left(site: Path) -> None:
    said = " ".join(run("stop", str(site), "--on", "2026-09-05").split())
    assert said.startswith("Yes, while nothing is begun. Later only after 'mow low")
    assert "about 09:30; after 'rake up and bag the debris (front)', about 13:00." in said


def test_without_a_plan_it_says_so(site: Path) -> None:
    said = run("stop", str(site), "--on", "2026-09-04")
    assert " ".join(said.split()) == (
        "Nothing is settled for today, so there is no plan to go by. The next day of work is "
        "Saturday 5 Sep."
    )


def test_a_record_stands_above_the_clock(tmp_path: Path) -> None:
    site = settled(tmp_path)
    run("done", str(site), "dethatched the front", "--on", "2026-09-05", "--yes")
    day = day_of(site, SATURDAY)
    progress = progress_of(day, None)
    done = {id for id, share in progress.done.items() if share == 1}
    # The debris is bagged after the machine went back.
    assert done == {piece.id for piece in day.pieces} - {"low_mow/mow/front"}
    assert where_to_stop(day.pieces, WORK, progress).now
    run("done", str(site), "cored the front", "--on", "2026-09-06", "--yes")
    told = json.loads(run("stop", str(site), "--on", "2026-09-06", "--json"))
    assert [part["does"] for part in told["owed"]] == ["clean, load and return the core aerator"]


def test_half_of_a_job_that_is_noted_lies_open_nowhere(tmp_path: Path) -> None:
    site = settled(tmp_path)
    row = "r90,2026-09-06,work,overseeding,share=50 %,front,\n"
    with (site / "journal.csv").open("a", encoding="utf-8") as journal:
        journal.write(row)
    day = day_of(site, SUNDAY)
    stop = where_to_stop(day.pieces, WORK, progress_of(day, None))
    assert stop.now
    sown = [part for part in stop.waits if part.piece.id.startswith("overseeding")]
    assert sum(part.minutes for part in sown) == pytest.approx(105 / 2)


def test_a_closed_shop_owes_no_way_back() -> None:
    fetch = Errand("fetch", ("tiller",), SATURDAY, 500, 560, 1, 530)
    back = Errand("return", ("tiller",), SATURDAY, 600, 660, 1, 640)
    pieces = (Piece("f", 500, 560, errand=fetch), Piece("b", 600, 660, errand=back))
    progress = by_clock(pieces, 590)
    assert [part.piece.id for part in where_to_stop(pieces, WORK, progress).owed] == ["b"]
    shop = ((480, 650),)
    assert not too_late_for_the_shop(pieces, progress, 610, shop)
    gone = too_late_for_the_shop(pieces, progress, 611, shop)
    assert gone == {"b"}
    assert where_to_stop(pieces, WORK, progress, gone).now
    assert not too_late_for_the_shop(pieces, progress, 900, None)
    # One that has been at the shop is on the way home, whatever the hour.
    assert not too_late_for_the_shop(pieces, by_clock(pieces, 650), 900, shop)


def test_what_has_changed_since_the_plan_was_kept_is_said(site: Path, tmp_path: Path) -> None:
    """The hours are then made anew, and answered for all the same."""
    other = Path(shutil.copytree(site, tmp_path / "site"))
    told = (other / "site.yaml").read_text(encoding="utf-8")
    assert "size: 3000 ft2" in told
    (other / "site.yaml").write_text(told.replace("3000 ft2", "4000 ft2"), encoding="utf-8")
    day = day_of(other, SATURDAY)
    assert not day.as_kept
    assert {key[0] for key in day.items} == {"low_mow", "thatch_removal"}
    said = run("stop", str(other), "--on", "2026-09-05", "--at", "12:00")
    assert said.startswith("Not yet")
    assert "The hours were made anew" in " ".join(said.split())
    assert "made anew" not in run("stop", str(site), "--on", "2026-09-05", "--at", "12:00")


def test_a_wet_day_in_the_plan_is_no_reason_to_make_it_anew(tmp_path: Path) -> None:
    site = settled(tmp_path)
    days = ("--from", "2026-09-05", "--days", "3", "--rain", "2026-09-05", "--keep")
    run("workplan", str(site), "--on", "2026-09-02", *days)
    assert settled_today(advice_for(site, SATURDAY)) is None
    sunday = day_of(site, SUNDAY)
    assert sunday.as_kept
    assert {key[0] for key in sunday.items} >= {"low_mow", "thatch_removal"}
