"""An edition: each distinct digest once and right, frozen, and whole in spite of crashes."""

from __future__ import annotations

import pytest
from here import Here
from sqlalchemy import select

from advisor.base.problems import BadInput
from advisor.base.record import replace
from advisor.mailing.editions.build import CRASHED, build_edition, week_of
from advisor.mailing.editions.pool import SharedWork
from advisor.mailing.letters.compose import Composer, Editor, shortened
from advisor.mailing.letters.letter_key import key_of
from advisor.mailing.readers.reader import Reader
from advisor.mailing.readers.weather_places import cell_weather, read_places
from advisor.mailing.store.edition_tables import copy_of, mark_seen, open_edition, set_editor
from advisor.mailing.store.reader_tables import all_readers, erase_reader, suppress
from advisor.mailing.store.store import open_store, reading
from advisor.mailing.store.tables import copy, letter
from advisor.mailing.use_cases.editing import approve_edition
from advisor.mailing.use_cases.import_readers import import_readers
from advisor.render.digest.render import digest_text
from advisor.render.digest.view import digest_of

from .conftest import ROWS, TODAY, WEEK, write_list


def build(mailing, book, **options):
    """Processes are started only for work that harms them."""
    folder, store = mailing
    how = options or {"pool": Here()}
    return build_edition(folder, store, book, WEEK, TODAY, workers=2, **how)


def copies(store):
    with reading(store) as connection:
        texts = (letter.c.subject, letter.c.text, letter.c.html)
        query = select(copy.c.id, copy.c.reader_id, *texts).join_from(copy, letter)
        return connection.execute(query.order_by(copy.c.reader_id)).all()


def looked_at(store, book):
    mark_seen(store, open_edition(store, "list", week_of(WEEK), book.hash))
    return open_edition(store, "list", week_of(WEEK), book.hash)


def test_build_twice_changes_nothing_and_approval_freezes(mailing, book):
    _, store = mailing
    first = build(mailing, book)
    assert (first.readers, first.distinct, first.written, first.failed) == (5, 4, 5, [])
    before = copies(store)
    assert [row[1] for row in before] == [1, 2, 3, 4, 5]
    # Ann and Bo share the cell, the grass and all else that matters: one digest.
    assert before[0][2:] == before[1][2:]
    second = build(mailing, book)
    assert (second.written, second.decided) == (0, 0)
    assert copies(store) == before

    edition = looked_at(store, book)
    assert approve_edition(store, edition, mailing[0]) == 5
    assert not set_editor(store, edition.id, {"note": "Too late."})
    third = build(mailing, book)
    assert (third.edition.state, third.written) == ("approved", 0)
    assert copies(store) == before


def test_the_editor_speaks_at_the_top_and_must_build_again(mailing, book):
    _, store = mailing
    build(mailing, book)
    edition = open_edition(store, "list", week_of(WEEK), book.hash)
    words = {"note": "Hello <all>.", "question": "Is moss bad?", "correction": "Not 3 in but 2."}
    assert set_editor(store, edition.id, words)
    with pytest.raises(BadInput, match="is not built as it stands"):
        approve_edition(store, open_edition(store, "list", week_of(WEEK), book.hash), mailing[0])
    assert build(mailing, book).written == 5
    letter = copy_of(store, edition.id, 1)
    head, _, _ = letter.text.partition("\nTO DO")
    for said in words.values():
        assert said in head
    assert "Hello &lt;all&gt;." in letter.html
    assert approve_edition(store, looked_at(store, book), mailing[0]) == 5


def test_who_left_gets_no_copy_and_who_is_erased_has_none(mailing, book):
    _, store = mailing
    build(mailing, book)
    suppress(store, "a@example.org", "asked to leave", TODAY)
    erase_reader(store, "b@example.org", TODAY)
    assert [row[1] for row in copies(store)] == [1, 3, 4, 5]
    again = build(mailing, book)
    assert (again.dropped, again.written) == (1, 0)
    assert [row[1] for row in copies(store)] == [3, 4, 5]


@pytest.mark.slow
def test_a_worker_killed_in_the_middle(mailing, book):
    from crashing import killed_once

    _, store = mailing
    built = build(mailing, book, work=killed_once)
    assert built.crashes >= 1
    assert (built.written, built.failed) == (5, [])
    assert [row[1] for row in copies(store)] == [1, 2, 3, 4, 5]


