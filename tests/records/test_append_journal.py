"""Nothing that is written to the journal is ever lost or changed."""

from __future__ import annotations

import csv
import datetime as dt
import io
import subprocess
import sys
from collections.abc import Mapping
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.base.problems import BadInput
from advisor.records import append_journal
from advisor.records.append_journal import append, undo
from advisor.records.entry import HEADER, FactRule, NewEntry, check_new
from advisor.records.journal import JournalRules, read_journal

pytestmark = pytest.mark.slow

DAY = dt.date(2026, 9, 1)
MOWED = NewEntry(DAY, "work", "mowing", "passes=1", "front", 'short, "very"')
WRITER = """
import datetime as dt, sys
from pathlib import Path
from advisor.records.append_journal import append
from advisor.records.entry import NewEntry
for i in range(1000):
    note = f"{sys.argv[2]} {i}"
    append(Path(sys.argv[1]), [NewEntry(dt.date(2026, 9, 1), "work", "mowing", note=note)])
"""


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "journal.csv"


def test_two_processes_lose_nothing(path: Path) -> None:
    command = [sys.executable, "-c", WRITER, str(path)]
    root = Path(__file__).parents[2]
    writers = [subprocess.Popen([*command, name], cwd=root) for name in ("left", "right")]
    assert [writer.wait(timeout=120) for writer in writers] == [0, 0]
    entries = read_journal(path, {}, frozenset({"mowing"}), DAY).entries
    assert len({entry.id for entry in entries}) == len(entries) == 2000
    for name in ("left", "right"):
        notes = [entry.note for entry in entries if entry.note.startswith(name)]
        assert notes == [f"{name} {i}" for i in range(1000)]
    # They did write at once, or the test would show nothing: one after the other is one switch.
    switches = sum(a.note[0] != b.note[0] for a, b in pairwise(entries))
    assert switches > 1


def test_first_record_makes_the_file(path: Path) -> None:
    assert append(path, [MOWED, MOWED]) == ("r1", "r2")
    line = '2026-09-01,work,mowing,passes=1,front,"short, ""very"""'
    assert path.read_text() == f"{HEADER}\nr1,{line}\nr2,{line}\n"


def test_bytes_that_are_there_stay(path: Path) -> None:
    before = f"\ufeff{HEADER}\r\n\r\nx7,2026-09-01,work,nonsense,,,\r\nr41,,,,,,\r\n".encode()
    path.write_bytes(before)
    assert append(path, [MOWED]) == ("r42",)
    assert path.read_bytes().startswith(before + b"r42,")


def test_an_open_last_line_is_ended(path: Path) -> None:
    before = f"{HEADER}\nr1,2026-09-01,work,mowing,,,".encode()
    path.write_bytes(before)
    assert append(path, [MOWED]) == ("r2",)
    assert path.read_bytes().startswith(before + b"\nr2,2026-09-01,")


def test_quoted_ids_of_spreadsheets_count(path: Path) -> None:
    path.write_text(f'{HEADER}\n"r9","2026-09-01","work","mowing","","",""\n')
    assert append(path, [MOWED]) == ("r10",)


def test_nothing_to_write_writes_nothing(path: Path) -> None:
    assert append(path, []) == ()
    assert not path.exists()


@pytest.mark.parametrize("text", ["name,date\n1,2\n", "\n\n", "id;date;kind\n"])
def test_a_file_that_is_no_journal_is_left_alone(path: Path, text: str) -> None:
    path.write_text(text)
    with pytest.raises(BadInput):
        append(path, [MOWED])
    assert path.read_text() == text


cell = st.text(
    st.characters(codec="utf-8", exclude_categories=["Cc", "Cs", "Zs", "Zl", "Zp"]), max_size=20
)


@settings(max_examples=60)
@given(notes=st.lists(cell, min_size=1, max_size=4))
def test_any_note_comes_back(tmp_path_factory: pytest.TempPathFactory, notes: list[str]) -> None:
    path = tmp_path_factory.mktemp("any") / "journal.csv"
    append(path, [NewEntry(DAY, "work", "mowing", note=note) for note in notes])
    entries = read_journal(path, {}, frozenset({"mowing"}), DAY).entries
    assert [entry.note for entry in entries] == notes
    with path.open(newline="", encoding="utf-8") as file:
        assert [row["note"] for row in csv.DictReader(file)] == notes


