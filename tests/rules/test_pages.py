"""The rule book as pages: nothing that decides is left out, and the counts are those counted."""

from __future__ import annotations

import datetime as dt

import html5lib
import pytest

from advisor.base.problems import BadInput
from advisor.base.record import replace
from advisor.rulebook.conditions import leaves
from advisor.rulebook.coverage import coverage
from advisor.rulebook.disagreements import disagreements
from advisor.rulebook.model import RuleBook
from advisor.rulebook.pages.coverage_text import coverage_lines
from advisor.rulebook.pages.examples import example_lines
from advisor.rulebook.pages.operation import operation_page
from advisor.rulebook.pages.overview import disagreements_page
from advisor.rulebook.pages.page import Items, Page, Table, Text, as_html, as_markdown, as_text
from advisor.rulebook.pages.whole import all_pages, page_of
from advisor.rulebook.pages.words import leaf_said
from advisor.rulebook.stale import stale

DAY = dt.date(2026, 11, 25)


def test_a_page_names_every_condition_caution_and_source(book: RuleBook) -> None:
    for operation in book.operations.values():
        shown = as_markdown(operation_page(operation, book)).replace("\\", "")
        for tree in operation.trees().values():
            for leaf in leaves(tree):
                assert leaf_said(leaf, book.vocabulary) in shown, (operation.id, leaf.path)
                assert leaf.range in shown
        for id in operation.safety:
            assert book.cautions[id].text in shown
        for evidence in operation.evidence.values():
            assert evidence.source is None or evidence.source.title in shown


def test_every_page_in_every_form(book: RuleBook) -> None:
    pages = all_pages(book)
    assert len(pages) == len(book.operations) + len(book.grasses) + 3
    parser = html5lib.HTMLParser(strict=True)
    for name in (*book.operations, *book.grasses):
        page = page_of(name, book)
        parser.parse(as_html(page))
        assert max(map(len, as_text(page).splitlines())) <= 120
    for name, shown in pages.items():
        tables = [part for part in shown.split("\n\n") if part.startswith("|")]
        for table in tables:  # a table whose rows differ in cells falls apart
            cells = {line.replace("\\|", "").count("|") for line in table.splitlines()}
            assert len(cells) == 1, name


def test_forms_of_a_small_page() -> None:
    page = Page(
        "A",
        (
            Items(
                ((0, "x"), (1, "y"), (0, "z <1")),
            ),
            Table(("n", "m"), (("a|b", "c"),)),
        ),
    )
    assert as_markdown(page) == (
        "# A\n\n- x\n  - y\n- z \\<1\n\n| n | m |\n| --- | --- |\n| a\\|b | c |\n"
    )
    assert "<ul>\n<li>x\n<ul>\n<li>y\n</li></ul></li>\n<li>z &lt;1\n</li></ul>" in as_html(page)
    assert as_text(page) == "A\n=\n\n- x\n  - y\n- z <1\n\na|b\n    m: c\n"
    assert as_text(Page("B", (Text("[words](there.md)"),))) == "B\n=\n\nwords\n"


def test_an_unknown_page_is_refused_with_a_hint(book: RuleBook) -> None:
    with pytest.raises(BadInput, match="did you mean 'thatch_removal'"):
        page_of("thatch_remova", book)


def test_the_disagreements_are_the_limits_with_a_range(book: RuleBook) -> None:
    found = list(disagreements(book))
    own = [
        leaf
        for o in book.operations.values()
        for tree in o.trees().values()
        for leaf in leaves(tree)
        if leaf.range
    ]
    stated = [x for g in book.grasses.values() for x in g.limits.values() if x.range]
    assert len(found) == len(own) + len(stated) > 43
    shown = as_markdown(disagreements_page(book))
    assert shown.count("used: ") >= sum(1 for one in found if one.evidence)


def test_what_was_checked_two_years_ago_is_stale(book: RuleBook) -> None:
    one = next(iter(book.operations.values()))
    dated = {id: replace(e, checked=DAY - dt.timedelta(days=730)) for id, e in one.evidence.items()}
    only = replace(book, operations={one.id: replace(one, evidence=dated)}, grasses={})
    only = replace(only, ingredients={}, laws={}, key=None)
    published = sum(e.kind == "published" for e in dated.values())
    assert published > 0
    assert stale(only, DAY) == ()
    later = stale(only, DAY + dt.timedelta(days=1))
    assert len(later) == published
    assert {s.where for s in later} == {one.id}
    assert stale(only, DAY + dt.timedelta(days=1), years=3) == ()


def test_undated_published_evidence_is_stale(book: RuleBook) -> None:
    one = next(iter(book.operations.values()))
    id = next(id for id, e in one.evidence.items() if e.kind == "published")
    undated = {**one.evidence, id: replace(one.evidence[id], checked=None)}
    changed = replace(book, operations={one.id: replace(one, evidence=undated)})
    assert [(s.evidence, s.checked) for s in stale(changed, DAY) if s.where == one.id] == [
        (id, None)
    ]


def test_facts_read_agrees_with_the_trees(book: RuleBook) -> None:
    found = coverage(book)
    reads = found.facts_read["thatch_depth"]
    assert reads["thatch_removal"] == ("need", "advice")
    pairs = {(fact, id) for fact, by_operation in found.facts_read.items() for id in by_operation}
    assert pairs == {
        (leaf.fact, o.id)
        for o in book.operations.values()
        for tree in o.trees().values()
        for leaf in leaves(tree)
    }


def test_the_lines_of_coverage_hold_its_counts(book: RuleBook) -> None:
    found = coverage(book)
    text = "\n".join(coverage_lines(found))
    assert f"{found.limits:6}  limits that decide a verdict" in text
    assert (
        sum(sum(k.values()) for k in found.by_grass.values())
        + sum(sum(p.evidence.values()) for p in found.by_operation.values())
        == found.limits
    )
    assert found.published_share == found.evidence["published"] / found.limits


def test_every_example_is_listed(book: RuleBook) -> None:
    for operation in book.operations.values():
        lines = list(example_lines(operation, book))
        assert len(lines) == len(operation.examples)
        assert all(e.name in line for e, line in zip(operation.examples, lines, strict=True))