@pytest.mark.slow
def test_a_poisonous_reader_is_reported_and_costs_nobody_else(tmp_path, book):
    from crashing import poisonous

    bad = "z@example.org,Zoe,50010,US,zoysiagrass,,,2018-01-01,form,,"
    folder = write_list(tmp_path / "list", (*ROWS, bad))
    store = open_store(folder / "mail.db")
    import_readers(folder / "readers.csv", store, book, TODAY)
    built = build((folder, store), book, work=poisonous)
    assert built.failed == [(6, CRASHED)]
    assert [row[1] for row in copies(store)] == [1, 2, 3, 4, 5]
    with pytest.raises(BadInput, match="1 readers have no copy"):
        approve_edition(store, open_edition(store, "list", week_of(WEEK), book.hash), folder)


def test_a_build_that_was_stopped_goes_on_where_it_was(mailing, book):
    from crashing import interrupted

    folder, store = mailing
    (folder / "stop").touch()
    with pytest.raises(KeyboardInterrupt):
        build(mailing, book, work=interrupted)
    done = len(copies(store))
    (folder / "stop").unlink()
    built = build(mailing, book, work=interrupted)
    assert built.written == 5 - done
    assert len(copies(store)) == 5


def test_the_pool_finds_the_one_that_crashes():
    from crashing_numbers import double, halves

    work = SharedWork(double, halves, 2, lambda share: 60.0)
    shares = [tuple(range(start, start + 4)) for start in range(0, 24, 4)]
    found = dict(work.run(shares))
    assert found.pop((13,)) is None
    assert {n for share in found for n in share} == set(range(24)) - {13}
    assert sorted(n for share in found for n in share) == sorted(set(range(24)) - {13})
    assert all(result == [2 * n for n in share] for share, result in found.items())


@pytest.mark.slow
def test_a_process_that_hangs_is_ended_and_its_share_found_out():
    from crashing_numbers import halves, sleeper, stuck_in_c

    work = SharedWork(sleeper, halves, 2, lambda share: 1.0)
    found = dict(work.run([(1, 2), (6, 7), (8, 9)]))
    assert found == {(1, 2): [2, 4], (6,): [12], (7,): None, (8, 9): [16, 18]}
    assert work.crashes == 3
    # Code that never lets Python run again is ended too.
    assert list(SharedWork(stuck_in_c, halves, 1, lambda share: 1.0).run([(1,)])) == [((1,), None)]


def test_shares_are_asked_for_only_when_they_are_worked_on():
    from crashing_numbers import double, halves

    asked = 0

    def shares():
        nonlocal asked
        for n in range(40):
            asked += 1
            yield (100 + n,)

    for number, _ in enumerate(SharedWork(double, halves, 2, lambda share: 60.0).run(shares()), 1):
        assert asked <= number + 4


def test_no_weather_near_is_said(mailing, book):
    _, store = mailing
    build(mailing, book)
    ed = next(r for r in all_readers(store) if r.address == "e@example.org")
    letter = copy_of(store, 1, ed.id)
    assert "No weather record lies near you yet" in letter.text
    assert "FIND OUT" not in letter.text
    assert "Weather: no record yet." in letter.text


def test_a_week_with_nothing_to_do_is_a_short_mail(tmp_path, book):
    folder = write_list(tmp_path)
    cell = read_places(folder)[0]
    reader = Reader("x@example.org", "X", 42.0, -93.1, "50010", "US", "IA", "", "tall_fescue",
                    None, "us", TODAY, "form")  # fmt: skip
    composer = Composer(cell_weather(folder, cell, TODAY), book, WEEK, TODAY, Editor())
    week = composer.week_of(key_of(reader, cell))
    full = digest_of(week)
    idle = replace(full, tasks=(), finding=None, dated=(), held=(), care=("Mind.",), leave="x")
    short = digest_text(shortened(idle))
    assert len(short.split()) < 120 < len(digest_text(full).split())
    assert shortened(full) == full
    assert "Weather: record of central Iowa" in short


def test_who_does_not_know_the_grass_is_told_no_amounts(tmp_path):
    cell = read_places(write_list(tmp_path))[0]
    reader = Reader("x@example.org", "X", 42.0, -93.1, "50010", "US", "IA", "", "dont_know",
                    400.0, "us", TODAY, "form")  # fmt: skip
    assert key_of(reader, cell).area_m2 is None
