"""The keeper's own digest as a mail, read back by the standard library's parser."""

from __future__ import annotations

from email import message_from_bytes
from email.policy import default

from advisor.cases.open_folder import open_case
from advisor.demo.scenario import DEMO_DAY, write_demo
from advisor.mailing.mails.keeper_mail import own_copy
from advisor.render.digest.edition import compose_edition
from advisor.render.digest.render import digest_text, mail_html
from advisor.rulebook.read_rulebook import read_rulebook


def test_both_parts_come_back_as_they_were(tmp_path):
    edition = compose_edition(open_case(write_demo(tmp_path), read_rulebook(), DEMO_DAY))
    raw = own_copy(edition)
    mail = message_from_bytes(raw, policy=default)
    assert not mail.defects
    assert mail.get_content_type() == "multipart/alternative"
    text, page = mail.iter_parts()
    assert text.get_content_type() == "text/plain"
    assert page.get_content_type() == "text/html"
    assert text.get_content().split() == digest_text(edition.digest).split()
    assert page.get_content().split() == mail_html(edition.digest).split()
    assert edition.digest.lead in mail["Subject"]
    assert max(len(line) for line in raw.split(b"\r\n")) <= 998
