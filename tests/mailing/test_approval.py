"""An approval is given after a look, and can be taken back before the first mail."""

from __future__ import annotations

import pytest
from here import Here
from kills import rules, send, server_process, store_at
from mail_samples import IDENTITY, KEY
from sqlalchemy import select

from advisor.base.problems import BadInput
from advisor.mailing.editions.build import build_edition
from advisor.mailing.outbox.outbox import Outbox, new_owner
from advisor.mailing.outbox.run import put_on_its_way
from advisor.mailing.outbox.take_back import take_back
from advisor.mailing.store.archive import sent_editions, shown_pages
from advisor.mailing.store.edition_tables import mark_seen, open_edition, set_editor
from advisor.mailing.store.outbox_tables import mail, run
from advisor.mailing.store.store import reading
from advisor.mailing.use_cases.editing import approve_edition

from .conftest import TODAY, WEEK

pytestmark = pytest.mark.slow


@pytest.fixture
def built(mailing, book):
    folder, store = mailing
    build_edition(folder, store, book, WEEK, TODAY, workers=1, pool=Here())
    return folder, store


def edition(folder, store):
    return open_edition(store, folder.name, WEEK, "h")


def approve(folder, store):
    mark_seen(store, edition(folder, store))
    return approve_edition(store, edition(folder, store), folder)


def test_nothing_is_approved_that_nobody_looked_at_as_it_is(built, book):
    folder, store = built
    with pytest.raises(BadInput, match="was not looked at since it was built"):
        approve_edition(store, edition(folder, store), folder)
    before = edition(folder, store)
    mark_seen(store, before)
    set_editor(store, before.id, {"note": "Other words."})
    build_edition(folder, store, book, WEEK, TODAY, workers=1, pool=Here())
    # Whoever still looks at the old one has not seen the new one.
    if edition(folder, store).built_at != before.built_at:
        mark_seen(store, before)
    with pytest.raises(BadInput, match="was not looked at since it was built"):
        approve_edition(store, edition(folder, store), folder)
    assert approve(folder, store) == 5
    # A build that changes nothing takes nothing away.
    build_edition(folder, store, book, WEEK, TODAY, workers=1, pool=Here())
    assert edition(folder, store).state == "approved"


def test_an_approval_is_taken_back_before_the_first_mail(built, book, monkeypatch):
    folder, store = built
    approve(folder, store)
    take_back(store, edition(folder, store))
    assert edition(folder, store).state == "draft"
    assert shown_pages(store, edition(folder, store).id) == ([], False)
    assert set_editor(store, edition(folder, store).id, {"note": "Mended."})
    build_edition(folder, store, book, WEEK, TODAY, workers=1, pool=Here())
    approve(folder, store)
    # On its way, but no sender has come: it still can.
    monkeypatch.setattr("advisor.mailing.outbox.run.now", lambda: 1536564000.0)  # 10 Sep 2018
    put_on_its_way(store, edition(folder, store).id, IDENTITY, KEY)
    take_back(store, edition(folder, store))
    assert edition(folder, store).state == "draft"
    assert sent_editions(store) == []
    with reading(store) as db:
        assert db.scalars(select(mail.c.copy_id)).all() == []
        assert db.scalars(select(run.c.edition_id)).all() == []
    with pytest.raises(BadInput, match="is draft; only what is approved can be taken back"):
        take_back(store, edition(folder, store))
    # And once more, all the way.
    approve(folder, store)
    assert put_on_its_way(store, edition(folder, store).id, IDENTITY, KEY) == 5


@pytest.mark.parametrize("how_far", ["claimed", "begun", "sent"])
def test_what_was_begun_is_not_taken_back_and_nothing_of_it_changes(built, monkeypatch, how_far):
    folder, store = built
    approve(folder, store)
    monkeypatch.setattr("advisor.mailing.outbox.run.now", lambda: 1536564000.0)
    id = edition(folder, store).id
    put_on_its_way(store, id, IDENTITY, KEY)
    box = Outbox(store, id, new_owner(), 60.0)
    (claim,) = box.claim(1)
    if how_far != "claimed":
        box.begin(claim, b"x")
    if how_far == "sent":
        box.settle(claim, "sent", 250, "")
    with pytest.raises(BadInput, match="cannot be taken back: 1 of its mails"):
        take_back(store, edition(folder, store))
    assert edition(folder, store).state == "sending"
    with reading(store) as db:
        assert len(db.scalars(select(mail.c.copy_id)).all()) == 5
    if how_far == "claimed":
        box.give_back([claim])
        take_back(store, edition(folder, store))
        assert not box.begin(claim, b"x")


def test_a_folder_that_gets_another_name_keeps_its_editions(tmp_path):
    """Its edition went out; under the new name it is not built and sent a second time."""
    from kills import invented_edition

    invented_edition(tmp_path, 5)
    with server_process(tmp_path, 1) as port:
        send(tmp_path, port, rules(tmp_path, "hold"))
    store = store_at(tmp_path)
    with reading(store) as db:
        from advisor.mailing.store.tables import edition as table

        first_day = db.scalar(select(table.c.first_day))
    again = open_edition(store, "another name", first_day, "h")
    assert (again.id, again.state) == (1, "sending")
    store.dispose()
