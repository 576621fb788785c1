"""What came back is counted once, believed only if signed, and has its consequences.

References: RFC 3464, 5965, 8058 and 2104 (signatures); a real SMTP server (aiosmtpd) for the whole
way. Readers, addresses and reports are invented.
"""

from __future__ import annotations

import datetime as dt
import mailbox
import random
import re
import socket

import pytest
from aiosmtpd.controller import Controller
from bounce_samples import COMPLAINT, DELAYED, failure, maildir, mutated, report
from mail_samples import IDENTITY, KEY, LETTER
from sqlalchemy import insert, select, update
from typer.testing import CliRunner

from advisor.base.problems import BadInput
from advisor.base.record import asdict
from advisor.cli.main import app
from advisor.mailing.mails.tokens import bounce_address, leaving_token
from advisor.mailing.outbox.outbox import now
from advisor.mailing.outbox.policy import Policy
from advisor.mailing.outbox.run import put_on_its_way, status_of
from advisor.mailing.outbox.sender import Rules, Sender
from advisor.mailing.outbox.server_settings import ServerSettings
from advisor.mailing.returns.bounces import read_bounces
from advisor.mailing.returns.bounces_text import bounces_text
from advisor.mailing.store.letter_tables import put_letters
from advisor.mailing.store.outbox_tables import mail, run
from advisor.mailing.store.reader_tables import erase_reader, export_reader, suppressed
from advisor.mailing.store.store import open_store, reading, writing
from advisor.mailing.store.tables import copy, edition, reader
from advisor.mailing.use_cases.sending import status_text

pytestmark = pytest.mark.slow

DAY = dt.date(2026, 9, 7)
LIST = IDENTITY.list_id


@pytest.fixture
def store(tmp_path):
    """Ten readers, and nothing sent yet."""
    opened = open_store(tmp_path / "mail.db")
    with writing(opened) as db:
        db.execute(
            insert(reader),
            [
                {
                    "id": n, "address": f"r{n}@example.com", "address_key": f"r{n}@example.com",
                    "latitude": 1.0, "longitude": 1.0, "place": "-", "grass": "x", "units": "us",
                    "permission_on": DAY, "permission_source": "-", "created_on": DAY,
                }
                for n in range(1, 11)
            ],
        )  # fmt: skip
    yield opened
    opened.dispose()


def week(store, number, state="sent", edition_state="done"):
    """An edition whose mails have all been sent."""
    with writing(store) as db:
        db.execute(
            insert(edition).values(
                id=number, list_name="l", first_day=DAY + dt.timedelta(days=7 * number),
                rulebook_hash="h", state=edition_state,
            )
        )  # fmt: skip
        db.execute(
            insert(run).values(
                edition_id=number, identity={}, dated=0.0, expires=now() + 9999.0, phase="open",
                resume_as="open",
            )
        )  # fmt: skip
        put_letters(db, [("k", LETTER)])
        for n in range(1, 11):
            id = number * 100 + n
            row = {"id": id, "edition_id": number, "reader_id": n, "letter_id": 1}
            db.execute(insert(copy).values(row))
            db.execute(
                insert(mail).values(
                    copy_id=id, edition_id=number, message_id=message_id(number, n),
                    canary=False, state=state,
                )
            )  # fmt: skip


def message_id(number, n):
    return f"<{number}-{n}@example.org>"


def code(n):
    return bounce_address(KEY, LIST, str(n), IDENTITY.bounces)


def bounce(n, status, number=1, **more):
    own = more.pop("own_id", f"<{number}-{n}-{status}@mx.example.net>")
    told = failure(status, who=f"r{n}@example.com")
    return report(told, code(n), returned=message_id(number, n), own_id=own, **more)


def read(store, folder, *mails):
    return read_bounces(store, LIST, KEY, [maildir(folder / "Maildir", *mails)], DAY)


def gone(store):
    return {n for n in range(1, 11) if why_gone(store, n)}


def why_gone(store, n):
    address = f"r{n}@example.com"
    left = suppressed(store, [address]).get(address)
    return left and left.reason


