"""Each broken site file and journal gives exactly the message that stands beside it."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from pathlib import Path

import pytest

from advisor.base.problems import BadInput
from advisor.base.strict_yaml import load_file
from advisor.records.check_site import check_site
from advisor.records.entry import HEADER
from advisor.records.journal import LARGEST_BYTES, read_journal
from advisor.records.read_site import read_site

HERE = Path(__file__).parent
SITES = sorted((HERE / "site").glob("*.yaml"))
JOURNALS = sorted((HERE / "journal").glob("*.csv"))
TODAY = dt.date(2026, 9, 16)
GRASSES = {"kentucky_bluegrass", "perennial_ryegrass", "tall_fescue"}
OPERATIONS = frozenset({"core_aeration", "feeding", "mowing", "overseeding"})


@dataclass(frozen=True)
class Fact:
    name: str
    kind: str
    unit: str = ""
    choices: tuple[str, ...] = ()
    lowest: float | None = None
    highest: float | None = None


FACTS = {
    fact.name: fact
    for fact in (
        Fact("thatch_depth", "number", "mm", lowest=0, highest=150),
        Fact("soil_ph", "number", lowest=3, highest=10),
        Fact("days_of_rain", "number", "d", lowest=0),
        Fact("days_dry", "number", "d", highest=366),
        Fact("turf_state", "choice", choices=("growing", "stressed", "dormant")),
        Fact("footprints_stay", "flag"),
        Fact("sown_day", "date"),
        Fact("weeds", "number", "share"),
        Fact("worms", "flag"),
        Fact("shade", "number", "share"),
    )
}


def read_broken_site(path: Path) -> None:
    check_site(load_file(path, path.name), GRASSES, TODAY)


def read_broken_journal(path: Path) -> None:
    read_journal(path, FACTS, OPERATIONS, TODAY, areas=frozenset({"front", "back"}))


def test_there_are_cases() -> None:
    assert len(SITES) >= 30
    assert len(JOURNALS) >= 20


@pytest.mark.parametrize("path", SITES, ids=lambda path: path.stem)
def test_broken_site_file(path: Path) -> None:
    with pytest.raises(BadInput) as caught:
        read_broken_site(path)
    assert f"{caught.value}\n" == path.with_suffix(".expected").read_text(encoding="utf-8")


@pytest.mark.parametrize("path", JOURNALS, ids=lambda path: path.stem)
def test_broken_journal(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(path.parent)
    with pytest.raises(BadInput) as caught:
        read_broken_journal(Path(path.name))
    assert f"{caught.value}\n" == path.with_suffix(".expected").read_text(encoding="utf-8")


def test_no_such_folder(tmp_path: Path) -> None:
    folder = tmp_path / "nowhere"
    with pytest.raises(BadInput) as caught:
        read_site(folder, GRASSES, TODAY)
    assert str(caught.value) == f"{folder}: no such folder"


def test_a_file_instead_of_a_folder(tmp_path: Path) -> None:
    file = tmp_path / "site.yaml"
    file.write_text("format: 1\n")
    with pytest.raises(BadInput) as caught:
        read_site(file, GRASSES, TODAY)
    assert str(caught.value) == f"{file}: not a folder; name the site's folder"


def test_folder_without_a_site(tmp_path: Path) -> None:
    with pytest.raises(BadInput) as caught:
        read_site(tmp_path, GRASSES, TODAY)
    wanted = f"{tmp_path}: no site.yaml in this folder; 'advisor new {tmp_path}' writes one"
    assert str(caught.value) == wanted


def test_journal_that_is_a_folder(tmp_path: Path) -> None:
    with pytest.raises(BadInput) as caught:
        read_broken_journal(tmp_path)
    assert str(caught.value) == f"{tmp_path}: cannot be read: Is a directory"


def test_journal_far_too_large(tmp_path: Path) -> None:
    path = tmp_path / "journal.csv"
    with path.open("wb") as file:
        file.truncate(LARGEST_BYTES + 5_000_000)
    with pytest.raises(BadInput) as caught:
        read_broken_journal(path)
    wanted = f"{path}: 25 MB is too large for a journal (at most 20 MB); is this the file?"
    assert str(caught.value) == wanted


def test_cell_beyond_what_csv_reads(tmp_path: Path) -> None:
    path = tmp_path / "journal.csv"
    path.write_text(f"{HEADER}\nr1,2026-09-02,work,mowing,,,{'x' * 140_000}\n")
    with pytest.raises(BadInput) as caught:
        read_broken_journal(path)
    wanted = f"{path}:2: cannot be read as CSV: field larger than field limit (131072)"
    assert str(caught.value) == wanted


def test_the_first_hundred_problems_are_told(tmp_path: Path) -> None:
    path = tmp_path / "journal.csv"
    lines = [f"r{i},2026-09-02,work,mowng,,," for i in range(130)]
    path.write_text("\n".join([HEADER, *lines]))
    with pytest.raises(BadInput) as caught:
        read_broken_journal(path)
    told = [str(problem) for problem in caught.value.problems]
    unknown = "column 4 (what): unknown operation 'mowng', did you mean 'mowing'?"
    assert told[:100] == [f"{path}:{line}: {unknown}" for line in range(2, 102)]
    assert told[100:] == [f"{path}:102: 30 more problems from here on; mend the ones above first"]
