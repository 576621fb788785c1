"""Dates, text, paths and numbers that no command can reckon with are refused by all alike."""

from __future__ import annotations

import shutil
import sys

import pytest

from advisor.base.dates import FIRST_DAY, LAST_DAY
from advisor.cli.main import main
from advisor.demo.scenario import write_demo


@pytest.fixture(scope="module")
def site(tmp_path_factory):
    return write_demo(tmp_path_factory.mktemp("typed"))


@pytest.fixture
def said(monkeypatch, capsys):
    """The status of a command, and what it printed, on one line."""

    def call(*words):
        monkeypatch.setattr(sys, "argv", ["advisor", *map(str, words)])
        with pytest.raises(SystemExit) as end:
            main()
        shown = capsys.readouterr()
        return end.value.code, " ".join((shown.out + shown.err).split())

    return call


ON = [
    ("week",), ("year",), ("weekends",), ("tomorrow",), ("amounts",), ("measure",),
    ("stop",), ("behind", "2 h"),
    ("ask", "dethatch"), ("note", "thatch 0.8 in"), ("done", "mowed"),
    ("undo", "r1"), ("waterplan",),
]  # fmt: skip


@pytest.mark.parametrize("words", ON, ids=lambda words: words[0])
def test_days_too_far_away(site, words, said):
    for day in ("0001-01-01", "0002-01-01", "1899-12-31", "2200-01-01", "9998-12-31", "9999-12-31"):
        status, told = said(words[0], site, *words[1:], "--on", day)
        assert (status, f"{day} is too far away; wanted 1900 to 2199" in told) == (2, True)


@pytest.mark.slow
@pytest.mark.parametrize("day", [FIRST_DAY, LAST_DAY])
@pytest.mark.parametrize("words", ON, ids=lambda words: words[0])
def test_the_outermost_days_are_reckoned_with(site, words, day, tmp_path, said):
    own = tmp_path / "site"
    shutil.copytree(site, own)
    assert said(words[0], own, *words[1:], "--on", day)[0] in (0, 2)
    assert said("check", own)[0] == 0 or day > FIRST_DAY  # a record of a day to come is refused


@pytest.mark.parametrize(
    ("latitude", "told"),
    [("nan", "nan is no number"), ("inf", "too large"), ("-inf", "too large"),
     ("1e400", "too large"), ("1e300", "too large"), ("91", "look swapped")],
)  # fmt: skip
def test_numbers_that_are_none(tmp_path, latitude, told, said):
    words = ("--longitude", "1", "--grass", "tall_fescue", "--size", "3000 ft2")
    status, shown = said("new", tmp_path / "new", f"--latitude={latitude}", *words)
    assert status == 2
    assert told in shown
    assert not (tmp_path / "new").exists()


@pytest.mark.parametrize("name", ["a" * 300, "loop", "nul\0", "\ud800"])
@pytest.mark.parametrize(
    "words",
    [("week", "PATH"), ("check", "PATH"), ("week", "SITE", "--out", "PATH"), ("new", "PATH"),
     ("year", "SITE", "--ics", "PATH"), ("rules", "check", "PATH"), ("demo", "--to", "PATH"),
     ("mail", "status", "PATH")],
)  # fmt: skip
def test_names_that_no_file_can_have(site, tmp_path, words, name, said):
    (tmp_path / "loop").symlink_to("loop")
    names = {"SITE": str(site), "PATH": f"{tmp_path}/{name}"}
    status, told = said(*(names.get(word, word) for word in words))
    assert status == 2
    assert "cannot be used" in told or "no file name can hold" in told
    assert [path.name for path in tmp_path.iterdir()] == ["loop"]


def test_a_text_that_has_no_end(site, said):
    status, told = said("ask", site, "a" * 20_001)
    assert (status, "wanted at most 20,000" in told) == (2, True)


def test_line_breaks_in_a_note_are_no_control_characters(site, said):
    assert said("ask", site, "should I\ndethatch", "--on", "2026-09-05")[0] == 0
