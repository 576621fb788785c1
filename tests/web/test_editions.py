"""What everybody may read of a sent edition: safe, useful, and nothing about any one reader."""

from __future__ import annotations

import re
from urllib.parse import urljoin, urlsplit

import html5lib
from mail_samples import IDENTITY, KEY
from web_list import NOTE, READERS, Visitor, set_out

from advisor.mailing.outbox.run import go_on
from advisor.web.app import make_app
from advisor.web.served import Served


def crawl(web, start="/editions"):
    """Every page that can be reached, by its path; the parser is strict (HTML standard)."""
    found, todo = {}, [start]
    while todo:
        path = todo.pop()
        if path in found:
            continue
        done = web.get(path)
        assert done.status_code == 200, path
        found[path] = done.text
        page = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False).parse(done.text)
        assert page.get("lang") == "en"
        for link in page.iter("a"):
            at = urlsplit(urljoin(f"https://x{path}", link.get("href")))
            assert (at.scheme, at.netloc) == ("https", "x")
            todo.append(f"{at.path}?{at.query}" if at.query else at.path)
    return found


def test_only_what_three_readers_got_alike_and_who_told_nothing(web, sent):
    pages = crawl(web)
    # One digest is shown: that of the three who told place and grass alone.
    assert sorted(pages) == ["/editions", "/editions/2018-W37", "/editions/2018-W37/2"]
    digest = pages["/editions/2018-W37/2"]
    assert "Tall fescue, weather of central Iowa" in digest
    assert "Mind:" in digest
    assert "Tall fescue, laws of IA, US" in pages["/editions/2018-W37"]


def test_nothing_personal(web, sent):
    whole = "\n".join(crawl(web).values())
    for row in READERS.splitlines()[1:]:
        address, name = row.split(",")[:2]
        assert address not in whole
        assert not re.search(rf"\b{name}\b", whole)
    for secret in ("50010", "0.73", "3712", "3,712", "-31.95", "/leave/", "/calendar/", "Buffalo"):
        assert secret not in whole


def test_what_an_editor_says_is_text(web, sent):
    page = crawl(web)["/editions/2018-W37"]
    assert "Mow &lt;b&gt;high&lt;/b&gt; &amp; dry." in page
    assert NOTE not in page


def test_not_before_it_goes_to_all(web, store):
    assert web.get("/editions").status_code == 404  # approved
    set_out(store, canary=0.3)
    for path in ("/editions", "/editions/2018-W37", "/editions/2018-W37/2"):
        assert web.get(path).status_code == 404
    go_on(store, 1)
    assert len(crawl(web)) == 3


def test_the_archive_can_stay_closed(store, sent):
    closed = Visitor(make_app(Served(store, IDENTITY, KEY, archive=False)))
    for path in ("/editions", "/editions/2018-W37", "/editions/2018-W37/2"):
        assert closed.get(path).status_code == 404


def test_odd_addresses(web, sent):
    odd = "2018-W38 2018-W99 2018-w37 0000-W01 2018-W37/3 2018-W37/0x1 2018-W37/ ..%2f..%2fetc %00"
    parts = [f"2018-W37?part={part}" for part in ("0", "x", "2", "")]
    for path in (*odd.split(), *parts, f"2018-W37/{10**30}"):
        assert web.get(f"/editions/{path}").status_code == 404, path


def test_asked_again(web, sent):
    first = web.get("/editions/2018-W37/2")
    again = web.get("/editions/2018-W37/2", headers={"If-None-Match": first.headers["etag"]})
    assert (again.status_code, again.content) == (304, b"")
    assert "noindex" in first.headers["x-robots-tag"]
    assert len(first.content) < 81_000
