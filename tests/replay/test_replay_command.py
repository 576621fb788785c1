"""`advisor replay` on 37 years of Champion, Nebraska (tests/data/weather/README.md)."""

from __future__ import annotations

import csv
import gzip
import json
import shutil
import subprocess
from pathlib import Path

import forked
import pytest

from advisor.base.paths import data_folder
from advisor.base.problems import BadInput
from advisor.base.record import replace
from advisor.cases.case import Case
from advisor.cases.open_folder import open_case
from advisor.replay.run import Replay, replay
from advisor.replay.show import show_comparison, show_replay
from advisor.rulebook.read_rulebook import read_rulebook

pytestmark = pytest.mark.slow

DATA = Path(__file__).parents[1] / "data"
SITE = """\
format: 1
name: Test lawn
place: {town: Champion, latitude: 40.4, longitude: -101.7, elevation: 1030 m, country: US,
        subdivision: NE, time_zone: America/Denver}
units: us
stand:
  - {grass: kentucky_bluegrass, share: 100 %}
areas:
  - {name: front, size: 3000 ft2}
  - {name: back, size: 2000 ft2, stand: [{grass: tall_fescue, share: 100 %}]}
"""
KEYS = {
    "operation_title", "title", "operation", "window", "years", "opened", "never", "not_known",
    "opens", "last_day", "days_open", "opened_by", "ended_by", "kept_shut_by", "by_week",
}  # fmt: skip


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("replayed")
    (folder / "site.yaml").write_text(SITE, encoding="utf-8")
    packed = (DATA / "weather" / "champion_ne.csv.gz").read_bytes()
    (folder / "weather.csv").write_bytes(gzip.decompress(packed))
    return folder


@pytest.fixture(scope="module")
def lawn(site: Path) -> Case:
    return open_case(site, read_rulebook())


@pytest.fixture(scope="module")
def found(lawn: Case) -> Replay:
    return replay(lawn)


