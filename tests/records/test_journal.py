"""What a journal says on a day."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.base.problems import BadInput
from advisor.base.record import replace
from advisor.records.entry import HEADER, FactRule
from advisor.records.journal import Journal, read_journal

LINES = """\
r1,2026-08-01,observation,thatch_depth,0.8 in,,whole lawn
r2,2026-08-20,observation,thatch_depth,½ in,front,"two plugs, ""front"" only"
r3,2026-08-10,observation,thatch_depth,15 mm,back,

r4,2026-09-01,work,core_aeration,passes=3; Depth=3 in; machine=hired,front,
r5,2026-09-02,work,core_aeration,,back,entered by mistake
r6,2026-09-05,undo,r5,,,
,,,,,,
r7,2026-09-03,wish,overseeding,,,
r8,2026-09-08,wish,overseeding,no,,
r9,2026-09-09,observation,turf_state,Green and growing,,=1+1
r10,2026-09-09,observation,footprints_stay,no,,
r11,2026-09-09,observation,label_wait_until,2026-09-10,,
r12,2026-09-10,observation,soil_thermometer,58 F,,[08:00]
"""


@pytest.fixture
def journal(
    tmp_path: Path, facts: Mapping[str, FactRule], operations: dict[str, object], today: dt.date
) -> Journal:
    path = tmp_path / "journal.csv"
    path.write_text(f"{HEADER}\n{LINES}", encoding="utf-8")
    return read_journal(path, facts, frozenset(operations), today, frozenset({"front", "back"}))


def day(text: str) -> dt.date:
    return dt.date.fromisoformat(f"2026-{text}")


def test_values_are_typed(journal: Journal) -> None:
    by_id = {entry.id: entry for entry in journal.entries}
    assert by_id["r1"].value == pytest.approx(20.32)
    assert by_id["r1"].text == "0.8 in"
    assert by_id["r2"].value == pytest.approx(12.7)
    assert by_id["r2"].note == 'two plugs, "front" only'
    assert by_id["r4"].details == {"passes": 3, "depth": pytest.approx(76.2), "machine": "hired"}
    assert by_id["r4"].value is None
    assert by_id["r7"].value is True
    assert by_id["r8"].value is False
    assert by_id["r9"].value == "green_and_growing"
    assert by_id["r9"].note == "=1+1"
    assert by_id["r10"].value is False
    assert by_id["r11"].value == day("09-10")
    assert by_id["r12"].value == pytest.approx(14.4444, abs=1e-3)
    assert by_id["r12"].time_of_day == dt.time(8)
    assert by_id["r1"].time_of_day is None
    assert [by_id[name].line for name in ("r1", "r4", "r7")] == [2, 6, 10]


def test_latest_by_date_not_by_line(journal: Journal) -> None:
    def found(area: str | None) -> str:
        entry = journal.latest("thatch_depth", area)
        assert entry
        return entry.id

    assert found(None) == "r2"
    assert found("front") == "r2"
    # A record of the whole lawn speaks of each area, until the area has a later one of its own.
    assert found("back") == "r3"
    assert journal.as_of(day("08-09")).latest("thatch_depth", "back") == journal.entries[0]
    assert journal.latest("soil_ph") is None
    assert [entry.id for entry in journal.observations("thatch_depth")] == ["r1", "r3", "r2"]


def test_the_later_line_of_one_day_stands(journal: Journal) -> None:
    first = journal.entries[0]
    twice = Journal((first, replace(first, id="x"), replace(first, id="y")))
    latest = twice.latest("thatch_depth")
    assert latest
    assert latest.id == "y"


def test_undone_records_are_gone(journal: Journal) -> None:
    last = journal.last_done("core_aeration")
    assert last
    assert last.id == "r4"
    assert journal.last_done("core_aeration", "back") is None
    assert journal.last_done("mowing") is None


def test_as_of_hides_what_came_later(journal: Journal) -> None:
    # On 3 September the mistake of the second was not yet undone.
    then = journal.as_of(day("09-03"))
    last = then.last_done("core_aeration")
    assert last
    assert last.id == "r5"
    assert all(entry.date <= day("09-03") for entry in then.entries)
    assert journal.as_of(day("09-05")).last_done("core_aeration") == journal.entries[3]
    assert journal.as_of(day("07-01")).entries == ()


def test_wishes(journal: Journal) -> None:
    assert {what: entry.value for what, entry in journal.wishes().items()} == {"overseeding": False}
    assert journal.as_of(day("09-07")).wishes()["overseeding"].value is True
    assert journal.wishes(since=day("09-09")) == {}
    assert set(journal.wishes(since=day("09-08"))) == {"overseeding"}
    front = replace(journal.entries[7], id="w", area="front")
    assert front.kind == "wish"
    assert Journal((front,)).wishes("back") == {}
    assert set(Journal((front,)).wishes("front")) == {"overseeding"}


def test_work_since(journal: Journal) -> None:
    assert [entry.id for entry in journal.work("core_aeration")] == ["r4"]
    assert journal.work("core_aeration", since=day("09-02")) == ()
    assert [entry.id for entry in journal.work("core_aeration", since=day("09-01"))] == ["r4"]
    # A wish for an operation is no work.
    assert journal.work("overseeding") == ()
    assert journal.work("core_aeration", "back") == ()


def test_no_file_is_no_record(tmp_path: Path, today: dt.date) -> None:
    assert read_journal(tmp_path / "journal.csv", {}, frozenset(), today) == Journal()


def test_windows_line_ends_and_byte_order_mark(
    tmp_path: Path, facts: Mapping[str, FactRule], today: dt.date
) -> None:
    path = tmp_path / "journal.csv"
    line = "r1,2026-08-01,observation,soil_ph,6.2,,fine"
    path.write_bytes(f"\ufeff{HEADER}\r\n{line}\r\n".encode())
    entry = read_journal(path, facts, frozenset(), today).entries[0]
    assert (entry.value, entry.note) == (6.2, "fine")


def test_any_area_passes_where_none_are_known(
    tmp_path: Path, facts: Mapping[str, FactRule], today: dt.date
) -> None:
    path = tmp_path / "journal.csv"
    path.write_text(f"{HEADER}\nr1,2026-08-01,observation,soil_ph,6.2,Back yard,\n")
    assert read_journal(path, facts, frozenset(), today).entries[0].area == "back_yard"


@settings(max_examples=150)
@given(raw=st.one_of(st.binary(max_size=200), st.text(alphabet='r1,";\n\r =\0é', max_size=80)))
def test_any_bytes_are_read_or_refused(
    tmp_path_factory: pytest.TempPathFactory, raw: bytes | str
) -> None:
    path = tmp_path_factory.mktemp("any") / "journal.csv"
    tail = raw if isinstance(raw, bytes) else raw.encode()
    path.write_bytes(f"{HEADER}\n".encode() + tail)
    try:
        journal = read_journal(path, {}, frozenset({"mowing"}), dt.date(2026, 9, 16))
    except BadInput as error:
        assert error.problems, "a refusal names what is wrong"  # noqa: PT017
    else:
        assert all(entry.kind in ("work", "wish", "undo") for entry in journal.entries)
