"""`note`, `done` and `undo` as processes of their own: the question before a record, and what may
fail after it. A record that is written is a success, and none is written twice by mistake."""

from __future__ import annotations

import os
import pty
import re
import shutil
import subprocess
import sys
from pathlib import Path

import forked
import pytest

from advisor.demo.scenario import write_demo

pytestmark = pytest.mark.slow

ON = ("--on", "2026-09-06")


@pytest.fixture(scope="session")
def demo(tmp_path_factory) -> Path:
    """The invented lawn of the demo, with its weather."""
    return write_demo(tmp_path_factory.mktemp("demo"))


@pytest.fixture
def site(demo, tmp_path) -> Path:
    """The same lawn, nothing recorded, and without weather: a week is then soon told."""
    folder = tmp_path / "a lawn"
    folder.mkdir()
    shutil.copy(demo / "site.yaml", folder)
    return folder


def run(*words, stdout=None):
    done = forked.advisor(*words, stdout=stdout)
    assert "Traceback" not in done.stderr
    return done


def records(site: Path) -> list[str]:
    journal = site / "journal.csv"
    return journal.read_text().splitlines()[1:] if journal.exists() else []


def on_a_terminal(answer: bytes, *words) -> str:
    """What a keeper sees who types the answer."""
    leader, follower = pty.openpty()
    command = [sys.executable, "-m", "advisor", *map(str, words)]
    with subprocess.Popen(
        command, stdin=follower, stdout=follower, stderr=follower, close_fds=True
    ) as process:
        os.close(follower)
        os.write(leader, answer)
        shown = b""
        while True:
            try:
                more = os.read(leader, 4096)
            except OSError:  # Linux says so when the other end is closed
                break
            if not more:
                break
            shown += more
        assert process.wait() == 0
    os.close(leader)
    return shown.decode()


def test_work_that_rules_out_work_is_read_back_with_the_exact_command(site):
    asked = run("done", site, "dethatched the front", *ON)
    assert asked.returncode == 2
    assert asked.stdout == ""
    (line,) = asked.stderr.splitlines()
    assert "2026-09-06: thatch removal (front) done" in line
    assert "no thatch removal until 3 Jul 2027" in line
    assert records(site) == []
    # The command that it names is the one that records it.
    again = line.partition("with your yes: advisor ")[2]
    done = subprocess.run(
        f"{sys.executable} -m advisor {again}", shell=True, capture_output=True, check=False
    )
    assert done.returncode == 0, done.stderr
    (row,) = records(site)
    assert ",2026-09-06,work,thatch_removal,,front,dethatched the front" in row


@pytest.mark.parametrize(("answer", "written"), [(b"y\n", 1), (b"\n", 0), (b"\x04", 0)])
def test_on_a_terminal_the_keeper_is_asked(site, answer, written):
    shown = on_a_terminal(answer, "done", site, "overseeded the front", *ON)
    lines = shown.replace("\r", "").splitlines()
    (told,) = [line for line in lines if "no overseeding" in line]
    assert "overseeding (front) done; that means no overseeding" in told
    assert "Record it? [y/N]" in shown
    assert len(records(site)) == written
    assert ("Nothing was recorded." in shown) == (not written)


def test_what_rules_out_nothing_is_not_asked_about(site):
    assert run("done", site, "mowed to 3 inches", *ON).returncode == 0
    assert run("done", site, "watered 0.5 in", *ON).returncode == 0
    assert run("note", site, "thatch 0.8 in", *ON).returncode == 0
    assert run("note", site, "want overseeding", *ON).returncode == 0
    assert len(records(site)) == 4


def test_a_weed_preventer_noted_is_work_and_keeps_seed_waiting(site):
    asked = run("note", site, "preventer prodiamine", *ON)
    assert asked.returncode == 2
    assert "no dormant seeding" in asked.stderr
    assert "overseeding" in asked.stderr
    bought = run("note", site, "bought a bag of preventer with prodiamine", *ON, "--yes")
    assert bought.returncode == 2
    assert "'bought'" in bought.stderr
    assert run("note", site, "preventer none", *ON).returncode == 0
    assert [row.split(",")[4] for row in records(site)] == ["none"]