def test_hard_ones_suppress_and_soft_ones_and_ours_do_not(store, tmp_path):
    week(store, 1)
    found = read(store, tmp_path, bounce(1, "5.1.1"), bounce(2, "5.2.2"), bounce(3, "5.7.1"))
    assert dict(found.counts) == {"hard": 1, "soft": 1, "ours": 1}
    assert gone(store) == {1}
    assert why_gone(store, 1) == "bounce"
    assert "came back" in status_text(status_of(store, 1), now(), tmp_path)


def test_each_counts_once_however_often_and_wherever_it_lies(store, tmp_path):
    week(store, 1)
    read(store, tmp_path, bounce(1, "5.1.1"))
    box = mailbox.mbox(tmp_path / "mbox")
    box.add(bounce(1, "5.1.1"))
    box.close()
    folders = [tmp_path / "Maildir", tmp_path / "mbox"]
    before = {p: p.read_bytes() for p in tmp_path.rglob("*") if p.is_file() and "db" not in p.name}
    again = read_bounces(store, LIST, KEY, folders, DAY)
    assert (again.mails, again.before, again.counts.total()) == (2, 2, 0)
    assert {p: p.read_bytes() for p in before} == before


def test_a_report_without_an_id_counts_once_too(store, tmp_path):
    week(store, 1)
    bare = bounce(2, "5.2.2").replace(b"Message-Id: <1-2", b"X-Was: <1-2")
    assert read(store, tmp_path, bare).counts["soft"] == 1
    assert read(store, tmp_path).before == 1


@pytest.mark.parametrize(
    ("kinds", "suppressed"),
    [
        ("sss", True),
        ("ss", False),
        ("ss.s", False),  # the third went through, so the count begins anew
        ("ss.sss", True),
        ("sosos", True),  # our own fault says nothing of the reader
        ("s.s.s.s", False),
    ],
)
def test_soft_ones_in_a_row(store, tmp_path, kinds, suppressed):
    mails = []
    for number, kind in enumerate(kinds, 1):
        week(store, number)
        if kind != ".":
            mails.append(bounce(4, {"s": "4.2.2", "o": "5.7.1"}[kind], number))
    read(store, tmp_path, *mails)
    assert gone(store) == ({4} if suppressed else set())


def test_in_whatever_order_they_are_read(store, tmp_path):
    mails = []
    for number, kind in enumerate("sosos", 1):
        week(store, number)
        mails.append(bounce(4, {"s": "4.2.2", "o": "5.7.1"}[kind], number))
    # What is ours comes last; each by a reading of its own.
    for at in (0, 4, 2, 3, 1):
        assert gone(store) == set()
        read(store, tmp_path, mails[at])
    assert gone(store) == {4}


def test_several_bounces_of_one_edition_are_one_step(store, tmp_path):
    week(store, 1)
    read(store, tmp_path, *(bounce(4, "4.2.2", own_id=f"<{n}@mx.example.net>") for n in range(9)))
    assert gone(store) == set()


@pytest.mark.parametrize(
    "change",
    [
        lambda raw: raw.replace(code(1).encode(), code(1).replace("+1-", "+2-").encode()),
        lambda raw: raw.replace(code(1).encode(), b"bounces+1-" + b"0" * 20 + b"@example.org"),
        lambda raw: raw.replace(b"To: <" + code(1).encode(), b"To: <bounces@example.org")
        .replace(message_id(1, 1).encode(), b"<other@example.org>"),
        # The address of one reader and the mail of another.
        lambda raw: raw.replace(message_id(1, 1).encode(), message_id(1, 2).encode()),
        lambda raw: b"Delivered-To: " + code(2).encode() + b"\n" + raw,
    ],
)  # fmt: skip
def test_what_is_not_signed_is_not_believed(store, tmp_path, change):
    week(store, 1)
    found = read(store, tmp_path, change(bounce(1, "5.1.1")))
    assert (len(found.untrusted), found.counts.total()) == (1, 0)
    assert gone(store) == set()


