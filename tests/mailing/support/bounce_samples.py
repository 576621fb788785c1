"""Reports composed field by field after the examples of RFC 3464 (E) and RFC 5965 (B).

The fields and their order are the standards'; texts and addresses are our own.
"""

from __future__ import annotations

import mailbox
import random

REPORT = """\
Return-Path: <>
{head}Date: Thu, 7 Jul 1994 17:16:05 -0400
From: Mail Delivery Subsystem <MAILER-DAEMON@mx.example.net>
Message-Id: {own_id}
Subject: {subject}
To: <{to}>
MIME-Version: 1.0
Content-Type: multipart/report; report-type={kind};
      boundary="RAA14128.773615765/mx.example.net"

--RAA14128.773615765/mx.example.net

An invented explanation for people.

--RAA14128.773615765/mx.example.net
Content-Type: message/{kind}

{fields}
--RAA14128.773615765/mx.example.net
Content-Type: {returned_as}

{returned}
--RAA14128.773615765/mx.example.net--
"""
RETURNED = "From: week@example.org\nTo: a@example.com\nSubject: A week\nMessage-ID: {id}\n"
#: E.1, a simple one: five days without an answer.
SIMPLE = """\
Reporting-MTA: dns; mx.example.net

Original-Recipient: rfc822;louisa@mail.example.com
Final-Recipient: rfc822;louisa@mail.example.com
Action: failed
Status: 4.0.0
Diagnostic-Code: smtp; 426 connection timed out
Last-Attempt-Date: Thu, 7 Jul 1994 17:15:49 -0400
"""
#: E.2, several recipients: two permanent failures, one delay.
SEVERAL = """\
Reporting-MTA: dns; mx.example.net

Original-Recipient: rfc822;arat@example.com
Final-Recipient: rfc822;arat@example.com
Action: failed
Status: 5.0.0 (permanent failure)
Diagnostic-Code: smtp;
  550 'arat@example.com' is not a registered gateway user
Remote-MTA: dns; mail.example.com

Original-Recipient: rfc822;john@example.org
Final-Recipient: rfc822;john@example.org
Action: delayed
Status: 4.0.0 (mail.example.org: host name lookup failure)

Original-Recipient: rfc822;wsn@mail.example.com
Final-Recipient: rfc822;wsn@mail.example.com
Action: failed
Status: 5.0.0
Diagnostic-Code: smtp; 550 user unknown
Remote-MTA: dns; mail.example.com
"""
#: E.3, from a gateway to another kind of mail.
GATEWAY = """\
Reporting-MTA: mailbus; SYS30

Final-Recipient: unknown; nair_s
Action: failed
Status: 5.0.0 (unknown permanent failure)
"""
#: E.4, a delay that is no failure.
DELAYED = """\
Reporting-MTA: dns; mx.example.net

Final-Recipient: rfc822;slowly@example.com
Action: delayed
Status: 4.4.1 (No answer from host)
Last-Attempt-Date: Thu, 7 Jul 1994 17:15:49 -0400
Will-Retry-Until: Fri, 8 Jul 1994 17:15:49 -0400
"""
#: RFC 5965 appendix B.1, the shortest feedback.
COMPLAINT = "Feedback-Type: abuse\nUser-Agent: SomeGenerator/1.0\nVersion: 1\n"


def report(
    fields: str,
    to: str = "bounces@example.org",
    *,
    kind: str = "delivery-status",
    own_id: str = "<199407072116.RAA14128@mx.example.net>",
    returned: str = "<none@example.org>",
    returned_as: str = "message/rfc822",
    subject: str = "Returned mail",
    head: str = "",
) -> bytes:
    """A whole report. to: where it was sent; returned: the Message-ID of the mail it is about."""
    text = REPORT.format(
        fields=fields, to=to, kind=kind, own_id=own_id, returned=RETURNED.format(id=returned),
        returned_as=returned_as, subject=subject, head=head,
    )  # fmt: skip
    return text.encode()


def failure(status: str, said: str = "", action: str = "failed", who: str = "a@example.com") -> str:
    """The fields of one recipient's failure. said: the server's reply to SMTP."""
    diagnostic = f"Diagnostic-Code: smtp; {said}\n" if said else ""
    return (
        f"Reporting-MTA: dns; mx.example.net\n\nFinal-Recipient: rfc822; {who}\n"
        f"Action: {action}\nStatus: {status}\n{diagnostic}"
    )


def maildir(folder, *mails: bytes):
    """The folder as a Maildir with these mails added."""
    box = mailbox.Maildir(folder, create=True)
    for mail in mails:
        box.add(mail)
    return folder


NOISE = (
    b"\0", b"\r", b"\n", b"\r\n\r\n", b"=?utf-8?q?=0A?=", b"\xff", b"--", b";", b'"', b"\n ",
    b"message/rfc822", b"boundary=", b"Status: ", b"multipart/report",
)  # fmt: skip


def mutated(mail: bytes, draw: random.Random) -> bytes:
    """The mail with a few pieces cut out, put in, doubled or changed."""
    raw = bytearray(mail)
    for _ in range(draw.randint(1, 5)):
        at = draw.randrange(len(raw))
        what = draw.randrange(4)
        if what == 0:
            del raw[at : at + draw.randint(1, 60)]
        elif what == 1:
            raw[at:at] = draw.choice(NOISE)
        elif what == 2:
            raw[at] = draw.randrange(256)
        else:
            raw[at:at] = raw[draw.randrange(len(raw)) :][: draw.randint(1, 200)]
    return bytes(raw)
