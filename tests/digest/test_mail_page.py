"""The mail's HTML: styles inlined once in its template are those of inlining each page.

Compared with css-inline, which inlines the finished page, and read by html5lib.
"""

from __future__ import annotations

import datetime as dt
import importlib.util
from pathlib import Path

import html5lib
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.answers.sources import Claim, Line
from advisor.base.record import replace
from advisor.demo.scenario import DEMO_DAY
from advisor.planning.plan_words import GateLine
from advisor.render.digest.edition import compose_edition
from advisor.render.digest.render import digest_html, mail_footer, mail_html
from advisor.render.digest.tasks import Task
from advisor.render.digest.view import Digest, Finding

ROOT = Path(__file__).parents[2]
DAYS = [DEMO_DAY - dt.timedelta(days=13 * n) for n in range(0, 28, 4)]


@pytest.fixture(scope="module")
def make_mail():
    spec = importlib.util.spec_from_file_location("make_mail", ROOT / "docs" / "make_mail.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def tree_of(page):
    """Every element with its attributes and text; layout between elements left out."""
    root = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False).parse(page)
    return [
        (e.tag, sorted(e.attrib.items()), " ".join((e.text or "").split()),
         " ".join((e.tail or "").split()))
        for e in root.iter() if isinstance(e.tag, str)
    ]  # fmt: skip


def test_the_templates_are_as_they_are_made(make_mail):
    made = make_mail.make()
    for name, content in made.items():
        shown = (ROOT / "templates" / "mail" / name).read_text(encoding="utf-8")
        assert "".join(content.split()) == "".join(shown.split()), "run `python docs/make_mail.py`"
    assert sorted(made) == sorted(p.name for p in (ROOT / "templates" / "mail").iterdir())


@pytest.mark.parametrize("day", DAYS, ids=str)
def test_inlined_once_is_inlined_late(make_mail, demo_lawn, day):
    digest = compose_edition(replace(demo_lawn, on=day)).digest
    once = mail_html(digest)
    assert tree_of(once) == tree_of(make_mail.inline(digest_html(digest)))
    # Nothing waits for a style sheet but what depends on the medium.
    assert "<style>" not in once
    bare = [tag for tag, attributes, *_ in tree_of(once)
            if tag in ("h1", "h2", "p", "li") and "style" not in dict(attributes)]  # fmt: skip
    assert bare == []


words = st.text(st.characters(exclude_categories=("Cs", "Cc")), max_size=30)
some = st.lists(words, max_size=2).map(tuple)
lines = st.lists(st.builds(Line, words, words, some), max_size=2).map(tuple)
claims = st.lists(st.builds(Claim, words, some), max_size=2).map(tuple)
states = st.sampled_from(("late", "open", "met"))
gates = st.lists(st.builds(GateLine, states, words, words, some), max_size=2).map(tuple)


@settings(max_examples=30)
@given(
    st.builds(
        Digest, site=words, first=st.just(DEMO_DAY), last=st.just(DEMO_DAY), lead=words,
        gates=gates,
        changed=some, strip=lines, then=words, held=lines, dated=lines, plan=some, coming=lines,
        leave=words, water=some, care=some, weather=words, law=words,
        changed_why=some, editor=lines, finding=st.none() | st.builds(Finding, *[words] * 3, some),
        tasks=st.lists(st.builds(Task, title=words, when=words, why=claims, care=some,
            brief=st.booleans(), first=words, effort=words, cautions=some, steps=some,
            advice=some, delay=words,
            nothing=words), max_size=2).map(tuple),
    )
)  # fmt: skip
def test_inlined_once_is_inlined_late_whatever_is_said(make_mail, digest):
    assert tree_of(mail_html(digest)) == tree_of(make_mail.inline(digest_html(digest)))


def test_the_footer_stands_as_if_it_had_been_in_the_page(make_mail, demo_lawn):
    page = digest_html(compose_edition(replace(demo_lawn, on=DEMO_DAY)).digest)
    source = (ROOT / "templates" / "footer.html").read_text(encoding="utf-8")
    said = {"why": "Why & who", "who": "A list", "leave": "https://example.org/a?b=c&d=e"}
    said["calendar"] = "https://example.org/c.ics"
    source = source.replace("{% if calendar %}\n", "").replace("{% endif %}\n", "")
    for key, text in said.items():
        source = source.replace(f"{{{{ {key} }}}}", text.replace("&", "&amp;"))
    late = make_mail.inline(page.replace("</main>", f"{source}</main>"))
    footer = mail_footer(**said)
    once = mail_html(compose_edition(replace(demo_lawn, on=DEMO_DAY)).digest)
    assert tree_of(once.replace("</main>", f"{footer}</main>")) == tree_of(late)
    without = mail_footer(said["why"], said["who"], said["leave"])
    assert "calendar" not in without
    assert without.count("<p") == footer.count("<p") - 1


@pytest.mark.parametrize(
    ("template", "said"),
    [
        ('<p class="a {{ b }}">x</p>', "filled in inside the tag"),
        ("<p {% if a %}class=b{% endif %}>x</p>", "filled in inside the tag"),
        ('<p id="{{ b }}">x</p>', "filled in inside the tag"),
        ("<style>li + li { margin: 0 }</style>", "depends on neighbours"),
        ("<style>li:first-child { margin: 0 }</style>", "depends on neighbours"),
    ],
)
def test_what_would_differ_is_refused(make_mail, template, said):
    assert said in " ".join(make_mail.cannot_be_inlined(template))
