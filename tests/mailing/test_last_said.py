"""Each letter tells what has changed since the reader's last one, and nothing to a newcomer."""

from __future__ import annotations

import datetime as dt

import pytest
from here import Here
from kills import store_at
from sqlalchemy import select, update

from advisor.mailing.editions.build import build_edition
from advisor.mailing.letters.letter_key import key_of
from advisor.mailing.readers.weather_places import read_places
from advisor.mailing.store.archive import shown_html, shown_pages
from advisor.mailing.store.edition_tables import approve, copy_of
from advisor.mailing.store.last_said import LastSaid
from advisor.mailing.store.reader_tables import all_readers
from advisor.mailing.store.store import writing
from advisor.mailing.store.tables import edition, letter
from advisor.mailing.use_cases.import_readers import import_readers

from .conftest import HEADER, TODAY, write_list

pytestmark = pytest.mark.slow

FIRST, LATER, LAST = dt.date(2018, 9, 3), dt.date(2018, 9, 17), dt.date(2018, 12, 3)
MOMENT = dt.datetime(2018, 9, 17, 6, tzinfo=dt.UTC).replace(tzinfo=None)
HEADING = "SINCE THE LAST DIGEST"
OLD = (
    *(f"{name}@example.org,,50010,US,tall fescue,,,2018-01-01,form,," for name in "abcd"),
    "k@example.org,,50010,US,Kentucky bluegrass,4000 ft2,,2018-01-01,form,0.9 in,2018-08-20",
)
NEW = tuple(f"{name}@example.org,,50010,US,tall fescue,,,2018-01-01,form,," for name in "xyz")


@pytest.fixture
def sent(on_both, book):
    """A list whose first edition has gone out, and which three readers have joined since."""
    folder = write_list(on_both / "list", OLD)
    store = store_at(on_both)
    import_readers(folder / "readers.csv", store, book, TODAY)
    build(folder, store, book, FIRST)
    set_state(store, FIRST, "done")
    (folder / "readers.csv").write_text("\n".join((HEADER, *NEW)) + "\n")
    import_readers(folder / "readers.csv", store, book, TODAY)
    yield folder, store
    store.dispose()


def build(folder, store, book, first):
    built = build_edition(folder, store, book, first, TODAY, workers=1, pool=Here())
    assert built.failed == []
    return built


def set_state(store, first, state):
    with writing(store) as connection:
        this = update(edition).where(edition.c.first_day == first)
        connection.execute(this.values(state=state))


def letters(store, built):
    names = {one.id: one.address[0] for one in all_readers(store)}
    return {name: copy_of(store, built.edition.id, id) for id, name in names.items()}


def test_a_second_letter_tells_what_changed_and_a_first_does_not(sent, book):
    folder, store = sent
    built = build(folder, store, book, LATER)
    got = letters(store, built)
    assert [name for name, one in got.items() if HEADING in one.text] == list("abcdk")
    # As who had a letter before; but for that, old and new readers are told the same.
    assert got["a"].text == got["d"].text
    head, _, section = got["a"].text.partition(f"{HEADING}\n")
    assert section.startswith("  - ")
    assert got["x"].text.startswith(head)
    # One set of decisions serves both.
    assert (built.distinct, built.decided) == (3, 2)
    again = build(folder, store, book, LATER)
    assert (again.written, again.dropped, again.decided) == (0, 0, 0)


def test_only_a_letter_that_set_out_was_said(sent, book):
    folder, store = sent
    set_state(store, FIRST, "approved")
    assert HEADING not in letters(store, build(folder, store, book, LATER))["a"].text
    set_state(store, FIRST, "sending")
    again = build(folder, store, book, LATER)
    assert again.written == len(OLD)
    assert HEADING in letters(store, again)["a"].text


def test_who_got_no_mail_is_told_of_the_letter_before(sent, book):
    _, store = sent
    ids = [one.id for one in all_readers(store)]
    before = LastSaid(store, LATER).of(ids)
    assert len(before) == len(OLD)
    assert all(before.values())
    with writing(store) as connection:
        values = {"list_name": "list", "rulebook_hash": "0" * 64, "state": "done"}
        week = FIRST + dt.timedelta(days=7)
        connection.execute(edition.insert().values(first_day=week, **values))
        id = connection.scalar(select(edition.c.id).where(edition.c.first_day == week))
        connection.execute(
            letter.insert().values(hash="n", content_key="n", subject="", text="", html="")
        )
        none = connection.scalar(select(letter.c.id).where(letter.c.hash == "n"))
        connection.execute(
            letter.metadata.tables["copy"].insert(),
            [{"edition_id": id, "reader_id": one, "letter_id": none} for one in ids],
        )
    assert LastSaid(store, LATER).of(ids) == before
    # What was said a season ago is no news.
    assert LastSaid(store, LAST).of(ids) == {}


def test_a_letter_from_before_has_nothing_to_compare(sent, book):
    folder, store = sent
    with writing(store) as connection:
        connection.execute(update(letter).values(said=b""))
    built = build(folder, store, book, LATER)
    assert not any(HEADING in one.text for one in letters(store, built).values())
    assert built.distinct == 2


def test_of_old_and_new_readers_one_page_is_shown(sent, book):
    folder, store = sent
    built = build(folder, store, book, LATER)
    assert approve(store, built.edition.id, MOMENT)
    shown, more = shown_pages(store, built.edition.id)
    assert (len(shown), more) == (1, False)
    # Four old readers got one, three new ones another.
    assert "Since the last digest" in shown_html(store, built.edition.id, shown[0].number)


def test_calendars_and_letters_go_on_under_the_hashes_they_had(sent):
    folder, store = sent
    cell = read_places(folder)[0]
    reader = all_readers(store)[0]
    key = key_of(reader, cell)
    assert key_of(reader, cell, "[]").line == key.line
    assert key_of(reader, cell, "[]").told_nothing
    assert key_of(reader, cell, "[]").hashed() != key.hashed()
