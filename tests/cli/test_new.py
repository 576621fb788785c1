"""`advisor new` as a keeper meets it: three questions, in a process of its own."""

from __future__ import annotations

import subprocess
from pathlib import Path

import forked
import pytest
import yaml

GRASS = ("--grass", "tall_fescue", "--size", "3000 ft2")


def new(folder: Path, *words: str, typed: str = "") -> subprocess.CompletedProcess[str]:
    done = forked.advisor("new", folder, *words, stdin=typed.encode())
    assert "Traceback" not in done.stdout + done.stderr
    return done


def place(folder: Path) -> dict[str, object]:
    section = yaml.safe_load((folder / "site.yaml").read_text(encoding="utf-8"))["place"]
    assert isinstance(section, dict)
    return section


def test_a_town_fills_the_place_and_a_question_follows(tmp_path: Path) -> None:
    done = new(tmp_path / "a", typed="Wooster, Ohio\nKentucky bluegrass\n3000 ft2\n")
    assert done.returncode == 0, done.stderr
    found = place(tmp_path / "a")
    assert found == {
        "latitude": 40.805, "longitude": -81.936, "town": "Wooster", "elevation": "997 ft",
        "time_zone": "America/New_York", "country": "US", "subdivision": "OH",
    }  # fmt: skip
    assert "Found: Wooster, Ohio, United States, time zone America/New_York." in done.stdout
    assert done.stdout.splitlines()[-1].startswith("Next, if you like")


def test_metric_sizes_give_metric_elevations(tmp_path: Path) -> None:
    words = ("--where", "Christchurch, New Zealand", "--grass", "tall_fescue", "--size", "280 m2")
    assert new(tmp_path / "a", *words).returncode == 0
    found = place(tmp_path / "a")
    assert (found["elevation"], found["subdivision"], found["country"]) == ("14 m", "CAN", "NZ")
    assert found["time_zone"] == "Pacific/Auckland"


@pytest.mark.parametrize("words", ["don't know", "Don’t know", "dont_know", "?", "not sure"])
def test_the_grass_may_be_unknown(tmp_path: Path, words: str) -> None:
    done = new(tmp_path / "a", typed=f"44691\n{words}\n3000 ft2\n")
    assert done.returncode == 0, done.stderr
    text = (tmp_path / "a" / "site.yaml").read_text(encoding="utf-8")
    assert yaml.safe_load(text)["stand"][0]["grass"] == "dont_know"
    assert "compare: bahiagrass, bermudagrass, buffalograss" in done.stdout
    # A postcode's centre is no town, so its elevation is not known.
    assert "elevation" not in place(tmp_path / "a")


def test_namesakes_are_listed_to_choose_from(tmp_path: Path) -> None:
    done = new(tmp_path / "a", typed="Springfield\n3\ntall fescue\n3000 ft2\n")
    assert done.returncode == 0, done.stderr
    assert "  3. Springfield, Illinois, United States" in done.stdout.splitlines()
    assert place(tmp_path / "a")["subdivision"] == "IL"


def test_a_choice_may_be_written_out(tmp_path: Path) -> None:
    done = new(tmp_path / "a", typed="Springfield\nSpringfield, VT\ntall fescue\n3000 ft2\n")
    assert done.returncode == 0, done.stderr
    assert place(tmp_path / "a")["subdivision"] == "VT"


def test_a_slip_is_asked_again(tmp_path: Path) -> None:
    done = new(tmp_path / "a", typed="Woster, OH\nWooster, OH\ntall fescue\n3000 ft2\n")
    assert done.returncode == 0, done.stderr
    assert done.stderr == (
        "the place: 'Woster, OH' is no town known in Ohio, did you mean 'Wooster'?\n"
    )


def test_three_slips_end_it(tmp_path: Path) -> None:
    done = new(tmp_path / "a", typed="Qqqqq\nQqqqq\nQqqqq\n")
    assert done.returncode == 2
    assert done.stderr.count("is no town known; wanted a town such as") == 3
    assert not (tmp_path / "a").exists()


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--where", "Springfield"), "Springfield, Missouri, United States; Springfield, Mass"),
        (("--where", "Woster, Ohio"), "did you mean 'Wooster'?"),
        (("--latitude", "41.4"), "--longitude: is missing; give both, or --where"),
        (("--longitude", "-81.9"), "--latitude: is missing; give both, or --where"),
        (("--where", "Wooster, OH", "--latitude", "3"), "--where: gives the place already"),
        (("--latitude", "141.4", "--longitude", "-81.9"), "look swapped; exchange them"),
        (("--where", "Wooster, OH", "--units", "mm"), "--units: 'mm' is not one of us, metric"),
        (("--where", "Wooster, OH", "--country", "NZ"), "the answers: latitude"),
    ],
)
def test_in_scripts_what_is_not_plain_is_one_line_and_status_2(
    tmp_path: Path, words: tuple[str, ...], said: str
) -> None:
    done = new(tmp_path / "a", *words, *GRASS)
    assert done.returncode == 2
    assert said in done.stderr
    assert done.stderr.count("\n") == 1
    assert not (tmp_path / "a").exists()


def test_degrees_take_the_rest_from_the_nearest_town(tmp_path: Path) -> None:
    done = new(tmp_path / "a", "--latitude", "41.4", "--longitude", "-81.9", *GRASS)
    assert done.returncode == 0, done.stderr
    found = place(tmp_path / "a")
    assert (found["latitude"], found["longitude"]) == (41.4, -81.9)
    assert (found["time_zone"], found["subdivision"]) == ("America/New_York", "OH")
    assert "Found: near North Olmsted, Ohio, United States" in done.stdout


def test_what_is_said_outright_goes_before_what_is_found(tmp_path: Path) -> None:
    words = ("--town", "Home", "--time-zone", "America/Detroit", "--subdivision", "MI")
    assert new(tmp_path / "a", "--where", "Wooster, OH", *words, *GRASS).returncode == 0
    found = place(tmp_path / "a")
    assert found["town"] == "Home"
    assert (found["time_zone"], found["subdivision"]) == ("America/Detroit", "MI")
