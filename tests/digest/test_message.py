"""The digest as a mail, read back by the standard library's parser (RFC 5322, RFC 2046)."""

from __future__ import annotations

from email import message_from_bytes
from email.policy import default

import pytest

from advisor.base.problems import BadInput
from advisor.demo.scenario import DEMO_DAY
from advisor.digest.edition import compose_edition, show
from advisor.digest.message import digest_message
from advisor.digest.render import digest_html, digest_text


def test_both_parts_come_back_as_they_were(demo_lawn):
    edition = compose_edition(demo_lawn, DEMO_DAY)
    raw = show(edition, "eml")
    mail = message_from_bytes(raw, policy=default)
    assert not mail.defects
    assert mail.get_content_type() == "multipart/alternative"
    text, page = mail.iter_parts()
    assert text.get_content_type() == "text/plain"
    assert page.get_content_type() == "text/html"
    assert text.get_content().split() == digest_text(edition.digest).split()
    assert page.get_content().split() == digest_html(edition.digest).split()
    assert edition.digest.lead in mail["Subject"]
    assert max(len(line) for line in raw.split(b"\r\n")) <= 998


@pytest.mark.parametrize("field", ["subject", "sender", "to"])
def test_a_header_cannot_be_smuggled_in(field):
    given = {"subject": "Lawn", "sender": "", "to": "", field: "x\r\nBcc: all@example.org"}
    with pytest.raises(BadInput, match="holds a control character"):
        digest_message(text="t", html="<p>t</p>", **given)
