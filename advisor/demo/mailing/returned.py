"""What comes back to the demo's list: bounces by RFC 3464, a complaint, wishes to leave, noise."""

from __future__ import annotations

import mailbox
from collections.abc import Iterator, Mapping
from pathlib import Path

from advisor.mailing.mails.tokens import leaving_token

_BOUNCED = (("5.1.1", 6), ("5.2.2", 4), ("5.7.1", 2))
"""Status codes, and how many readers' mails come back with each."""
_COMPLAIN, _LEAVE = 1, 2
NEEDED = sum(n for _, n in _BOUNCED) + _COMPLAIN + _LEAVE
_SERVER = "mx.example.net"
_REPORT = """\
From: MAILER-DAEMON@{server}
To: <{to}>
Subject: INVENTED report
MIME-Version: 1.0
Content-Type: multipart/report; report-type={kind}; boundary="=_invented"

--=_invented
Content-Type: text/plain

An INVENTED report of the demo.

--=_invented
Content-Type: message/{kind}

{fields}
--=_invented
Content-Type: text/rfc822-headers

To: {address}
Message-ID: {message_id}

--=_invented--
"""
_NOTE = "From: somebody@example.net\nTo: {to}\nSubject: {subject}\n{more}\nINVENTED.\n"


def write_returned(
    folder: Path, mails: Mapping[str, tuple[str, str]], key: bytes, list_id: str, ids: list[int]
) -> None:
    """Put them into a Maildir.

    mails: address to the envelope's sender and the Message-ID of what went there; the first ones
    come back. ids: of readers who leave by mail.
    """
    box = mailbox.Maildir(folder, create=True)
    for number, mail in enumerate(_returned(mails, key, list_id, ids), 1):
        box.add(f"Message-ID: <returned-{number}@{_SERVER}>\n{mail}".encode())


def _returned(
    mails: Mapping[str, tuple[str, str]], key: bytes, list_id: str, ids: list[int]
) -> Iterator[str]:
    sent = iter(mails.items())
    for status, count in _BOUNCED:
        for _ in range(count):
            address, (envelope, message_id) = next(sent)
            fields = (
                f"Reporting-MTA: dns; {_SERVER}\n\nFinal-Recipient: rfc822; {address}\n"
                f"Action: failed\nStatus: {status}\n"
            )
            yield _report("delivery-status", fields, envelope, address, message_id)
    address, (envelope, message_id) = next(sent)
    fields = "Feedback-Type: abuse\nUser-Agent: Invented/1.0\nVersion: 1\n"
    yield _report("feedback-report", fields, "abuse@example.org", address, message_id)
    for id in ids[:_LEAVE]:
        yield _note("leave@example.org", f"unsubscribe {leaving_token(key, list_id, str(id))}")
    # Somebody makes up a bounce, a mail program answers for its owner, and there is always junk.
    forged = envelope.replace("-", "-0", 1)
    fields = f"Reporting-MTA: dns; x\n\nFinal-Recipient: rfc822; {address}\n"
    yield _report(
        "delivery-status", f"{fields}Action: failed\nStatus: 5.1.1\n", forged, address, "<x@x>"
    )
    yield _note("week@example.org", "I am away", "Auto-Submitted: auto-replied\n")
    yield _note("bounces@example.org", "A gift for you")


def _report(kind: str, fields: str, to: str, address: str, message_id: str) -> str:
    """A multipart/report (RFC 6522): for people, for programs, and the head of the mail."""
    return _REPORT.format(
        server=_SERVER, to=to, kind=kind, fields=fields, address=address, message_id=message_id
    )


def _note(to: str, subject: str, more: str = "") -> str:
    return _NOTE.format(to=to, subject=subject, more=more)
