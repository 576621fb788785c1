"""The commands on the rule book, the key and the measurements, as processes of their own."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import forked
import html5lib
import pytest

from advisor.base.paths import data_folder


def advisor(*words, typed=""):
    done = forked.advisor(*words, stdin=typed.encode())
    assert "Traceback" not in done.stderr + done.stdout
    return done


def test_show_as_text_and_as_a_page(tmp_path) -> None:
    done = advisor("rules", "show", "thatch_removal")
    assert done.returncode == 0
    assert done.stdout.startswith("THATCH REMOVAL\n")
    page = tmp_path / "page.html"
    assert advisor("rules", "show", "tall_fescue", "--html", page).returncode == 0
    html5lib.HTMLParser(strict=True).parse(page.read_text(encoding="utf-8"))


@pytest.mark.parametrize("words", [("show", "thatch"), ("examples", "thatch")])
def test_an_unknown_operation_is_bad_input(words) -> None:
    done = advisor("rules", *words)
    assert done.returncode == 2
    assert "thatch_removal" in done.stderr


def test_a_programme_with_a_slip_is_refused_at_its_place(tmp_path) -> None:
    rules = Path(shutil.copytree(data_folder("rules"), tmp_path / "rules"))
    file = rules / "programmes" / "renovation.yaml"
    text = file.read_text(encoding="utf-8")
    file.write_text(text.replace("job: core_aeration", "job: core_aeratoin", 1), encoding="utf-8")
    done = advisor("rules", "check", rules)
    assert done.returncode == 2
    (line,) = done.stderr.splitlines()
    assert line.startswith("rules/programmes/renovation.yaml:")
    assert "did you mean 'core_aeration'?" in line


def test_examples_of_one_operation() -> None:
    lines = advisor("rules", "examples", "thatch_removal").stdout.splitlines()
    assert len(lines) > 25
    assert all(line.startswith("thatch_removal, ") for line in lines)


def test_stale_as_of_a_day() -> None:
    assert advisor("rules", "stale", "--on", "2026-11-26").stdout.startswith("None not checked")
    data = json.loads(advisor("rules", "stale", "--on", "2029-11-26", "--json").stdout)
    assert data["years"] == 2
    assert len(data["stale"]) > 100
    assert set(data["stale"][0]) == {"where", "evidence", "source", "checked"}


def test_coverage_has_stable_keys() -> None:
    data = json.loads(advisor("rules", "coverage", "--json").stdout)
    assert set(data) == {
        "format", "rulebook", "operations", "grasses", "examples", "limits", "evidence",
        "published_share", "facts", "sources", "cautions", "by_operation", "by_grass", "facts_read",
    }  # fmt: skip
    assert len(data["by_operation"]) == data["operations"]
    assert data["facts_read"]["thatch_depth"]["thatch_removal"] == ["need", "advice"]
    text = advisor("rules", "coverage").stdout
    assert f"{data['limits']:6}  limits that decide a verdict" in text


def test_identify_asks_one_question_at_a_time() -> None:
    # A Kentucky bluegrass: runners below, two pale lines.
    done = advisor("identify", typed="3\n?\n1\n1\n1\n1\n1\n1\n")
    assert done.returncode == 0, done.stderr
    assert done.stdout.count("I cannot tell") <= 8
    assert "In site.yaml write: stand: [{grass: " in done.stdout or "It may be" in done.stdout


def test_identify_for_scripts() -> None:
    words = ("identify", "--answers", "bud=folded, tip=boat, season=cool")
    done = advisor(*words, typed="")
    assert done.stdout.startswith("Kentucky bluegrass. What it shows:")
    data = json.loads(advisor(*words, "--json", typed="").stdout)
    assert data["grass"] == "kentucky_bluegrass"
    wrong = advisor("identify", "--answers", "bud=flat")
    assert wrong.returncode == 2
    assert "folded, rolled, or ?" in wrong.stderr


@pytest.mark.slow
def test_measure_lists_the_best_first(tmp_path) -> None:
    assert advisor("demo", "--to", tmp_path / "out").returncode == 0
    site = tmp_path / "out" / "site"
    words = ("measure", site, "--on", "2026-09-05")
    text = advisor(*words).stdout
    data = json.loads(advisor(*words, "--json").stdout)
    assert text.startswith("1. ")
    assert data["measure"][0]["title"].lower() in text.splitlines()[0].lower()
    why = advisor("ask", site, "should I dethatch", "--on", "2026-09-05", "--why").stdout
    assert "Every comparison" in why
    assert "Need: yes" in why