def test_a_note_is_kept_on_one_line(path: Path) -> None:
    append(path, [NewEntry(DAY, "work", "mowing", note=" cut\r\nand\0bagged\n")])
    assert read_journal(path, {}, frozenset({"mowing"}), DAY).entries[0].note == "cut and bagged"


def test_a_disk_that_fills_up_leaves_no_part(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    append(path, [MOWED])
    before = path.read_bytes()

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(append_journal.os, "fsync", full)
    with pytest.raises(BadInput) as caught:
        append(path, [MOWED])
    assert str(caught.value) == f"{path}: cannot be written: No space left on device"
    assert path.read_bytes() == before


def test_a_part_of_a_record_is_taken_back(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    append(path, [MOWED])
    before = path.read_bytes()

    class Short(io.FileIO):
        def write(self, data: bytes) -> int:  # type: ignore[override]
            return super().write(data[:7])

    whole = Path.open

    def opened(self: Path, mode: str = "r", *rest: object, **named: object) -> object:
        return Short(self, "ab") if mode == "ab" else whole(self, mode, *rest, **named)

    monkeypatch.setattr(Path, "open", opened)
    with pytest.raises(BadInput, match="cannot be written: the disk took only a part"):
        append(path, [MOWED])
    monkeypatch.undo()
    assert path.read_bytes() == before


def test_a_lock_that_is_held_is_told(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from filelock import FileLock

    monkeypatch.setattr(append_journal, "LONGEST_WAIT_SECONDS", 0.1)
    with FileLock(path.with_name(".journal.csv.lock")), pytest.raises(BadInput) as caught:
        append(path, [MOWED])
    wanted = f"{path}: another program has been writing to it for 0.1 s; try again"
    assert str(caught.value) == wanted


def test_no_such_folder(tmp_path: Path) -> None:
    path = tmp_path / "none" / "journal.csv"
    with pytest.raises(BadInput) as caught:
        append(path, [MOWED])
    assert str(caught.value) == f"{path}: cannot be written: no folder {path.parent}"
    assert not path.parent.exists()


def test_undo(path: Path) -> None:
    append(path, [MOWED, MOWED])
    assert undo(path, "r1", DAY, note="wrong lawn") == "r3"
    journal = read_journal(path, {}, frozenset({"mowing"}), DAY)
    assert [entry.id for entry in journal.standing] == ["r2"]
    assert journal.entries[-1].note == "wrong lawn"


@pytest.mark.parametrize(
    ("record", "said"),
    [
        ("r9", "no record has the id 'r9'"),
        ("r33", "no record has the id 'r33', did you mean 'r3'?"),
        ("r3", "'r3' is an undo itself and cannot be undone; write the record again"),
        ("r1", "'r1' is undone already"),
    ],
)
def test_what_cannot_be_undone(path: Path, record: str, said: str) -> None:
    append(path, [MOWED, MOWED])
    undo(path, "r1", DAY)
    before = path.read_bytes()
    with pytest.raises(BadInput) as caught:
        undo(path, record, DAY)
    assert str(caught.value) == f"{path}: {said}"
    assert path.read_bytes() == before


def test_undo_without_a_journal(path: Path) -> None:
    with pytest.raises(BadInput, match="no record has the id 'r1'"):
        undo(path, "r1", DAY)


def test_a_new_record_is_checked_before_it_is_written(
    facts: Mapping[str, FactRule], today: dt.date
) -> None:
    rules = JournalRules(facts, frozenset({"mowing"}), today, frozenset({"front"}))
    checked = check_new(NewEntry(DAY, "observation", "thatch_depth", "0.8 in"), rules)
    assert checked.value == pytest.approx(20.32)
    assert checked.line == 0
    with pytest.raises(BadInput) as caught:
        check_new(NewEntry(DAY, "observation", "thatch_depth", "0.8 F", "back"), rules)
    assert [str(problem) for problem in caught.value.problems] == [
        "this record: column 6 (area): unknown area 'back'; known: front",
        "this record: column 5 (value): thatch_depth: '0.8 F' is a temperature; "
        "wanted depth in 'mm' or 'cm' or 'in'",
    ]