@pytest.mark.parametrize(
    "change",
    [
        lambda raw: raw.replace(code(1).encode(), b"bounces@example.org"),  # the Message-ID alone
        lambda raw: raw.replace(message_id(1, 1).encode(), b""),  # the code alone
        lambda raw: raw.replace(b"To: <", b"Delivered-To: <").replace(b"boun", b"BOUN"),
        lambda raw: raw.replace(
            b"To: <" + code(1).encode(), b"To: <x@example.org>\nX-Original-To: " + code(1).encode()
        ),
    ],
)
def test_one_signature_is_enough(store, tmp_path, change):
    week(store, 1)
    read(store, tmp_path, change(bounce(1, "5.1.1")))
    assert gone(store) == {1}


def test_of_several_recipients_the_readers_own_counts(store, tmp_path):
    week(store, 1)
    other = failure("5.1.1", who="other@example.com")
    own = failure("4.2.2", who="r1@example.com").partition("\n\n")[2]
    read(store, tmp_path, report(f"{other}\n{own}", code(1)))
    assert gone(store) == set()


def test_complaints_and_wishes_to_leave_suppress(store, tmp_path):
    week(store, 1)
    token = leaving_token(KEY, LIST, "6")
    found = read(
        store, tmp_path,
        report(COMPLAINT, kind="feedback-report", returned=message_id(1, 5)),
        report(f"{COMPLAINT}Original-Mail-From: <{code(7)}>\n", kind="feedback-report"),
        f"To: leave@example.org\nSubject: unsubscribe\n {token}\n\n".encode(),
        f"Subject: unsubscribe {leaving_token(KEY, 'other.example.org', '8')}\n\n".encode(),
        b"From: r9@example.com\nSubject: unsubscribe\n\nPlease.\n",
        report(DELAYED, code(10)),
    )  # fmt: skip
    assert dict(found.counts) == {"complaint": 2, "leave": 1}
    assert gone(store) == {5, 6, 7}
    assert why_gone(store, 6) == "left by mail"
    assert (len(found.untrusted), len(found.unclear), found.ignored["notices"]) == (1, 1, 1)


def test_our_own_fault_stops_the_run_once(store, tmp_path):
    week(store, 1, edition_state="sending")
    found = read(store, tmp_path, *(bounce(n, "5.7.1") for n in (1, 2, 3, 4)))
    assert not found.paused
    found = read(store, tmp_path, bounce(5, "4.7.0"))
    assert "PAUSED: 5 of 10 came back for policy" in bounces_text(found, tmp_path)
    assert gone(store) == set()
    stands = status_of(store, 1)
    assert stands.phase == "paused"
    assert "5 of 10 came back for policy" in stands.why_paused
    with writing(store) as db:
        db.execute(update(run).values(phase="open"))
    assert not read(store, tmp_path, bounce(6, "5.7.1")).paused


def test_one_reader_cannot_stop_a_run(store, tmp_path):
    week(store, 1, edition_state="sending")
    many = (bounce(1, "5.7.1", own_id=f"<{n}@mx.example.net>") for n in range(20))
    assert not read(store, tmp_path, *many).paused


def test_what_the_server_refused_at_once_counts_too(store, tmp_path):
    week(store, 1)
    with writing(store) as db:
        refused = update(mail).where(mail.c.copy_id.in_((101, 102)))
        db.execute(refused.values(state="failed", code=550, said="rcpt: 5.1.1 no such mailbox"))
        vague = update(mail).where(mail.c.copy_id == 103)
        db.execute(vague.values(state="failed", code=550, said="rcpt: not here"))
    found = read_bounces(store, LIST, KEY, [], DAY)
    assert (found.refused, dict(found.counts)) == (3, {"hard": 2, "soft": 1})
    assert gone(store) == {1, 2}
    assert read_bounces(store, LIST, KEY, [], DAY).counts.total() == 0


def test_an_erased_reader_is_told_of_and_what_is_kept_is_exported(store, tmp_path):
    week(store, 1)
    read(store, tmp_path, bounce(1, "5.2.2"), bounce(2, "5.2.2"))
    told = export_reader(store, "r1@example.com")["reports"]
    assert [(one["kind"], one["status"]) for one in told] == [("soft", "5.2.2")]
    erase_reader(store, "r1@example.com", DAY)
    assert read(store, tmp_path).gone == 1


