"""How fast messages are made of an edition's letters, beside the standard library's EmailMessage.

The library alone gets the finished texts and header values and makes nothing but the messages, with
its own SMTP policy. It is tried with the transfer encoding that it chooses, with the one that ours
have (quoted-printable), and with header lines as long as may be; the fastest of these counts. Every
message is then read back and must say the same as ours.
"""

from __future__ import annotations

import datetime as dt
import time
from dataclasses import dataclass
from email import message_from_bytes, policy
from email.message import EmailMessage

from sqlalchemy import Engine

from advisor.mailing.letters.letter import list_message
from advisor.mailing.mails.identity import ListIdentity
from advisor.mailing.outbox.run import edition_name
from advisor.mailing.readers.reader import Reader
from advisor.mailing.store.edition_tables import EditionRow, copy_of

KEY = b"an invented key, for measuring only: 0123456789"
DATED = dt.datetime(2018, 9, 10, 6, tzinfo=dt.UTC)
Content = tuple[list[tuple[str, str]], str, str]
_OF_PARTS = frozenset({"content-type", "mime-version", "content-transfer-encoding"})
WAYS: tuple[tuple[policy.EmailPolicy, str | None], ...] = (
    (policy.SMTP, None),
    (policy.SMTP, "quoted-printable"),
    (policy.SMTP.clone(max_line_length=998), "quoted-printable"),
)


@dataclass(frozen=True)
class Rates:
    """Seconds of one core. building: of letters, in the store. writing: of messages from them.

    alone: of the same messages by EmailMessage alone.
    """

    messages: int
    different: int
    building: float
    writing: float
    alone: float

    def lines(self, composing: float) -> tuple[str, ...]:
        """The rates beside that of EmailMessage. composing: seconds, part of building."""
        alone, number = self.messages / self.alone, self.messages
        spent = (
            ("digests composed", composing),
            ("digests composed and kept in the store", self.building),
            ("messages from the letters in the store", self.writing),
            ("messages from the readers in the store, the whole way", self.building + self.writing),
        )
        return (
            f"EmailMessage alone: {alone:.0f} messages a second and core",
            *(f"{name}: {number / seconds:.0f}, or {number / seconds / alone:.2f} of that"
              for name, seconds in spent),
        )  # fmt: skip


def rates_of(store: Engine, edition: EditionRow, readers: list[Reader], building: float) -> Rates:
    """Make every reader's message both ways. building: seconds that the letters have taken."""
    words = dict.fromkeys(ListIdentity.__struct_fields__, "week@example.org")
    words |= {"list_id": "lawn.example.org", "leave_url": "https://lawn.example.org/leave"}
    identity, name = ListIdentity(**words), edition_name(edition.first_day)
    letters = [copy_of(store, edition.id, reader.id) for reader in readers]
    pairs = [(reader, letter) for reader, letter in zip(readers, letters, strict=True) if letter]
    began = time.process_time()
    ours = [
        list_message(letter, identity, KEY, edition=name, dated=DATED, reader=f"{reader.id}",
                     to=reader.address)
        for reader, letter in pairs
    ]  # fmt: skip
    writing = time.process_time() - began
    contents = [content(raw) for raw in ours]
    alone = min(_by_library(contents, *way) for way in WAYS)
    different = len({letter for _, letter in pairs})
    return Rates(len(ours), different, building, writing, alone)


def content(raw: bytes) -> Content:
    """The headers, the text and the HTML of a message."""
    read = message_from_bytes(raw, policy=policy.SMTP)
    assert isinstance(read, EmailMessage)
    text, page = read.get_body(("plain",)), read.get_body(("html",))
    assert text is not None
    assert page is not None
    headers = [(name, str(value)) for name, value in read.items() if name.lower() not in _OF_PARTS]
    return headers, text.get_content(), page.get_content()


def _by_library(contents: list[Content], kept: policy.EmailPolicy, cte: str | None) -> float:
    """Seconds for the same messages by EmailMessage alone."""
    began = time.process_time()
    made = []
    for headers, text, page in contents:
        message = EmailMessage(policy=kept)
        for name, value in headers:
            message[name] = value
        message.set_content(text, cte=cte)
        message.add_alternative(page, subtype="html", cte=cte)
        made.append(message.as_bytes())
    seconds = time.process_time() - began
    for raw, wanted in zip(made, contents, strict=True):
        assert content(raw) == wanted, "EmailMessage has made another message"
    return seconds
