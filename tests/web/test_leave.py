"""Leaving by one click or by the page: RFC 8058 (one-click), RFC 9110 (HTTP)."""

from __future__ import annotations

import random
import re
import sqlite3
import string
import threading
import time
from concurrent.futures import ThreadPoolExecutor

import html5lib
import pytest
from mail_samples import IDENTITY, KEY
from sqlalchemy import func, select
from web_list import Visitor

from advisor.base.record import replace
from advisor.mailing.mails.tokens import calendar_token, leaving_token
from advisor.mailing.store.reader_tables import erase_reader, find_reader, put_readers, suppressed
from advisor.mailing.store.store import reading
from advisor.mailing.store.tables import suppression
from advisor.web.app import make_app
from advisor.web.guarded import MOST_BYTES
from advisor.web.served import Served

ONE_CLICK = {"List-Unsubscribe": "One-Click"}  # RFC 8058 section 3.1
ANN = leaving_token(KEY, IDENTITY.list_id, "1")
AT = f"/leave/{ANN}"
ADDRESS = "a@example.org"
DRAW = random.Random(8058)


def left(store):
    with reading(store) as db:
        return db.scalar(select(func.count()).select_from(suppression))


def altered(token, number):
    """So many other tokens, each a slip or a guess away."""
    letters = string.ascii_letters + string.digits + "-_"
    found = set()
    while len(found) < number:
        at, kind = DRAW.randrange(len(token)), DRAW.randrange(6)
        letter = DRAW.choice(letters)
        other = (
            token[:at] + letter + token[at + 1 :],
            token[:at] + token[at + 1 :],
            token[:at] + letter + token[at:],
            token[:at],
            token + letter,
            "".join(DRAW.choice(letters) for _ in token),
        )[kind]
        if other and other != token:
            found.add(other)
    return sorted(found)


def test_looking_changes_nothing(web, store):
    # Section 3.1's reason: programs that check mails fetch what is linked in them.
    for _ in range(20):
        assert web.get(AT).status_code == 200
        assert web.ask("HEAD", AT).status_code == 200
    assert left(store) == 0
    assert web.ask("HEAD", AT).headers["content-length"] == web.get(AT).headers["content-length"]


def test_the_page_has_one_button_and_it_works(web, store):
    page = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False).parse(web.get(AT).text)
    forms = page.findall(".//form")
    assert [form.get("method") for form in forms] == ["post"]
    assert forms[0].get("action") is None  # to the page's own address
    assert len(page.findall(".//button")) == 1
    fields = {field.get("name"): field.get("value") for field in forms[0].findall("input")}
    done = web.post(AT, data=fields)
    assert (done.status_code, left(store)) == (200, 1)
    assert "You are off the list" in done.text


@pytest.mark.parametrize("how", ["multipart", "urlencoded"])
def test_one_click(web, store, how):
    # Section 3.2: multipart/form-data should be used, urlencoded may be; httpx makes the bodies.
    body = {"files": {k: (None, v) for k, v in ONE_CLICK.items()}} if how == "multipart" else {
        "data": ONE_CLICK
    }  # fmt: skip
    done = web.post(AT, **body)
    assert done.request.headers["content-type"].startswith(
        "multipart/form-data" if how == "multipart" else "application/x-www-form-urlencoded"
    )
    # Section 3.1: no redirect, and no cookie is asked for.
    assert (done.status_code, done.headers.get("set-cookie")) == (200, None)
    assert suppressed(store, [ADDRESS])
    assert not suppressed(store, ["b@example.org"])


def test_the_body_as_section_8_2_spells_it(web, store):
    body = (
        b"-----FormBoundaryjWmhtjORrn\r\n"
        b'Content-Disposition: form-data; name="List-Unsubscribe"\r\n\r\n'
        b"One-Click\r\n-----FormBoundaryjWmhtjORrn--\r\n"
    )
    kind = "multipart/form-data; boundary=---FormBoundaryjWmhtjORrn"
    assert web.post(AT, content=body, headers={"Content-Type": kind}).status_code == 200
    assert left(store) == 1


def test_again_and_again_is_the_same(web, store):
    first = web.post(AT, data=ONE_CLICK)
    reason = suppressed(store, [ADDRESS]).get(ADDRESS)
    again = web.post(AT, data=ONE_CLICK)
    assert (again.status_code, again.text) == (first.status_code, first.text)
    assert suppressed(store, [ADDRESS]).get(ADDRESS) == reason
    asked = web.get(AT).text
    assert asked == web.get(f"/leave/{leaving_token(KEY, IDENTITY.list_id, '2')}").text
    # Nor does it tell that somebody was erased, or never was.
    erase_reader(store, ADDRESS, reason.on)
    for reader in ("1", "77"):
        token = leaving_token(KEY, IDENTITY.list_id, reader)
        assert web.get(f"/leave/{token}").text == asked
        assert web.post(f"/leave/{token}", data=ONE_CLICK).text == first.text


def test_the_number_of_an_erased_reader_is_not_given_again(web, store):
    last = find_reader(store, "h@example.org")
    old = f"/leave/{leaving_token(KEY, IDENTITY.list_id, str(last.id))}"
    erase_reader(store, last.address, last.permission_on)
    put_readers(store, [replace(last, address="new@example.org", id=0)], last.permission_on)
    assert web.post(old, data=ONE_CLICK).status_code == 200
    assert not suppressed(store, ["new@example.org"])


