"""The commands as a keeper runs them: processes of their own, exit statuses, no traceback."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from pathlib import Path

import forked
import pytest
from jsonschema import Draft202012Validator

KEYS = {
    "site", "on", "question", "job", "title", "part", "grass", "verdict", "grade", "needed",
    "taken_up", "weight", "date", "headline", "reasons", "season", "flips", "measure", "safety",
    "cautions", "amounts", "format", "rulebook", "gates", "sources", "disputes", "advice", "later",
}  # fmt: skip
WEEK_KEYS = {
    "site", "on", "to", "do", "hold", "wait", "coming", "measure", "water", "changed", "items",
    "sources",
}  # fmt: skip
LISTS = ("do", "hold", "wait", "coming", "measure", "leave", "missed")
SCHEMA = Draft202012Validator(
    json.loads((Path(__file__).parents[2] / "docs" / "advice.schema.json").read_text("utf-8"))
)
ON = ("--on", "2026-09-05")


def advisor(*words):
    done = forked.advisor(*words)
    assert "Traceback" not in done.stderr + done.stdout
    return done


def started(*words, **environment):
    """The same in an interpreter of its own."""
    done = subprocess.run(
        [sys.executable, "-m", "advisor", *map(str, words)],
        capture_output=True, text=True, env={**os.environ, **environment}, check=False,
        encoding="utf-8",
    )  # fmt: skip
    assert "Traceback" not in done.stderr + done.stdout
    return done


@pytest.fixture(scope="session")
def demo(tmp_path_factory):
    folder = tmp_path_factory.mktemp("shown")
    done = started("demo", "--to", folder / "out")
    assert done.returncode == 0, done.stderr
    return folder / "out", done.stdout


@pytest.fixture
def site(demo):
    return demo[0] / "site"


def test_the_demo_leaves_its_files_and_says_that_all_is_invented(demo):
    folder, shown = demo
    names = {path.name for path in folder.iterdir()}
    assert {"site", "digest.txt", "digest.html", "answer-1.txt", "answer-1.json"} <= names
    assert "INVENTED" in shown.splitlines()[0]
    assert (folder / "site" / "weather.csv").read_text().startswith("# INVENTED")
    assert (folder / "digest.txt").read_text(encoding="utf-8") in shown


def test_ask_json_has_exactly_the_agreed_keys(site):
    done = advisor("ask", site, "should I dethatch this year", *ON, "--json")
    data = json.loads(done.stdout)
    assert set(data) == KEYS
    assert data["verdict"] == "do"
    reason = data["reasons"][0]
    assert set(reason) == {"gate", "fact", "value", "limit", "holds", "says", "basis", "sources"}
    assert {str(number) for r in data["reasons"] for number in r["sources"]} <= set(data["sources"])
    assert SCHEMA.is_valid(data)


def test_week_json_has_the_agreed_keys(site):
    data = json.loads(advisor("week", site, *ON, "--json").stdout)
    assert set(data) >= WEEK_KEYS
    assert list(SCHEMA.iter_errors(data)) == []
    assert len(data["items"]) == sum(len(data[name]) for name in LISTS)


def test_reading_commands_write_nothing(site):
    before = {path: path.stat().st_mtime_ns for path in site.rglob("*")}
    advisor("week", site, *ON)
    advisor("ask", site, "when should I aerate", *ON)
    assert {path: path.stat().st_mtime_ns for path in site.rglob("*")} == before


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("ask", "SITE", "how do I grow tomatoes"), "the question: "),
        (("ask", "nowhere", "should I dethatch"), "nowhere: no such folder"),
        (("ask", "SITE", "should I dethatch", "--area", "frnt"), "did you mean 'front'?"),
        (("ask", "SITE", "should I dethatch", "--grass", "tall_fescu"), "did you mean 'tall_"),
        (("week", "SITE", "--on", "5 Sept"), "is no date; write YYYY-MM-DD"),
        (("note", "SITE", "thatch", "0.8"), "thatch_depth: '0.8' has no unit"),
        (("note", "SITE", "cored", "yesterday"), ' "cored yesterday"\' records it'),
        (("done", "SITE", "washed", "the", "car"), "this note: cannot tell"),
        (("undo", "SITE", "r999"), "no record has the id 'r999'"),
        (("rules", "check", "nowhere"), "no rule files here"),
        (("wek", "SITE"), "No such command 'wek'"),
    ],
)
def test_bad_input_is_one_clear_line_and_status_2(site, words, said):
    done = advisor(*(site if word == "SITE" else word for word in words))
    assert done.returncode == 2
    assert said in done.stderr
    assert done.stdout == ""


def test_a_note_changes_the_advice_and_its_undo_brings_it_back(site, tmp_path):
    import shutil

    own = tmp_path / "site"
    shutil.copytree(site, own)
    question = ("ask", own, "should I dethatch this year", *ON, "--json")
    before = advisor(*question).stdout
    said = advisor("note", own, "thatch 0.3 in", "in the front", *ON).stdout
    assert "thatch depth" in said
    record = re.search(r"\((r[0-9]+);", said)[1]
    assert json.loads(advisor(*question).stdout)["verdict"] == "not_needed"
    assert advisor("undo", own, record, *ON).returncode == 0
    assert advisor(*question).stdout == before


def test_new_asks_three_things_and_the_site_reads(tmp_path):
    done = subprocess.run(
        [sys.executable, "-m", "advisor", "new", str(tmp_path / "mine")],
        input="41.4, -81.9\nKentucky bluegrass\n3000 ft2\n",
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    checked = advisor("check", tmp_path / "mine")
    assert checked.returncode == 0, checked.stderr
    assert "3,000 ft²" in checked.stdout
    week = advisor("week", tmp_path / "mine")
    assert week.returncode == 0, week.stderr
    assert "No weather yet, so no season can be told" in week.stdout
    wish = advisor("note", tmp_path / "mine", "want", "overseeding")
    assert ",wish,overseeding,yes," in (tmp_path / "mine" / "journal.csv").read_text()
    assert "Next, if you like (for " in wish.stdout


def test_a_locale_with_a_decimal_comma_changes_nothing(site):
    plain = advisor("ask", site, "should I dethatch", *ON, "--json").stdout
    assert (
        started("ask", site, "should I dethatch", *ON, "--json", LC_ALL="de_DE.UTF-8").stdout
        == plain
    )


def test_no_color_codes_in_pipes(site):
    assert "\x1b[" not in advisor("--help").stdout + advisor("week", site, *ON).stdout


def test_how_much_is_answered_first(site):
    shown = advisor(
        "ask", site, "how much seed do I need to overseed", *ON, "--area", "front"
    ).stdout
    assert shown.index("How much") < shown.index("Why")
    assert "lb of Kentucky bluegrass seed" in shown


def test_a_question_for_the_week_gets_the_week(site):
    asked = advisor("ask", site, "what should I do this week", *ON)
    assert asked.returncode == 0, asked.stderr
    assert asked.stdout.strip() == started("week", site, *ON).stdout.strip()


def test_coverage_counts_every_deciding_limit_once():
    data = json.loads(advisor("rules", "coverage", "--json").stdout)
    assert sum(data["evidence"].values()) == data["limits"]
    assert data["examples"] == sum(part["examples"] for part in data["by_operation"].values())
    assert "limits that decide a verdict" in advisor("rules", "coverage").stdout


def test_the_mailing_is_built_only_for_those_who_ask_for_it():
    program = (
        "import sys\n"
        "from typer.testing import CliRunner\n"
        "from advisor.cli.main import app\n"
        "def built(*words):\n"
        "    shown = CliRunner().invoke(app, words).output\n"
        "    return 'advisor.cli.mail_editions' in sys.modules, ' approve ' in shown\n"
        "print(built('ask', '--help'), built('--help'), built('mail', '--help'))"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True
    )
    assert done.stdout.strip() == "(False, False) (False, False) (True, True)"