@pytest.mark.slow
@pytest.mark.parametrize(
    ("command", "words"),
    [("done", "mowed"), ("note", "want overseeding"), ("done", "limed")],
)
def test_the_same_record_is_asked_about(site, command, words):
    assert run(command, site, words, *ON, "--yes").returncode == 0
    again = run(command, site, words, *ON)
    assert again.returncode == 2
    assert "the same stands there already as r1" in again.stderr
    assert len(again.stderr.splitlines()) == 1
    assert len(records(site)) == 1
    # Said on purpose it is written; another day is not the same.
    assert run(command, site, words, *ON, "--yes").returncode == 0
    assert run(command, site, words, "--on", "2026-09-05", "--yes").returncode == 0
    assert len(records(site)) == 3


def test_a_record_taken_back_may_be_written_again(site):
    run("done", site, "mowed", *ON)
    assert run("undo", site, "r1", *ON).returncode == 0
    again = run("done", site, "mowed", *ON)
    assert again.returncode == 0, again.stderr


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no /dev/full here")
@pytest.mark.parametrize(
    "words",
    [("done", "mowed"), ("done", "dethatched", "--yes"), ("note", "thatch 0.8 in")],
)  # fmt: skip
def test_a_full_output_does_not_make_a_written_record_a_failure(site, words):
    command, *rest = words
    with Path("/dev/full").open("w") as full:
        done = run(command, site, *rest, *ON, stdout=full)
        assert done.returncode == 0, done.stderr
        assert "recorded, but " in done.stderr
        assert len(records(site)) == 1
        undone = run("undo", site, "r1", *ON, stdout=full)
    assert undone.returncode == 0
    assert "r1 no longer counts" in undone.stderr
    assert len(records(site)) == 2


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no /dev/full here")
def test_neither_does_a_full_error_output(site):
    with Path("/dev/full").open("w") as full:
        done = subprocess.run(
            [sys.executable, "-m", "advisor", "done", str(site), "mowed", *ON],
            stdout=full, stderr=full, check=False,
        )  # fmt: skip
    assert done.returncode == 0
    assert len(records(site)) == 1


@pytest.mark.parametrize("command", ["note", "done"])
@pytest.mark.parametrize("fails", ["compose_week", "open_case"])
def test_whatever_fails_after_the_write_only_warns(site, command, fails):
    words = {"note": "thatch 0.8 in", "done": "mowed"}[command]
    program = (
        "import sys\n"
        "from advisor.cases import open_folder\n"
        "from advisor.render.digest import question\n"
        "calls = []\n"
        "whole = open_folder.open_case\n"
        "def fails(*_, **__):\n"
        "    raise RuntimeError('no table for this')\n"
        "def second(*words):\n"
        "    calls.append(words)\n"
        "    return whole(*words) if len(calls) == 1 else fails()\n"
        f"if {fails!r} == 'open_case':\n"
        "    open_folder.open_case = second\n"
        "else:\n"
        "    question.compose_week = fails\n"
        "from advisor.cli.main import main\n"
        "sys.argv[0] = 'advisor'\n"
        "main()\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", program, command, str(site), words, *ON],
        capture_output=True, text=True, check=False, stdin=subprocess.DEVNULL,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert re.search(r"\(r1; 'advisor undo ", done.stdout)
    assert len(done.stderr.splitlines()) == 1
    assert "no table for this" in done.stderr
    assert len(records(site)) == 1


def test_no_soil_makes_a_written_record_a_failure(demo, site):
    """'sand' once broke whatever read weather, and with it the question after a record."""
    shutil.copy(demo / "weather.csv", site)
    told = (site / "site.yaml").read_text()
    assert "texture: silt_loam" in told
    (site / "site.yaml").write_text(told.replace("texture: silt_loam", "texture: sand"))
    done = run("note", site, "thatch 0.8 in", *ON)
    assert done.returncode == 0, done.stderr
    assert len(records(site)) == 1


def test_a_record_that_cannot_be_written_is_a_failure(site):
    """The other way round: no record, no success."""
    (site / "journal.csv").mkdir()
    done = run("note", site, "thatch 0.8 in", *ON)
    assert done.returncode == 2
    assert "journal.csv" in done.stderr