@pytest.mark.parametrize(
    ("body", "kind"),
    [
        (b"", None),
        (b"List-Unsubscribe=one-click", "application/x-www-form-urlencoded"),
        (b"leave=no", "application/x-www-form-urlencoded"),
        (b"List-Unsubscribe=One-Click", "text/plain"),
        (b"--x\r\nbroken", "multipart/form-data; boundary=x"),
        (b"x", "multipart/form-data"),
        (b"&".join(b"a=1" for _ in range(200)), "application/x-www-form-urlencoded"),
    ],
)
def test_what_does_not_say_so_does_nothing(web, store, body, kind):
    done = web.post(AT, content=body, headers={"Content-Type": kind} if kind else {})
    assert done.status_code == 400
    assert "nothing was done" in done.text.lower()
    assert left(store) == 0


def test_large_bodies_are_refused(web, store):
    assert web.post(AT, data=ONE_CLICK | {"x": "y" * MOST_BYTES}).status_code == 413

    async def endless():
        for _ in range(1_000):
            yield b"a" * 800

    kind = {"Content-Type": "application/x-www-form-urlencoded"}
    assert web.post(AT, content=endless(), headers=kind).status_code == 413
    assert left(store) == 0


def test_other_methods(web, store):
    for method in ("DELETE", "PUT", "OPTIONS", "PATCH"):
        done = web.ask(method, AT)
        assert done.status_code == 405
        # RFC 9110 section 15.5.6.
        assert set(re.split(", ?", done.headers["allow"])) == {"GET", "HEAD", "POST"}
    assert left(store) == 0


@pytest.mark.slow
def test_a_thousand_altered_tokens_let_nobody_in(web, store):
    calendar = calendar_token(KEY, IDENTITY.list_id, "1", 0)
    same = web.get("/leave/x").text
    others = [
        calendar,
        leaving_token(KEY, "other.example.org", "1"),
        leaving_token(KEY + b"!", IDENTITY.list_id, "1"),
    ]
    for token in [*altered(ANN, 1_000), *others]:
        done = web.post(f"/leave/{token}", data=ONE_CLICK)
        assert (done.status_code, done.text) == (404, same), token
    assert left(store) == 0
    assert IDENTITY.leave_mail in same
    assert web.get("/leave/x").headers["content-type"] == "text/html; charset=utf-8"
    for token in [*altered(calendar, 1_000), ANN]:
        assert web.get(f"/calendar/{token}.ics").status_code == 404, token


def test_many_leave_at_once_while_something_else_writes(store, folder):
    tokens = [leaving_token(KEY, IDENTITY.list_id, str(id)) for id in range(1, 9)] * 4
    app = make_app(Served(store, IDENTITY, KEY))

    def hold(ready):
        other = sqlite3.connect(folder / "mail.db", isolation_level=None)
        other.execute("BEGIN IMMEDIATE")
        ready.set()
        time.sleep(0.4)
        other.execute("COMMIT")
        other.close()

    ready = threading.Event()
    holder = threading.Thread(target=hold, args=(ready,))
    holder.start()
    ready.wait()

    def go(token):
        return Visitor(app).post(f"/leave/{token}", data=ONE_CLICK).status_code

    with ThreadPoolExecutor(16) as pool:
        assert set(pool.map(go, tokens)) == {200}
    holder.join()
    assert left(store) == 8


def test_a_store_that_stays_locked_is_told_and_asked_again(web, store, folder):
    with store.connect() as connection:
        connection.exec_driver_sql("PRAGMA busy_timeout=50")
    other = sqlite3.connect(folder / "mail.db", isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    done = web.post(AT, data=ONE_CLICK)
    other.execute("ROLLBACK")
    other.close()
    # RFC 9110 section 15.6.4.
    assert (done.status_code, done.headers["retry-after"]) == (503, "60")
    assert IDENTITY.leave_mail in done.text
    assert web.post(AT, data=ONE_CLICK).status_code == 200


def test_a_fault_of_ours_says_nothing_of_itself(log):
    broken = Served(None, IDENTITY, KEY)
    done = Visitor(make_app(broken, log.append)).post(AT, data=ONE_CLICK)
    assert done.status_code == 500
    assert "NoneType" not in done.text
    assert IDENTITY.leave_mail in done.text
    assert "default-src 'none'" in done.headers["content-security-policy"]


def test_headers_and_log(web, log, sent):
    paths = [
        AT,
        "/leave/x",
        "/",
        "/nothing",
        "/editions",
        f"/editions/{ANN}",
        f"/calendar/{ANN}.ics",
    ]
    for path in [*paths, f"/levae/{ANN}", f"/leave/{ANN}/"]:
        found = web.get(path).headers
        assert found["content-security-policy"].startswith("default-src 'none'; ")
        assert "frame-ancestors 'none'" in found["content-security-policy"]
        assert (found["referrer-policy"], found["x-content-type-options"]) == (
            "no-referrer", "nosniff",
        )  # fmt: skip
        assert "noindex" in found["x-robots-tag"]
        assert "set-cookie" not in found
        assert "location" not in found
    assert web.get(AT).headers["cache-control"] == "no-store"
    assert re.fullmatch(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ GET leave 200", log[0])
    assert len(log) == 10
    assert ANN[:12] not in "\n".join(log)
