"""An invented list with an edition on its way, and its pages. The weather is an open record."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from mail_samples import IDENTITY, KEY
from web_list import MOMENT, Visitor, made_list, set_out

from advisor.mailing.store.store import open_store
from advisor.rulebook.read_rulebook import read_rulebook
from advisor.web.app import make_app
from advisor.web.served import Served


@pytest.fixture(scope="session")
def book():
    return read_rulebook(cache=False)


@pytest.fixture(scope="session")
def made(tmp_path_factory, book):
    """The list's folder with an approved edition."""
    return made_list(tmp_path_factory.mktemp("web") / "list", book)


@pytest.fixture
def folder(made, tmp_path, monkeypatch):
    """A copy of the list, in the week of its edition."""
    monkeypatch.setenv("ADVISOR_MAIL_KEY", KEY.decode())
    monkeypatch.setattr("advisor.mailing.outbox.outbox.now_utc", lambda: MOMENT)
    return Path(shutil.copytree(made, tmp_path / "list"))


@pytest.fixture
def store(folder):
    found = open_store(folder / "mail.db")
    yield found
    found.dispose()


@pytest.fixture
def log():
    """The lines that the pages' log has got."""
    return []


@pytest.fixture
def web(store, log):
    """Somebody who looks at the pages."""
    return Visitor(make_app(Served(store, IDENTITY, KEY), log.append))


@pytest.fixture
def sent(store):
    """The edition set out, to all."""
    set_out(store)
    return store
