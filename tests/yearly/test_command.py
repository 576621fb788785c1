"""`advisor year` as a whole process: forms, files, memory, refusals."""

from __future__ import annotations

import json
import subprocess
import sys

import pytest

from advisor.demo.scenario import write_demo
from advisor.render.yearly.calendar_memory import MEMORY_FILE

pytestmark = pytest.mark.slow

ON = ("--on", "2026-09-05")


def advisor(*words):
    done = subprocess.run(
        [sys.executable, "-m", "advisor", *map(str, words)],
        capture_output=True, text=True, check=False, encoding="utf-8",
    )  # fmt: skip
    assert "Traceback" not in done.stderr + done.stdout
    return done


@pytest.fixture
def site(tmp_path):
    return write_demo(tmp_path)


def test_text_and_json_write_no_state(site):
    before = {path.name for path in site.iterdir()}
    text, data = advisor("year", site, *ON), advisor("year", site, *ON, "--json")
    assert text.returncode == data.returncode == 0, text.stderr + data.stderr
    assert "years in ten" in text.stdout.lower()
    assert json.loads(data.stdout)["on"] == "2026-09-05"
    assert {path.name for path in site.iterdir()} == before


def test_files_are_written_and_a_second_run_is_the_same(site, tmp_path):
    page, calendar = tmp_path / "year.html", tmp_path / "year.ics"
    runs = []
    for _ in range(2):
        done = advisor("year", site, *ON, "--html", page, "--ics", calendar)
        assert done.returncode == 0, done.stderr
        runs.append((page.read_bytes(), calendar.read_bytes(), (site / MEMORY_FILE).read_bytes()))
    assert runs[0] == runs[1]
    assert runs[0][1].startswith(b"BEGIN:VCALENDAR\r\n")


def test_refusals_are_one_line_and_exit_2(site, tmp_path):
    (site / MEMORY_FILE).write_text("{", encoding="utf-8")
    calendar = tmp_path / "year.ics"
    done = advisor("year", site, *ON, "--ics", calendar)
    assert done.returncode == 2
    assert done.stderr.count("\n") == 1
    assert MEMORY_FILE in done.stderr
    assert not calendar.exists()
    done = advisor("year", site, *ON, "--html", tmp_path / "missing" / "year.html")
    assert done.returncode == 2
    assert "cannot be written" in done.stderr
