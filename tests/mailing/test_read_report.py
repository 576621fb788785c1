"""Reports are read as the standards say, and nothing hostile does harm.

References: RFC 3464 appendix E, RFC 5965 appendix B, RFC 8098, RFC 3834, the code lists of RFC 3463
section 3; and flufl.bounce, another reader of bounces.
"""

from __future__ import annotations

import random
from email import message_from_bytes

import pytest
from bounce_samples import (
    COMPLAINT,
    DELAYED,
    GATEWAY,
    SEVERAL,
    SIMPLE,
    failure,
    mutated,
    report,
)
from flufl.bounce import all_failures

from advisor.mailing.returns.read_report import What, read_report
from advisor.mailing.returns.status_codes import CODES, SUBJECTS, find_code, meaning_of


@pytest.mark.parametrize(
    ("fields", "what", "codes"),
    [
        (SIMPLE, What.FAILURE, ["4.0.0"]),
        (SEVERAL, What.FAILURE, ["5.0.0", "5.0.0"]),
        (GATEWAY, What.FAILURE, ["5.0.0"]),
        (DELAYED, What.NOTICE, []),
    ],
)
def test_the_standards_examples(fields, what, codes):
    found = read_report(report(fields))
    assert found.what is what
    assert [str(one.code) for one in found.failed] == codes
    assert found.returned_id == "<none@example.org>"


@pytest.mark.parametrize("fields", [SIMPLE, SEVERAL, failure("5.1.1"), failure("4.2.2"), DELAYED])
def test_another_reader_finds_the_same_addresses(fields):
    raw = report(fields)
    temporary, permanent = all_failures(message_from_bytes(raw))
    ours = {name for one in read_report(raw).failed for name in one.addresses}
    # That reader counts a delay as a temporary failure; by RFC 3464 section 2.3.3 it is none yet.
    theirs = {name.decode() for name in temporary | permanent}
    assert ours == theirs - {"john@example.org", "slowly@example.com"}


@pytest.mark.parametrize("action", ["delayed", "relayed", "delivered", "expanded", "Delayed (x)"])
def test_what_is_no_failure(action):
    assert read_report(report(failure("4.4.1", action=action))).what is What.NOTICE


@pytest.mark.parametrize(
    ("status", "said", "code"),
    [
        ("5.0.0", "550 5.1.1 no such user", "5.1.1"),
        ("5.1.1 (no such user)", "550 5.7.1 no", "5.1.1"),
        ("5.0.0", "450 4.2.2 full", "5.0.0"),
        ("5.1.0", "550 see 10.5.1.1", "5.1.0"),
        ("4.4.7", "", "4.4.7"),
    ],
)
def test_a_status_that_says_nothing_is_told_better_by_the_reply(status, said, code):
    assert str(read_report(report(failure(status, said))).failed[0].code) == code


@pytest.mark.parametrize("status", ["", "5", "5.1", "2.1.5", "5.01.1", "5.1.1000", "6.1.1", "x"])
def test_a_status_that_is_none_is_not_guessed(status):
    assert read_report(report(failure(status))).what is What.UNCLEAR


def test_complaints_receipts_and_answers():
    kind = "feedback-report"
    assert read_report(report(COMPLAINT, kind=kind)).what is What.COMPLAINT
    praise = COMPLAINT.replace("abuse", "not-spam")  # RFC 6430
    assert read_report(report(praise, kind=kind)).what is What.UNCLEAR
    # RFC 8098 section 3.
    shown = "Final-Recipient: rfc822;a@example.com\nDisposition: manual-action/MDN-sent-manually; x"
    assert read_report(report(shown, kind="disposition-notification")).what is What.RECEIPT
    away = b"Subject: away\nAuto-Submitted: auto-replied\n\nBack on Monday.\n"  # RFC 3834 section 5
    assert read_report(away).what is What.ANSWER
    # A report says so too, and is a report all the same.
    own = report(SIMPLE, head="Auto-Submitted: auto-replied\n")
    assert read_report(own).what is What.FAILURE


def test_a_report_attached_to_a_mail_is_none():
    inner = report(failure("5.1.1")).decode()
    mail = f"Subject: look\nContent-Type: message/rfc822\n\n{inner}"
    assert read_report(mail.encode()).what is What.UNCLEAR


def test_the_headers_alone_may_be_returned():
    raw = report(SIMPLE, returned_as="text/rfc822-headers")
    assert read_report(raw).returned_id == "<none@example.org>"


# Of RFC 3463 section 3 and of the standards named in the table, with what each says of the reader.
@pytest.mark.parametrize(
    ("kind", "codes"),
    [
        ("hard", "5.1.1 5.1.2 5.1.3 5.1.6 5.1.10 5.2.1 5.7.17 5.7.18"),
        ("soft", "5.2.2 4.2.2 4.1.1 4.2.1 5.3.0 5.3.1 5.3.2 4.4.1 4.4.7 5.4.4 5.0.0 5.99.9 5.1.4"),
        ("ours", "5.7.1 5.7.26 4.7.0 5.1.8 5.3.4 5.2.3 5.6.0 5.5.2"),
    ],
)
def test_what_the_codes_mean(kind, codes):
    assert {code: meaning_of(find_code(code)).kind for code in codes.split()} == dict.fromkeys(
        codes.split(), kind
    )
    assert all(row.source.startswith("RFC ") for row in (*CODES.values(), *SUBJECTS.values()))


HOSTILE = {
    "nothing": b"",
    "giant": report(SIMPLE) + b"x\n" * 300_000,
    "one long line": b"Subject: " + b"a" * 100_000 + b"\n\n",
    "one long header": b"Content-Type: multipart/report" + b';\n x="' * 20_000 + b"\n\n",
    "parts in parts": b"".join(
        b'Content-Type: multipart/report; boundary="%d"\n\n--%d\n' % (n, n) for n in range(3000)
    ),
    "cut off before its fields": report(SIMPLE)[:500],
    "a wrong charset": report(SIMPLE)
    .replace(b"invented", b"\xff\xfe\x00")
    .replace(b"MIME-Version", b"Content-Type: text/plain; charset=utf-99\nMIME-Version"),
    "another boundary": report(SIMPLE).replace(b'boundary="', b'boundary="no-'),
}


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_mails_are_not_understood(name):
    found = read_report(HOSTILE[name])
    assert found.what is What.UNCLEAR
    assert found.why


def test_two_thousand_mutated_reports_do_no_harm():
    draw = random.Random(3464)
    whole = [
        report(fields, "bounces+17-0123456789abcdef0123@example.org")
        for fields in (SIMPLE, SEVERAL, GATEWAY, DELAYED)
    ]
    whole.append(report(COMPLAINT, kind="feedback-report"))
    seen = set()
    for _ in range(2_000):
        found = read_report(mutated(draw.choice(whole), draw))
        seen.add(found.what)
        # Nothing that could become a header, a line or a huge text leaves the reader of mails.
        for text in (found.message_id, found.returned_id, *found.tagged):
            assert text.isascii()
            assert text.isprintable()
            assert len(text) <= 400
        assert "\n" not in found.subject
        assert "\r" not in found.subject
    assert {What.FAILURE, What.NOTICE, What.COMPLAINT, What.UNCLEAR} <= seen
