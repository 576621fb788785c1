"""Mails of many kinds: no defect to the library's parser, valid HTML, text and page the same.

Readers: `email` with its strict policy, and html5lib's strict parser. The HTML standard's own
validator and an accessibility checker need a browser and Java: docs/check_mail.py.
"""

from __future__ import annotations

import re
from email import message_from_bytes
from email.policy import default, strict
from statistics import median

import html5lib
import pytest
from mail_kinds import MOST_SOURCE_BYTES, mails

from advisor.base.problems import BadInput
from advisor.mailing.mails.editor_words import checked_words
from advisor.mailing.mails.message import LARGEST_HTML

pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def sent(tmp_path_factory, book):
    return dict(mails(tmp_path_factory.mktemp("kinds") / "list", book))


def parts_of(raw):
    parts = message_from_bytes(raw, policy=default).iter_parts()
    return [part.get_content() for part in parts]


def words_of_text(text):
    """In lower case, without addresses of pages and the numbers of lists."""
    plain = re.sub(r"https?://\S+|^-+ ?$", "", text, flags=re.MULTILINE)
    numbers = re.compile(r"^ *(?:[0-9]+\.|\[[0-9]+\]) ", re.MULTILINE)
    return re.findall(r"[^\W_]+", numbers.sub("", plain).lower())


def words_of_page(page):
    root = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False).parse(page)
    return re.findall(r"[^\W_]+", " ".join(root.find(".//main").itertext()).lower())


def test_there_are_mails_of_many_kinds(sent):
    assert len(sent) >= 12
    assert len({raw.partition(b"\r\n\r\n")[2] for raw in sent.values()}) == len(sent)


def test_no_part_has_a_defect(sent):
    for name, raw in sent.items():
        mail = message_from_bytes(raw, policy=strict)
        assert [d for part in mail.walk() for d in part.defects] == [], name
        assert [d for value in mail.values() for d in getattr(value, "defects", ())] == [], name
        types = [part.get_content_type() for part in mail.walk()]
        assert types == ["multipart/alternative", "text/plain", "text/html"], name
        head, _, body = raw.partition(b"\r\n\r\n")
        assert max(map(len, body.split(b"\r\n"))) <= 76  # RFC 2045 section 6.7
        assert re.search(rb"^Subject: .{1,66}\r\n[^ ]", head, re.MULTILINE), name


def test_text_and_page_say_the_same_words_in_the_same_order(sent):
    for name, raw in sent.items():
        text, page = parts_of(raw)
        assert words_of_text(text) == words_of_page(page), name


def test_a_word_more_or_less_is_noticed(sent):
    text, page = parts_of(sent["measured, with amounts"])
    word = "Mower"
    assert word in text
    assert words_of_text(text.replace(word, "", 1)) != words_of_page(page)
    assert words_of_text(text) != words_of_page(page.replace(word, "", 1))


def test_what_an_editor_says_is_text_and_nothing_else(sent):
    text, page = parts_of(sent["no weather near"])
    root = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False).parse(page)
    tags = {e.tag for e in root.iter() if isinstance(e.tag, str)}
    assert not tags & {"script", "b"}
    assert "alert(1)" in text
    assert "{{ 7*7 }}" in text
    assert "{{ 7*7 }}" in "".join(root.itertext())


def test_no_mail_is_cut_by_mail_programs(sent):
    sizes = {name: len(parts_of(raw)[1].encode()) for name, raw in sent.items()}
    assert 45_000 < sizes.pop("the largest") <= LARGEST_HTML
    assert median(sizes.values()) <= 25_000


def test_sources_leave_room(sent):
    """The largest mail holds twice the bytes of sources that any other needs, or more."""
    for name, raw in sent.items():
        _, _, sources = parts_of(raw)[1].partition(">Sources<")
        size = len(sources.partition("</ol>")[0].encode())
        if name == "the largest":
            assert size > 0.95 * MOST_SOURCE_BYTES
        else:
            assert size < MOST_SOURCE_BYTES / 2, name


@pytest.mark.parametrize("text", ["&" * 1_250, "x\n" * 150 + "x", "é" * 3_100])
def test_an_editor_who_says_too_much_is_told(text):
    with pytest.raises(BadInput, match="bytes on the page; at most 6,000 fit"):
        checked_words(text, "note")


def test_an_editor_may_say_much(sent):
    assert checked_words(f" {'word ' * 1_100}\n", "note") == ("word " * 1_100).strip()
