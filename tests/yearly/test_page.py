"""The year page: strict HTML5 (html5lib), nothing fetched, no script, everything also in words."""

from __future__ import annotations

import dataclasses
import re

import html5lib
import pytest

from advisor.advice.book import Advice
from advisor.base import record as records
from advisor.base.record import replace
from advisor.render.yearly.pages import year_html, year_text
from advisor.render.yearly.rows import rows_of
from advisor.render.yearly.soil_chart import soil_year
from advisor.render.yearly.soil_drawing import limit_lines


@pytest.fixture(scope="module")
def page(demo_year):
    return year_html(demo_year)


@pytest.fixture(scope="module")
def tree(page):
    parser = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False)
    return parser.parse(page)


def test_it_is_strict_html_and_fetches_nothing(page, tree):
    assert tree.find(".//script") is None
    assert tree.find(".//link") is None
    assert tree.find(".//img") is None
    assert "url(" not in page.replace("url(#hatch)", "")
    assert not re.search(r"""(?:src|href)=["'](?!#)""", page)
    assert not re.search(r"\son\w+=", page)


def test_each_link_leads_somewhere(tree):
    ids = [e.get("id") for e in tree.iter() if e.get("id")]
    assert len(ids) == len(set(ids))
    links = [e.get("href").lstrip("#") for e in tree.iter("a")]
    assert links
    assert set(links) <= set(ids)
    for element in tree.iter():
        for name in (element.get("aria-labelledby") or "").split():
            assert name in ids


def test_the_picture_has_its_words(demo_year, tree):
    svg = next(e for e in tree.iter() if str(e.tag).endswith("svg"))
    assert svg.get("role") == "img"
    named = {str(e.tag).rsplit("}", 1)[-1]: e.text for e in svg if e.text}
    assert "Soil temperature" in named["title"]
    units = demo_year.case.site.unit_system
    for line in limit_lines(soil_year(demo_year), units):
        assert line in named["desc"]


def test_each_bar_says_its_years_in_words(demo_year, tree):
    table = next(t for t in tree.iter("table") if t.get("class") == "weeks")
    bodies = table.findall("tbody")
    rows = rows_of(demo_year)
    assert len(bodies) == len(rows)
    for body, row in zip(bodies, rows, strict=True):
        cells = body.findall(".//td")
        assert len(cells) == len(row.tenths)
        for cell, tenths in zip(cells, row.tenths, strict=True):
            words = "".join(cell.itertext())
            assert bool(words) == bool(tenths)
            if tenths:
                assert cell.find("i").get("class") == f"t{tenths}"
                assert ("nearly every year" if tenths == 10 else str(tenths)) in words


def test_reasons_are_folded_and_cautions_are_not(demo_year, tree):
    folded = {id(e) for details in tree.iter("details") for e in details.iter()}
    summaries = ["".join(s.itertext()) for s in tree.iter("summary")]
    assert any(s.startswith("Thatch removal (front): Do it") for s in summaries)
    cautions = [p for p in tree.iter("p") if p.get("class") == "mind"]
    assert cautions
    assert all(id(p) not in folded for p in cautions)
    said = " ".join("".join(p.itertext()) for p in cautions)
    book = demo_year.case.book
    for caution in book.operations["thatch_removal"].safety:
        assert book.cautions[caution].short in said


def test_what_the_keeper_wrote_is_escaped(demo_year):
    site = records.replace(demo_year.case.site, name="<script>alert(1)</script>")
    shown = year_html(
        dataclasses.replace(demo_year, advice=Advice(replace(demo_year.case, site=site)))
    )
    assert "<script" not in shown
    assert "&lt;script&gt;" in shown


def test_text_and_page_name_the_same_seasons(demo_year, page, tree):
    words = " ".join("".join(tree.itertext()).split())
    text = " ".join(year_text(demo_year).split())
    for row in rows_of(demo_year):
        assert row.title in words
        for line in row.says:
            assert line in words
            assert line in text
    for jargon in ("p10", "p50", "ensemble", "gate", "basis"):
        assert not re.search(rf"\b{jargon}\b", words, re.IGNORECASE)


@pytest.mark.parametrize("days", [20, 370, 6 * 365, 30 * 365])
def test_short_records_make_sound_pages_too(short_year, days):
    html5lib.HTMLParser(strict=True).parse(year_html(short_year(days)))


def test_a_lawn_without_weather_has_a_page(short_year):
    shown = year_html(short_year(0))
    html5lib.HTMLParser(strict=True).parse(shown)
    assert "No weather yet" in shown
