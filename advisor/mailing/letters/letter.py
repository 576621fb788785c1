"""One reader's mail of one edition: the frozen digest, the list's headers and the way out."""

from __future__ import annotations

import datetime as dt

from advisor.base.problems import BadInput, Place
from advisor.base.record import Record
from advisor.mailing.letters.attachments import Beside
from advisor.mailing.mails.guard import header_text
from advisor.mailing.mails.identity import ListIdentity
from advisor.mailing.mails.message import digest_message
from advisor.mailing.mails.tokens import leaving_token, message_id
from advisor.render.digest.render import mail_footer

_END = "</main>"
_CALENDAR = "Your lawn's seasons as a calendar to subscribe to; keep its address to yourself"


class Letter(Record, frozen=True):
    """What all readers with the same digest get. It is frozen when the edition is built.

    html: empty for readers who want text alone. beside: what does not go out by mail. said: what
    the next letter is compared with (`said_of`).
    """

    subject: str
    text: str
    html: str
    beside: Beside | None = None
    said: str = ""

    @property
    def is_none(self) -> bool:
        """Whether it stands for no mail at all."""
        return not self.text


NO_MAIL = Letter("", "", "")
"""For a reader who wants none in a week without work."""


def list_message(
    letter: Letter,
    identity: ListIdentity,
    key: bytes,
    *,
    edition: str,
    dated: dt.datetime,
    reader: str,
    to: str,
    calendar: str = "",
) -> bytes:
    """The mail to one reader; the same bytes at every call with the same input.

    edition: such as `2026-W36`. dated: when the edition was built. reader: an id without meaning.
    calendar: the address of the reader's calendar, if there is one.
    Nothing in it is fetched from outside or tells who has read it.
    """
    token = leaving_token(key, identity.list_id, reader)
    leave = f"{identity.leave_url.rstrip('/')}/{token}"
    by_mail = f"mailto:{identity.leave_mail}?subject=unsubscribe%20{token}"
    headers = {
        "Reply-To": identity.reply_to,
        "List-Id": _list_id(identity),  # RFC 2919
        "List-Unsubscribe": f"<{leave}>, <{by_mail}>",  # RFC 2369 section 3.2
        "List-Unsubscribe-Post": "List-Unsubscribe=One-Click",  # RFC 8058 section 3.1
    }
    return digest_message(
        letter.subject,
        letter.text.rstrip("\n") + "\n\n" + _text_footer(identity, leave, calendar),
        letter.html and _with_footer(letter.html, _html_footer(identity, leave, calendar)),
        identity.sender_address,
        to,
        sender_name=identity.sender,
        headers=headers,
        dated=dated,
        message_id=message_id(key, identity.list_id, edition, reader, identity.domain),
    )


def _list_id(identity: ListIdentity) -> str:
    # The phrase is a comment for people; one outside ASCII would need encoding, so it is left out.
    name = identity.name if identity.name.isascii() else ""
    quoted = name.replace("\\", "\\\\").replace('"', '\\"')
    phrase = f'"{quoted}" ' if name else ""
    return header_text(f"{phrase}<{identity.list_id}>", "List-Id")


def _lines(identity: ListIdentity) -> tuple[str, str]:
    return (
        f"You get this once a week because you asked for {identity.name}.",
        f"Sent by {identity.sender}, {identity.postal_address}. "
        f"Questions: answer this mail, or write to {identity.reply_to}.",
    )


def _text_footer(identity: ListIdentity, leave: str, calendar: str) -> str:
    why, who = _lines(identity)
    seasons = f"{_CALENDAR}: {calendar}\n" if calendar else ""
    return f"-- \n{why}\n{who}\n{seasons}Leave the list: {leave}\n"


def _html_footer(identity: ListIdentity, leave: str, calendar: str) -> str:
    why, who = _lines(identity)
    return mail_footer(why, who, leave, calendar)


def _with_footer(html: str, footer: str) -> str:
    body, end, rest = html.rpartition(_END)
    if not end:
        raise BadInput.at(Place("the mail's HTML"), f"has no '{_END}' to put the footer before")
    return body + footer + end + rest