def test_hostile_names_are_shown_harmless(store, tmp_path):
    mails = [f"Subject: \x1b[31m{n}\n\n".encode() for n in range(12)]
    shown = bounces_text(read(store, tmp_path, *mails), tmp_path)
    assert "\x1b" not in shown
    assert "\\x1b[31m" in shown
    assert "and 2 more" in shown


@pytest.mark.parametrize("make", [lambda p: None, lambda p: p.mkdir(), lambda p: p.write_text("x")])
def test_what_is_no_mailbox_is_named(store, tmp_path, make):
    make(tmp_path / "box")
    with pytest.raises(BadInput, match=r"Maildir|mbox"):
        read_bounces(store, LIST, KEY, [tmp_path / "box"], DAY)


def test_whatever_is_changed_only_its_own_reader_is_concerned(store, tmp_path):
    week(store, 1)
    draw = random.Random(1894)
    mails = [mutated(bounce(1, "5.1.1", own_id=f"<{n}@x>"), draw) for n in range(2_000)]
    box = mailbox.mbox(tmp_path / "mbox")
    for one in mails:
        box.add(one)
    box.close()
    found = read_bounces(store, LIST, KEY, [tmp_path / "mbox"], DAY)
    assert gone(store) == {1}
    assert found.counts["hard"] > 500
    parts = (found.counts, found.ignored)
    told = sum(part.total() for part in parts) + len(found.untrusted) + len(found.unclear)
    assert told + found.before + found.gone == found.mails == 2_000


class Taking:
    """An SMTP server that keeps the envelope's sender of each mail."""

    def __init__(self):
        self.mails = {}

    async def handle_DATA(self, server, session, envelope):  # noqa: N802
        self.mails[envelope.rcpt_tos[0]] = (envelope.mail_from, envelope.content)
        return "250 OK"


def free_port():
    with socket.create_server(("127.0.0.1", 0)) as free:
        return free.getsockname()[1]


def send(store, number, server):
    settings = ServerSettings("127.0.0.1", server.port, "none")
    put_on_its_way(store, number, IDENTITY, KEY)
    Sender(store, number, settings, KEY, Rules(Policy.hold), sleep=lambda s: None).run(wait=False)


def test_the_whole_way_from_a_mail_to_its_bounce_to_the_next_edition(store, tmp_path, monkeypatch):
    monkeypatch.setenv("ADVISOR_MAIL_KEY", KEY.decode())
    yaml = "".join(f"{key}: {value}\n" for key, value in asdict(IDENTITY).items() if value)
    (tmp_path / "list.yaml").write_text(f"format: 1\n{yaml}")
    first = dt.datetime.fromtimestamp(now(), dt.UTC).date()
    handler = Taking()
    server = Controller(handler, hostname="127.0.0.1", port=free_port())
    server.start()
    try:
        for number in (1, 2):
            with writing(store) as db:
                db.execute(
                    insert(edition).values(
                        id=number, list_name="l", first_day=first + dt.timedelta(weeks=number),
                        rulebook_hash="h", state="approved",
                    )
                )  # fmt: skip
                put_letters(db, [("k", LETTER)])
                for n in range(1, 11):
                    row = {"edition_id": number, "reader_id": n, "letter_id": 1}
                    db.execute(insert(copy).values(row))
            handler.mails.clear()
            send(store, number, server)
            if number == 1:
                assert len(handler.mails) == 10
                envelope, raw = handler.mails["r3@example.com"]
                sent_id = re.search(rb"(?im)^message-id: (\S+)", raw)[1].decode()
                told = failure("5.1.1", who="r3@example.com")
                maildir(tmp_path / "Maildir", report(told, envelope, returned=sent_id))
                done = CliRunner().invoke(
                    app, ["mail", "bounces", str(tmp_path), str(tmp_path / "Maildir")]
                )
                assert done.exit_code == 0, done.output
                assert re.search(r"1 +5\.1\.1 +no such mailbox", done.output)
    finally:
        server.stop()
    assert set(handler.mails) == {f"r{n}@example.com" for n in range(1, 11) if n != 3}
    with reading(store) as db:
        states = dict(db.execute(select(mail.c.copy_id, mail.c.state)).all())
    assert list(states.values()).count("suppressed") == 1
