"""A list's mail against the standards, read by the standard library's strict parser and html5lib.

RFC 5322 (sections 2.1.1, 3.6), 2046 (5.1.4), 2047 (5), 2369, 2919, 3834 and 8058 (section 3.1).
"""

from __future__ import annotations

import datetime as dt
import random
import re
from email import message_from_bytes
from email.headerregistry import Address
from email.message import EmailMessage
from email.policy import EmailPolicy, default, strict
from email.utils import parsedate_to_datetime

import html5lib
import pytest
from hypothesis import given as drawn
from hypothesis import settings
from hypothesis import strategies as st
from mail_samples import DATED, IDENTITY, KEY, LETTER

from advisor.base import record as records
from advisor.base.problems import BadInput
from advisor.mailing.letters.letter import list_message
from advisor.mailing.mails.identity import checked_identity
from advisor.mailing.mails.mail_policy import POLICY
from advisor.mailing.mails.message import LARGEST_HTML
from advisor.mailing.mails.tokens import read_leaving_token


def build(letter=LETTER, identity=IDENTITY, reader="r000017", to="ann@example.com", **given):
    given = {"edition": "2026-W36", "dated": DATED, **given}
    return list_message(letter, identity, KEY, reader=reader, to=to, **given)


def parts_of(raw):
    mail = message_from_bytes(raw, policy=default)
    text, page = mail.iter_parts()
    return mail, text.get_content(), page.get_content()


def test_the_strict_parser_finds_no_defect():
    mail = message_from_bytes(build(), policy=strict)
    defects = [d for part in mail.walk() for d in part.defects]
    assert defects == []
    assert [d for value in mail.values() for d in getattr(value, "defects", ())] == []


def test_each_field_stands_once_and_the_needed_ones_are_there():
    mail = message_from_bytes(build(), policy=default)
    names = [name.lower() for name in mail]
    assert len(names) == len(set(names))
    assert {"date", "from", "to", "reply-to", "subject", "message-id", "mime-version"} <= set(names)
    assert mail["Auto-Submitted"] == "auto-generated"
    assert parsedate_to_datetime(mail["Date"]) == DATED
    assert mail["From"].addresses[0].addr_spec == "week@example.org"
    assert [p.get_content_type() for p in mail.iter_parts()] == ["text/plain", "text/html"]


def test_one_click_as_rfc_8058_asks():
    mail = message_from_bytes(build(), policy=default)
    assert mail["List-Unsubscribe-Post"] == "List-Unsubscribe=One-Click"
    assert mail["List-Id"] == '"The invented lawn week" <lawn-week.example.org>'
    https, mailto = re.findall("<([^ >]+)>", mail["List-Unsubscribe"])
    assert https.startswith("https://lawn.example.org/leave/")
    assert mailto.startswith("mailto:leave@example.org?")
    assert read_leaving_token(KEY, https.rpartition("/")[2]) == (IDENTITY.list_id, "r000017")
    assert "ann" not in https


def test_a_long_way_out_is_never_encoded():
    """The email package alone would write RFC 2047 words here, where section 5 forbids them."""
    far = records.replace(IDENTITY, leave_url="https://lawn.example.org/" + "long/" * 60)
    raw = build(identity=far, reader="r" + "1" * 40)
    head = raw.partition(b"\r\n\r\n")[0]
    assert b"List-Unsubscribe: <https://lawn.example.org/long/" in head
    for name in (b"List-Unsubscribe", b"List-Id", b"Message-ID"):
        field = re.search(name + rb": (.*(\r\n .*)*)", head).group(1)
        assert b"=?" not in field
    assert max(map(len, raw.split(b"\r\n"))) <= 998
    mail = message_from_bytes(raw, policy=strict)
    assert len(re.findall("<([^ >]+)>", mail["List-Unsubscribe"])) == 2


def test_encoded_words_are_at_most_75_long():
    draw = random.Random(5)
    for _ in range(200):
        subject = " ".join(
            "".join(draw.choices("aeiouäöü–€xyz", k=draw.randint(1, 40))) for _ in range(8)
        )
        raw = build(records.replace(LETTER, subject=subject + " ü"))
        words = re.findall(rb"=\?utf-8\?[^?]+\?[^?]*\?=", raw.partition(b"\r\n\r\n")[0])
        assert words
        assert max(map(len, words)) <= 75  # RFC 2047 section 2
        assert message_from_bytes(raw, policy=default)["Subject"] == subject + " ü"


