"""Rows that are refused, with the exact words; and what no import can undo."""

from __future__ import annotations

import csv
import io

import pytest

from advisor.base.problems import BadInput
from advisor.mailing.mails.cells_text import csv_text
from advisor.mailing.store.reader_tables import (
    all_readers,
    erase_reader,
    export_reader,
    find_reader,
    reader_pages,
    suppress,
)
from advisor.mailing.store.store import open_store
from advisor.mailing.use_cases.import_readers import import_readers

from .conftest import HEADER, TODAY

GOOD = {
    "address": "a@example.org", "name": "Ann", "place": "50010", "country": "US",
    "grass": "tall fescue", "area": "4000 ft2", "units": "us", "permission_on": "2026-01-01",
    "permission_source": "form", "thatch_depth": "0.8 in", "measured_on": "2026-08-20",
}  # fmt: skip
CASES = [
    ("address", "", "address: is missing"),
    ("address", "Ann", "address: 'Ann' is no mail address (An email address must have an @-sign); "
     "wanted one as you@example.org"),
    ("address", "a@b@example.org", None),
    ("address", "a@example.org\x00", "address: 'a@example.org\\x00' holds a control character "
     "(U+0000); remove it"),
    ("address", '"a b"@example.org', None),
    ("address", "a@[127.0.0.1]", None),
    ("name", "=?utf-8?q?=0ABcc:x?=", "name: '=?utf-8?q?=0ABcc:x?=' holds '=?' or '?=', which mail "
     "programs decode; write it differently"),
    ("name", "<b>Ann</b>", "name: '<b>Ann</b>' holds '<' or '>'; wanted plain text without HTML"),
    ("name", "=HYPERLINK(1)", "name: '=HYPERLINK(1)' begins with '=', which spreadsheets run as a "
     "formula; remove it"),
    ("name", "x" * 121, f"name: '{'x' * 40}…' has 121 characters; wanted at most 120"),
    ("place", "Xyzzyville", None),
    ("place", "-91, 0", None),
    ("place", "Springfield", None),
    ("place", "-1+cmd|'/C calc'!A0", "place: '-1+cmd|'/C calc'!A0' begins with '-', which "
     "spreadsheets run as a formula; remove it"),
    ("country", "USA", "country: 'USA' is no country; wanted its two letters, such as US"),
    ("country", "NZ", "place: '50010' lies in US, not in NZ"),
    ("grass", "Kentucky blugrass", "grass: 'Kentucky blugrass' is no grass of the rule book, did "
     "you mean 'kentucky_bluegrass'?"),
    ("area", "4000", None),
    ("area", "0 ft2", None),
    ("units", "furlongs", "units: 'furlongs' is no system of units; wanted us or metric"),
    ("permission_on", "", "permission_on: is missing"),
    ("permission_on", "1.2.2026", "permission_on: '1.2.2026' is no date; wanted YYYY-MM-DD"),
    ("permission_on", "2027-01-01", "permission_on: '2027-01-01' lies in the future (today is "
     "2026-11-25)"),
    ("permission_source", "", "permission_source: is missing"),
    ("thatch_depth", "thick", None),
    ("measured_on", "", "thatch_depth: '0.8 in' has no day; wanted a date in the column "
     "measured_on"),
]  # fmt: skip


def write(path, *rows):
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(HEADER.split(","))
    writer.writerows(rows)
    path.write_text(out.getvalue(), encoding="utf-8")
    return path


def row(**changed):
    return [(GOOD | changed)[name] for name in HEADER.split(",")]


@pytest.fixture
def store(tmp_path):
    return open_store(tmp_path / "mail.db")


@pytest.mark.parametrize(("field", "value", "says"), CASES)
def test_a_wrong_field_is_told_and_the_other_rows_stay(tmp_path, store, book, field, value, says):
    file = write(tmp_path / "r.csv", row(**{field: value}), row(address="b@example.org"))
    done = import_readers(file, store, book, TODAY)
    assert [reader.address for reader in all_readers(store)] == ["b@example.org"]
    (refusal,) = done.refused
    assert refusal.line == 2
    if says is None:
        assert refusal.field == field
        assert refusal.why
    else:
        assert str(refusal) == f"line 2, {says}"


def test_every_wrong_field_of_a_row_is_told(tmp_path, store, book):
    file = write(tmp_path / "r.csv", row(address="x", grass="moss", permission_source=""))
    done = import_readers(file, store, book, TODAY)
    assert [r.field for r in done.refused] == ["address", "grass", "permission_source"]
    assert done.refused_rows == done.rows == 1


def test_broken_lines_spoil_only_themselves(tmp_path, store, book):
    file = write(tmp_path / "r.csv", row())
    good = file.read_bytes()
    file.write_bytes(good + b'"open,quote\n\xff\xfe,x\na,b\n\n' + b"one\rtwo\n")
    done = import_readers(file, store, book, TODAY)
    assert (done.rows, done.added) == (5, 1)
    assert [str(r) for r in done.refused] == [
        "line 3, row: is no CSV (unexpected end of data); close its quotes",
        "line 4, row: is not UTF-8 text; save the file as CSV in UTF-8",
        "line 5, row: has 2 cells; wanted 11, as the header has",
        "line 7, row: holds a carriage return; remove it",
    ]