@pytest.fixture(scope="module")
def stricter(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The rule files, but torn turf wants 600 °C·d instead of 500 before winter."""
    folder = tmp_path_factory.mktemp("rules") / "rules"
    shutil.copytree(data_folder("rules"), folder)
    file = folder / "operations" / "thatch_removal.yaml"
    text = file.read_text(encoding="utf-8")
    assert text.count("under: 500 C.d") == 1
    file.write_text(text.replace("under: 500 C.d", "under: 600 C.d"), encoding="utf-8")
    return folder


def advisor(*words: object) -> subprocess.CompletedProcess[str]:
    done = forked.advisor(*words)
    assert "Traceback" not in done.stdout + done.stderr
    return done


def test_the_text_fits_a_terminal_and_names_every_window(lawn: Case, found: Replay) -> None:
    text = show_replay(lawn)
    assert max(map(len, text.splitlines())) <= 80
    for titles in found.titles.values():
        assert " - ".join(titles) in text
    assert "Other parts are of tall fescue" in text


def test_every_autumn_says_what_opened_and_ended_it(found: Replay) -> None:
    autumn = [row for row in found.rows if (row.operation, row.window) == ("overseeding", "autumn")]
    assert [row.season for row in autumn] == list(range(1982, 2019))
    for row in autumn:
        assert row.state == "opened"
        assert row.opened_by
        assert row.ended_by


def test_nebraska_sows_when_its_extension_service_says(found: Replay) -> None:
    """15 August to 15 September in print (tests/data/published_windows.csv), to ten days."""
    with (DATA / "published_windows.csv").open(encoding="utf-8", newline="") as file:
        printed = next(
            row
            for row in csv.DictReader(file)
            if row["weather"] == "champion_ne" and row["what"] == "autumn_sowing"
            and row["grass"] == "kentucky_bluegrass" and row["opens"] and row["closes"]
        )  # fmt: skip
    data = json.loads(_shown(found))
    window = next(w for w in data["windows"] if w["operation"] == "overseeding")
    for key, day in (("opens", printed["opens"]), ("last_day", printed["closes"])):
        month, of_month = map(int, window[key]["p50"].split("-"))
        assert abs((month - int(day[:2])) * 30.5 + of_month - int(day[3:])) <= 10, key


def _shown(found: Replay) -> str:
    from advisor.replay.to_json import replay_json

    return json.dumps(replay_json(found))


def test_json_has_its_keys(found: Replay) -> None:
    data = json.loads(_shown(found))
    assert set(data) == {
        "format", "rulebook", "site", "grass", "record", "season_years", "windows",
    }  # fmt: skip
    assert data["record"] == {"from": "1982-01-01", "to": "2018-12-31"}
    for window in data["windows"]:
        assert set(window) == KEYS
        assert window["years"] == window["opened"] + window["never"]
        ended = sum(reason["years"] for reason in window["ended_by"])
        assert ended >= window["opened"]  # more where two comparisons turned on one day


def test_a_stricter_limit_closes_earlier_and_moves_nothing_else(lawn: Case, stricter: Path) -> None:
    other = read_rulebook(stricter, cache=False)
    data = json.loads(show_comparison(lawn, other, as_json=True))
    assert (data["rulebook"], data["compared_with"]) == (lawn.book.hash, other.hash)
    assert set(data["windows"][0]) == {
        "operation", "window", "operation_title", "title", "before", "after", "years_changed",
        "moved",
    }  # fmt: skip
    moved = {(w["operation"], w["window"]): w for w in data["windows"]}
    thatch = moved.pop(("thatch_removal", "autumn"))
    # 100 °C·d at some 12-15 °C above the base a day in September: about a week.
    assert -12 <= thatch["moved"]["last_day"] <= -5
    assert thatch["moved"]["never"] >= 0
    assert thatch["years_changed"] == thatch["after"]["years"]
    for window in moved.values():
        assert window["years_changed"] == 0
        assert window["before"] == window["after"]


def test_no_year_gains_a_day_by_a_stricter_limit(lawn: Case, stricter: Path) -> None:

    other = replace(lawn, book=read_rulebook(stricter, cache=False))
    before, after = (
        {row.season: row for row in replay(one, operation="thatch_removal").rows
         if row.window == "autumn"}
        for one in (lawn, other)
    )  # fmt: skip
    assert before.keys() == after.keys()
    for season, row in after.items():
        # Where it opened on its last days it may now not open at all.
        assert row.opens in (before[season].opens, None)
        assert row.days < before[season].days


def test_the_comparison_fits_a_terminal(lawn: Case, stricter: Path) -> None:
    text = show_comparison(lawn, read_rulebook(stricter, cache=False))
    assert max(map(len, text.splitlines())) <= 80
    assert "days earlier" in text
    assert "The same" in text


def test_a_rule_book_beside_itself_is_the_same(lawn: Case) -> None:
    text = show_comparison(lawn, lawn.book)
    assert "before" not in text.partition("The same")[0].replace("Before", "")


def test_the_grass_decides_the_limits(lawn: Case) -> None:
    """Tall fescue hardens slowly: only its seedlings want ten weeks before cold soil."""

    def reasons(grass: str) -> set[str]:
        rows = replay(lawn, grass=grass, operation="overseeding").rows
        return {reason for row in rows for reason in row.ended_by}

    ten_weeks = "days until the soil goes cold for good under 70 days"
    assert ten_weeks in reasons("tall_fescue")
    assert ten_weeks not in reasons("kentucky_bluegrass")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--operation", "thatch_removel"), "did you mean 'thatch_removal'?"),
        (("--grass", "tall_fescu"), "did you mean 'tall_fescue'?"),
        (("--rules", "nowhere"), "no rule files here"),
    ],
)
def test_bad_names_are_refused(site: Path, words: tuple[str, str], said: str) -> None:
    done = advisor("replay", site, *words)
    assert (done.returncode, done.stdout) == (2, "")
    assert said in done.stderr
    assert len(done.stderr.splitlines()) == 1


def test_without_a_record_it_says_how_to_add_one(tmp_path: Path) -> None:
    (tmp_path / "site.yaml").write_text(SITE, encoding="utf-8")
    with pytest.raises(BadInput, match="no weather record"):
        replay(open_case(tmp_path, read_rulebook()))


def test_a_record_of_one_summer_is_too_short(tmp_path: Path) -> None:
    (tmp_path / "site.yaml").write_text(SITE, encoding="utf-8")
    lines = ["date,air_max_c,air_min_c,rain_mm"]
    lines += [f"2018-07-{day:02},30,15,0" for day in range(1, 32)]
    (tmp_path / "weather.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    with pytest.raises(BadInput, match="no whole season"):
        replay(open_case(tmp_path, read_rulebook()))


def test_the_command_prints_what_it_shows(site: Path, lawn: Case) -> None:
    done = advisor("replay", site, "--operation", "overseeding", "--json")
    assert done.returncode == 0, done.stderr
    assert done.stdout == show_replay(lawn, operation="overseeding", as_json=True)
