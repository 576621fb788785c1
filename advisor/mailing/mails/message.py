"""A digest as a mail: text and HTML that say the same, and the headers that lists need.

The same input gives the same bytes, always, so a second try sends what the first one sent.
"""

from __future__ import annotations

import datetime as dt
import re
from email.headerregistry import Address
from email.message import EmailMessage
from email.utils import format_datetime
from hashlib import sha256

from advisor.base.problems import BadInput, Place
from advisor.mailing.mails import guard
from advisor.mailing.mails.mail_policy import POLICY

#: Some mail programs cut an HTML part short above about 100 kB; we stay well below (our choice).
LARGEST_HTML = 80_000
_LONGEST_LINE = 998  # RFC 5322 section 2.1.1


def digest_message(
    subject: str,
    text: str,
    html: str,
    sender: str = "",
    to: str = "",
    *,
    sender_name: str = "",
    headers: dict[str, str] | None = None,
    dated: dt.datetime | None = None,
    message_id: str = "",
) -> bytes:
    """An RFC 5322 message with a text and an HTML alternative, if any, ready to be sent or opened.

    sender, to, reply_to: plain addresses. headers: others, such as those of a list. dated: with a
    time zone. Raises `BadInput` for anything that could become another header, a control character
    in a part, or an HTML part that is too large.
    """
    message = EmailMessage(policy=POLICY)
    message["Subject"] = guard.header_text(subject, "Subject")
    if sender:
        message["From"] = _mailbox(sender_name, sender, "From")
    if to:
        message["To"] = _mailbox("", to, "To")
    if dated is not None:
        message["Date"] = format_datetime(dated)
    if message_id:
        message["Message-ID"] = guard.header_text(message_id, "Message-ID")
    for name, value in (headers or {}).items():
        message[name] = guard.header_text(value, name)
    message["Auto-Submitted"] = "auto-generated"  # RFC 3834 section 5
    if len(html.encode()) > LARGEST_HTML:
        what = f"is {len(html.encode()):,} bytes; at most {LARGEST_HTML:,} can be sent"
        raise BadInput.at(Place("the mail's HTML"), what)
    message.set_content(guard.body_text(text, "text"))
    if html:
        message.add_alternative(guard.body_text(html, "HTML"), subtype="html")
        # The library would draw a boundary at random; '=_' cannot stand in quoted-printable text.
        named = f"{message_id}\0{text}\0{html}".encode()
        message.set_boundary(f"=_{sha256(named).hexdigest()[:32]}")
    raw = message.as_bytes()
    _prove(raw, message)
    return raw


def _mailbox(name: str, address: str, field: str) -> Address:
    """A mailbox. The library quotes the name."""
    return Address(guard.header_text(name, field), addr_spec=guard.address(address, field))


def _prove(raw: bytes, message: EmailMessage) -> None:
    """Whatever the library made of the input: the headers that were set, each once, and no more."""
    head = raw.partition(b"\r\n\r\n")[0]
    names = [line.partition(b":")[0].decode("ascii") for line in re.split(rb"\r\n(?![ \t])", head)]
    if names != list(message.keys()) or len({n.lower() for n in names}) != len(names):
        raise BadInput.at(Place("the mail's head"), "came out with other headers than were set")
    # Line ends are pairs, so that there are as many of each.
    if not raw.count(b"\r\n") == raw.count(b"\n") == raw.count(b"\r") or b"\0" in raw:
        raise BadInput.at(Place("the mail"), "came out with a bare line feed or a NUL")
    if max(map(len, raw.split(b"\r\n"))) > _LONGEST_LINE:
        raise BadInput.at(Place("the mail"), f"came out with a line over {_LONGEST_LINE} bytes")