def test_a_second_try_has_the_same_bytes():
    assert build() == build()
    assert build() != build(reader="r000018")
    ids = {message_from_bytes(build(reader=f"r{i}"))["Message-ID"] for i in range(500)}
    assert len(ids) == 500
    assert build(edition="2026-W37") != build()


def test_text_and_page_say_the_same():
    """Every word of the page stands in the text, in order, so nobody needs the page."""
    _, text, page = parts_of(build())
    tree = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False).parse(page)
    shown = re.findall(r"\w+", " ".join(tree.find(".//main").itertext()).lower())
    said = re.findall(r"\w+", text.lower())
    at = 0
    for word in shown:
        at = said.index(word, at) + 1
    assert IDENTITY.postal_address in text
    assert IDENTITY.reply_to in text
    assert IDENTITY.postal_address in page


def test_nothing_is_fetched_and_nobody_is_tracked():
    _, _, page = parts_of(build())
    tree = html5lib.parse(page, namespaceHTMLElements=False)
    assert not [
        e.tag for e in tree.iter() if e.tag in ("img", "script", "link", "iframe", "object")
    ]
    links = [e.get("href") for e in tree.iter("a")]
    assert len(links) == 1
    assert links[0].startswith(IDENTITY.leave_url)
    assert "url(" not in page


def test_lines_that_are_dots_come_back():
    _, text, _ = parts_of(build())
    assert text.replace("\r\n", "\n").startswith(LETTER.text.rstrip())


@pytest.mark.parametrize(
    ("key", "value", "said"),
    [
        ("postal_address", " ", "postal_address: is empty"),
        ("sender", "", "sender: is empty"),
        ("leave_url", "http://example.org/leave", "wanted https"),
        ("leave_url", "https://example.org/a b", "cannot be used"),
        ("leave_url", "https://example.org/>,<https://evil.example", "cannot be used"),
        ("reply_to", "nobody", "is no address"),
        ("list_id", "lawn", "needs a domain"),
        ("name", "Lawn =?utf-8?q?=0A?=", "mail programs decode"),
    ],
)
def test_a_list_that_lacks_what_bulk_mail_needs_is_refused(key, value, said):
    with pytest.raises(BadInput, match=re.escape(said)):
        checked_identity(records.replace(IDENTITY, **{key: value}))


def test_a_sound_list_is_taken_as_it_is():
    assert checked_identity(IDENTITY) == IDENTITY


def test_a_page_that_mail_programs_would_cut_is_refused():
    long = records.replace(LETTER, html=LETTER.html.replace("Sow now.", "x" * LARGEST_HTML))
    with pytest.raises(BadInput, match="at most 80,000"):
        build(long)


def test_a_date_of_another_zone_is_the_same_moment():
    raw = build(dated=dt.datetime(2026, 9, 4, 8, 0, tzinfo=dt.timezone(dt.timedelta(hours=2))))
    assert parsedate_to_datetime(message_from_bytes(raw)["Date"]) == DATED


@settings(max_examples=150)
@drawn(lines=st.lists(st.text(st.characters(exclude_categories=("Cc", "Cs"))), max_size=4),
       last=st.sampled_from(("", " ", "\t", "=", "ü" * 40 + " ", "x" * 75 + " ", "x" * 76)),
       end=st.sampled_from(("", "\n", "\n\n")))  # fmt: skip
def test_kept_lines_and_headers_are_what_the_library_makes_each_time(lines, last, end):
    """Held to the standard library without our policy, each message anew."""
    plain_policy = EmailPolicy(linesep="\r\n", max_line_length=76)
    body = "\n".join([*lines, last]) + end
    kept, plain = EmailMessage(policy=POLICY), EmailMessage(policy=plain_policy)
    for message, how in ((kept, {}), (plain, {"cte": "quoted-printable"})):
        message["Reply-To"] = "editor@example.org"
        message["From"] = Address("Über, uns", addr_spec="week@example.org")
        message["Auto-Submitted"] = "auto-generated"
        message.set_content(body, **how)
        message.add_alternative(f"<p>{body}", subtype="html", **how)
        message.set_boundary("=_x")
    assert kept.as_bytes() == plain.as_bytes()
    assert kept.items() == plain.items()
