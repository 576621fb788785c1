"""10,000 hostile strings in every place of a mail: refused, or the head holds what was set.

Reference: RFC 5322 section 3.6 and the flaws CVE-2024-6923, CVE-2026-0672 and CVE-2026-1299 of
the email package, of which the first has its published example here.
"""

from __future__ import annotations

import random
from email import message_from_bytes
from email.policy import default

import pytest
from mail_samples import DATED, IDENTITY, KEY, LETTER

from advisor.base import record as records
from advisor.base.problems import BadInput
from advisor.mailing.letters.letter import list_message
from advisor.mailing.mails import guard
from advisor.mailing.mails.identity import checked_identity
from advisor.mailing.mails.message import digest_message

PLACES = ("subject", "to", "name", "sender", "postal_address", "reply_to", "leave_url", "list_id")
PIECES = (
    "\r\n", "\n", "\r", "\0", "\x0b", "\x0c", "\x1c", "\x85", "\u2028", "\u2029", "\x7f", "\t",
    "Bcc: all@example.net", "X-Evil: 1", "=?UTF-8?Q?=0A?=", "=?utf-8?b?DQpCY2M6?=", "=?", "?=",
    "é", "Ω", "\U0001f331", "\ud800", "\u202e", "<", ">", ",", ";", ":", '"', "\\", "(", ")", "@",
    "a@b.example", "<script>alert(1)</script>", "</main>", "=cmd|'/c x'!A1", "=1+1", "+1", "-1",
    " ", "  ", "Ann", "O'Hara", "%0d%0aBcc:", "\r\n.\r\n", "\n.\nMAIL FROM:<x@y.example>", "ß", "x",
)  # fmt: skip


def hostile(count, seed):
    draw = random.Random(seed)
    for _ in range(count):
        yield "".join(draw.choices(PIECES, k=draw.randint(1, 7)))


def build(place, text):
    letter = records.replace(LETTER, subject=text) if place == "subject" else LETTER
    given = IDENTITY if place in ("subject", "to") else records.replace(IDENTITY, **{place: text})
    to = text if place == "to" else "ann@example.com"
    return list_message(
        letter, checked_identity(given), KEY, edition="2026-W36", dated=DATED, reader="r1", to=to
    )


@pytest.mark.slow
def test_no_header_and_no_tag_gets_through():
    plain = message_from_bytes(build("subject", "Lawn"), policy=default)
    names = list(plain)
    taken = 0
    for number, text in enumerate(hostile(10_000, 7)):
        place = PLACES[number % len(PLACES)]
        try:
            raw = build(place, text)
        except BadInput:
            continue
        taken += 1
        mail = message_from_bytes(raw, policy=default)
        assert list(mail) == names, (place, text)
        assert not mail.defects
        assert not any(value.defects for value in mail.values()), (place, text)
        assert len(mail["To"].addresses) == len(mail["From"].addresses) == 1
        if place == "subject":
            assert str(mail["Subject"]).split() == text.split()
        page = list(mail.iter_parts())[1].get_content()
        assert "<script" not in page
        assert page.count("</main>") == 1
    # What is harmless does get through; a guard that refuses everything proves nothing.
    assert taken > 300


@pytest.mark.parametrize("field", ["subject", "sender", "to"])
def test_a_header_cannot_be_smuggled_in(field):
    given = {"subject": "Lawn", "sender": "", "to": "", field: "x\r\nBcc: all@example.org"}
    with pytest.raises(BadInput, match="holds a control character"):
        digest_message(text="t", html="<p>t</p>", **given)


def test_the_published_flaw_is_refused():
    evil = "A é subject=?UTF-8?Q?=0A?=Bcc: injected@example.com"
    with pytest.raises(BadInput, match="mail programs decode"):
        digest_message(evil, "t", "<p>t</p>")


@pytest.mark.parametrize("character", ["\0", "\r", "\x0b", "\x85", "\ud800"])
def test_controls_in_a_part_are_refused(character):
    with pytest.raises(BadInput, match="control character"):
        digest_message("Lawn", f"a{character}b", "<p>t</p>")


@pytest.mark.parametrize(
    ("given", "plain"),
    [
        ("ann@example.org", "ann@example.org"),
        ("o'hara+lawn@mail.example.org", "o'hara+lawn@mail.example.org"),
        ("ann@bücher.example", "ann@xn--bcher-kva.example"),  # the example of RFC 3492's authors
    ],
)
def test_plain_addresses_are_taken(given, plain):
    assert guard.address(given, "To") == plain


@pytest.mark.parametrize(
    "given",
    ["", "ann", "@example.org", "ann@", "a b@example.org", "a..b@example.org", ".a@example.org",
     '"a b"@example.org', "a@b@example.org", "ann@-x.example", "ann@example..org", "é@example.org",
     "a" * 65 + "@example.org", "a@" + "b" * 260, "<ann@example.org>", "a,b@example.org"],
)  # fmt: skip
def test_other_addresses_are_refused(given):
    with pytest.raises(BadInput):
        guard.address(given, "To")