def test_a_wrong_header_changes_nothing(tmp_path, store, book):
    (tmp_path / "r.csv").write_text("address,plaice,grass,permission_on,permission_source\n")
    with pytest.raises(BadInput, match=r"column 'plaice' is not known, did you mean 'place'\?"):
        import_readers(tmp_path / "r.csv", store, book, TODAY)


def test_the_same_address_twice_and_the_same_file_twice(tmp_path, store, book):
    file = write(tmp_path / "r.csv", row(), row(address="A@EXAMPLE.ORG"))
    done = import_readers(file, store, book, TODAY)
    assert str(done.refused[0]) == (
        "line 3, address: 'A@example.org' stands on line 2 already; keep one"
    )
    again = import_readers(file, store, book, TODAY)
    assert (again.added, again.changed, again.unchanged) == (0, 0, 1)
    file = write(tmp_path / "r.csv", row(name="Anna"))
    changed = import_readers(file, store, book, TODAY)
    assert (changed.added, changed.changed) == (0, 1)
    assert find_reader(store, "a@EXAMPLE.org").name == "Anna"


def test_a_list_longer_than_a_page_is_one_list(tmp_path, store, book, monkeypatch):
    monkeypatch.setattr("advisor.mailing.use_cases.import_readers.PAGE", 2)
    names = ("a", "b", "c", "A", "d", "c", "e")
    file = write(tmp_path / "r.csv", *(row(address=f"{name}@example.org") for name in names))
    told = []
    done = import_readers(file, store, book, TODAY, told.append)
    assert (done.rows, done.added, done.refused_rows, done.refused) == (7, 5, 2, ())
    assert [(r.line, r.why) for r in told] == [
        (5, "stands on line 2 already; keep one"), (7, "stands on line 4 already; keep one"),
    ]  # fmt: skip
    assert [r.address[0] for page in reader_pages(store, 2) for r in page] == list("abcde")


def test_a_file_as_spreadsheets_write_it(tmp_path, store, book):
    """A byte order mark, lines that end in CR LF (RFC 4180 section 2), and the last one open."""
    file = write(tmp_path / "r.csv", row(), row(address="b@example.org"))
    plain = file.read_bytes().rstrip(b"\n")
    file.write_bytes(b"\xef\xbb\xbf" + plain.replace(b"\n", b"\r\n"))
    done = import_readers(file, store, book, TODAY)
    assert (done.rows, done.added, done.refused) == (2, 2, ())


def test_a_line_without_end_is_refused_and_not_kept(tmp_path, store, book):
    file = write(tmp_path / "r.csv", row(), row(name="x" * 200_000), row(address="b@example.org"))
    done = import_readers(file, store, book, TODAY)
    assert [str(r) for r in done.refused] == ["line 3, row: is longer than 50,000 bytes"]
    assert (done.rows, done.added) == (3, 2)


def test_no_import_undoes_a_suppression(tmp_path, store, book):
    file = write(tmp_path / "r.csv", row())
    assert suppress(store, "A@example.org", "asked to leave", TODAY)
    assert not suppress(store, "a@example.org", "again", TODAY)
    for _ in range(2):
        done = import_readers(file, store, book, TODAY)
        assert str(done.refused[0]) == (
            "line 2, address: 'a@example.org' was taken off the list on 2026-11-25 (asked to "
            "leave); only consent given after that day brings a reader back"
        )
        assert all_readers(store) == []


def test_a_suppressed_reader_is_kept_but_not_written_to(tmp_path, store, book):
    import_readers(write(tmp_path / "r.csv", row()), store, book, TODAY)
    suppress(store, "a@example.org", "asked to leave", TODAY)
    assert all_readers(store) == []
    assert export_reader(store, "a@example.org")["suppressed"]["reason"] == "asked to leave"


def test_erasing_leaves_nothing_of_a_person_in_any_file(tmp_path, store, book):
    file = write(tmp_path / "r.csv", row(address="zara.quux@example.org", name="Zara Quux"))
    import_readers(file, store, book, TODAY)
    assert b"zara.quux" in b"".join(f.read_bytes() for f in tmp_path.glob("mail.db*"))
    assert erase_reader(store, "Zara.Quux@example.org", TODAY)
    kept = b"".join(f.read_bytes() for f in tmp_path.glob("mail.db*")).lower()
    assert b"quux" not in kept
    assert export_reader(store, "zara.quux@example.org")["reader"] is None
    assert import_readers(file, store, book, TODAY).added == 0


def test_no_cell_of_an_exported_csv_is_a_formula():
    hostile = ("=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", "plain")
    read = next(csv.reader(io.StringIO(csv_text([hostile]))))
    assert read[-1] == "plain"
    assert all(cell.startswith("'") for cell in read[:-1])
