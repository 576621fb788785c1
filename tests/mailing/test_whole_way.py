"""From a CSV file to a real SMTP server, by the commands alone; the mails are read back strictly.

Weather: the open records of tests/data. References: RFC 5322, 8058; html5lib's strict parser.
"""

from __future__ import annotations

import datetime as dt
import re
from email import message_from_bytes
from email.policy import default, strict
from pathlib import Path

import html5lib
import pytest
from kills import server_process
from sqlalchemy import select
from typer.testing import CliRunner

from advisor.base.problems import BadInput
from advisor.cli.main import app
from advisor.mailing.mails.tokens import read_leaving_token
from advisor.mailing.store.list_store import VARIABLE
from advisor.mailing.store.store import open_store, reading
from advisor.mailing.store.tables import copy

from .conftest import write_list

pytestmark = pytest.mark.slow

KEY = "an invented key, for tests alone: 0123456789"
LIST = """format: 1
list_id: lawn-week.example.org
name: The lawn week
sender: The lawn week
sender_address: week@example.org
reply_to: editor@example.org
postal_address: 1 Invented Street, Nowhere
leave_url: https://lawn.example.org/leave
leave_mail: leave@example.org
bounces: bounces@example.org
"""
WEEK = ("--week", "2018-09-10")
MOMENT = dt.datetime(2018, 9, 10, 6, 0, tzinfo=dt.UTC)


def advisor(*given):
    done = CliRunner().invoke(app, ["mail", *map(str, given)])
    if isinstance(done.exception, Exception):
        raise done.exception
    assert done.exit_code == 0, done.output
    return done.output


@pytest.fixture
def folder(tmp_path, monkeypatch):
    made = write_list(tmp_path / "list")
    (made / "list.yaml").write_text(LIST)
    monkeypatch.setenv("ADVISOR_MAIL_KEY", KEY)
    # The week of the records; advice of a week that is over is not sent.
    monkeypatch.setattr("advisor.base.dates.now_utc", lambda: MOMENT)
    monkeypatch.setattr("advisor.mailing.outbox.outbox.now_utc", lambda: MOMENT)
    monkeypatch.setenv("ADVISOR_SMTP_HOST", "127.0.0.1")
    return made


@pytest.mark.parametrize("kept", ["sqlite", "postgresql"])
def test_readers_get_their_digests(folder, monkeypatch, request, kept):
    if kept == "postgresql":
        url = request.getfixturevalue("cluster").database()
        monkeypatch.setenv(VARIABLE, url)
    advisor("import", folder / "readers.csv", "--list", folder)
    advisor("note", folder, *WEEK, "--reply-to", "me@example.org")
    advisor("build", folder, *WEEK, "--workers", 1)
    with pytest.raises(BadInput, match="no approved edition"):
        advisor("send", folder)
    preview = ("preview", "a@example.org", "--list", folder, *WEEK, "--eml", folder / "a.eml")
    advisor(*preview)
    before = (folder / "a.eml").read_bytes()
    assert_sound(before)
    advisor("approve", folder, *WEEK)
    advisor("suppress", "b@example.org", "--list", folder)
    assert "4 are written to; 1 addresses" in advisor("readers", "--list", folder)
    with server_process(folder, 1) as port:
        monkeypatch.setenv("ADVISOR_SMTP_PORT", str(port))
        shown = advisor("send", folder)
        assert "5 mails put on their way" in shown
        assert re.search(r"\b4  sent\b", shown)
        assert re.search(r"\b1  suppressed\b", shown)
        advisor("send", folder)
    assert "Nothing is left to send" in advisor("status", folder)
    taken = [line.split()[0] for line in (folder / "journal").read_text().splitlines()]
    assert sorted(taken) == [f"{who}@example.org" for who in "acde"]
    store = open_store(folder / "mail.db" if kept == "sqlite" else url)
    with reading(store) as db:
        mails = [raw for raw in db.scalars(select(copy.c.message)) if raw]
    store.dispose()
    assert len(mails) == 4
    advisor(*preview)
    after = (folder / "a.eml").read_bytes()
    assert after in mails
    assert without_date(after) == without_date(before)
    for raw in mails:
        assert_sound(raw)
    assert '"address": "a@example.org"' in advisor("export", "a@example.org", "--list", folder)
    advisor("erase", "a@example.org", "--list", folder)
    assert '"reader": null' in advisor("export", "a@example.org", "--list", folder)


