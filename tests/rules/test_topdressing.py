"""Amounts of topdressing against print, and its place in the order of work.

Cumberland County Soil and Water Conservation District (topdressing): 1,000 ft² take roughly three
quarters of a cubic yard for a layer of ¼ to ⅜ in. The rest is the arithmetic of the units: a cubic
yard is 27 ft³, a contractor's barrow holds about 3 ft³ half to two thirds full (from memory).
"""

from __future__ import annotations

from graphlib import TopologicalSorter

import pytest

from advisor.base.units import convert
from advisor.rulebook.model import RuleBook

FEET_IN_A_YARD = 27
BARROW_FT3 = 3.0


def cubic_yards(area_ft2: float, depth_in: float) -> float:
    return area_ft2 * depth_in / 12 / FEET_IN_A_YARD


def test_a_quarter_inch_takes_what_is_printed() -> None:
    assert cubic_yards(1000, 0.25) == pytest.approx(0.75, abs=0.05)


def test_the_texts_name_these_volumes(book: RuleBook) -> None:
    operation = book.operations["topdressing"]
    said = {a.id: a.says for a in operation.advice}["how_much"]
    assert f"{cubic_yards(1000, 0.25):.1f} cubic yards for ¼ in" in said
    assert "100 m²: 0.6 m³ for 6 mm" in said
    assert pytest.approx(0.6) == 100 * 0.006
    assert convert(6.0, "mm", "in") == pytest.approx(0.25, abs=0.02)
    behind = operation.evidence["volume"].says
    assert f"{cubic_yards(1000, 0.25) * FEET_IN_A_YARD:.1f} ft³" in behind
    assert f"{cubic_yards(1000, 0.25):.2f} cubic yards" in behind


def test_minutes_cover_the_barrow_loads(book: RuleBook) -> None:
    operation = book.operations["topdressing"]
    assert operation.effort is not None
    loads = cubic_yards(1000, 0.25) * FEET_IN_A_YARD / BARROW_FT3
    assert round(loads) == 7
    assert "seven loads of 3 ft³" in operation.evidence["barrow_loads"].says
    # 8 to 15 min for each barrow and half an hour or more of brushing: common practice.
    low, high = operation.effort.minutes_per_1000_ft2
    assert low == pytest.approx(7 * 8 + 30, abs=10)
    assert high >= 7 * 15 + 60


def test_thatch_then_cores_then_topdressing_then_seed(book: RuleBook) -> None:
    graph = {id: set(o.order.after) & set(book.operations) for id, o in book.operations.items()}
    for operation in book.operations.values():
        for later in operation.order.before:
            graph[later].add(operation.id)
    found = list(TopologicalSorter(graph).static_order())
    wanted = ["low_mow", "thatch_removal", "core_aeration", "topdressing", "overseeding"]
    assert [id for id in found if id in wanted] == wanted
    assert "topdressing" in graph["overseeding"]
    assert "core_aeration" in graph["topdressing"]