def test_a_week_that_is_over_is_not_sent(folder, monkeypatch):
    advisor("import", folder / "readers.csv", "--list", folder)
    advisor("build", folder, *WEEK, "--workers", 1)
    advisor("preview", "a@example.org", "--list", folder, *WEEK)
    advisor("approve", folder, *WEEK)
    late = MOMENT + dt.timedelta(days=7)
    monkeypatch.setattr("advisor.mailing.outbox.outbox.now_utc", lambda: late)
    with pytest.raises(BadInput, match="week that is over"):
        advisor("send", folder)


def assert_sound(raw):
    mail = message_from_bytes(raw, policy=strict)
    assert not [defect for part in mail.walk() for defect in part.defects]
    text, page = (p.get_content() for p in message_from_bytes(raw, policy=default).iter_parts())
    assert len(page.encode()) <= 80_000
    tree = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False).parse(page)
    for heading in tree.iter("h3"):
        assert "".join(heading.itertext()).strip() in text
    links = [a.get("href") for a in tree.iter("a")]
    leave = re.search(r"<(https:[^>]+)>", mail["List-Unsubscribe"])[1]
    assert leave in links
    assert leave in text
    assert read_leaving_token(KEY.encode(), leave.rpartition("/")[2])[0] == "lawn-week.example.org"
    assert "1 Invented Street, Nowhere" in text
    assert mail["Reply-To"] == "me@example.org"
    assert "write to me@example.org" in text.replace("\n", " ")


def without_date(raw):
    return re.sub(rb"^Date: .*\r\n", b"", raw, count=1, flags=re.MULTILINE)


def test_a_mail_is_shown_in_a_browser_and_not_without_its_key(folder, monkeypatch):
    opened = []
    advisor("import", folder / "readers.csv", "--list", folder)
    advisor("build", folder, *WEEK, "--workers", 1)
    shown = ("preview", "e@example.org", "--list", folder, *WEEK)
    monkeypatch.setattr("webbrowser.open", lambda uri: opened.append(uri) or True)
    said = advisor(*shown, "--open")
    page = Path(said.removeprefix("Shown from ").strip())
    assert opened == [page.as_uri()]
    assert page.stat().st_mode & 0o077 == 0
    assert "No weather record lies near you yet" in page.read_text(encoding="utf-8")
    page.unlink()
    monkeypatch.setattr("webbrowser.open", lambda uri: False)
    with pytest.raises(BadInput, match="no browser was found; --html FILE"):
        advisor(*shown, "--open")
    monkeypatch.delenv("ADVISOR_MAIL_KEY")
    with pytest.raises(BadInput, match="ADVISOR_MAIL_KEY: is empty; set ADVISOR_MAIL_KEY or"):
        advisor(*shown, "--eml", folder / "e.eml")
    assert not (folder / "e.eml").exists()


@pytest.mark.parametrize(
    ("variables", "said"),
    [
        ({"ADVISOR_MAIL_KEY": ""}, "ADVISOR_MAIL_KEY: is empty"),
        ({"ADVISOR_MAIL_KEY": "short"}, "is too short"),
        ({"ADVISOR_SMTP_PORT": "99999"}, "is no port"),
        ({"ADVISOR_SMTP_SECURITY": "maybe"}, "is unknown"),
        ({"ADVISOR_SMTP_HOST": "mx.example.org", "ADVISOR_SMTP_SECURITY": "none"}, "on the way"),
        ({"ADVISOR_SMTP_USER": "me", "ADVISOR_SMTP_SECURITY": "none"}, "on the way"),
        ({"ADVISOR_SMTP_USER": "me", "ADVISOR_SMTP_SECURITY": "tls"}, "PASSWORD: is empty"),
    ],
)
def test_settings_that_cannot_work_are_named(folder, monkeypatch, variables, said):
    for name, value in variables.items():
        monkeypatch.setenv(name, value)
    with pytest.raises(BadInput, match=re.escape(said)):
        advisor("send", folder)


@pytest.mark.parametrize(
    ("line", "other", "said"),
    [
        ("postal_address: 1 Invented Street, Nowhere\n", "", "'postal_address' is missing"),
        ("https://lawn", "http://lawn", "wanted https"),
        ("format: 1", "format: 2", "format: wanted 1"),
    ],
)
def test_a_list_file_that_will_not_do_is_refused(folder, line, other, said):
    (folder / "list.yaml").write_text(LIST.replace(line, other))
    with pytest.raises(BadInput, match=re.escape(said)):
        advisor("send", folder)
