"""Minutes of work against the arithmetic of field capacity.

Effective field capacity, Iowa State University A3-24 (PM 696): acres per hour = miles per hour x
width in feet x field efficiency / 8.25. Speeds, widths and efficiencies are those of machines for
hire, from memory.
"""

from __future__ import annotations

import pytest

from advisor.rulebook.model import RuleBook

SQUARE_FEET_PER_ACRE = 43_560


def minutes_per_1000_ft2(mph: float, width_in: float, efficiency: float) -> float:
    acres_per_hour = mph * width_in / 12 * efficiency / 8.25
    return 60 * 1000 / (acres_per_hour * SQUARE_FEET_PER_ACRE)


CORER = minutes_per_1000_ft2(2.5, 19, 0.70)
VERTICAL_MOWER = minutes_per_1000_ft2(2, 20, 0.65)
SLIT_SEEDER = VERTICAL_MOWER
MOWER = minutes_per_1000_ft2(2.5, 21, 0.75)
SPREADER = 2 * minutes_per_1000_ft2(3, 120, 0.65)
"""Two passes at half the rate."""


def test_formula() -> None:
    # One acre an hour is 8.25 / (mph x ft) of efficiency one: 8.25 ft at 1 mph.
    assert minutes_per_1000_ft2(1, 8.25 * 12, 1.0) == pytest.approx(60_000 / SQUARE_FEET_PER_ACRE)


@pytest.mark.parametrize(
    ("operation", "least", "most"),
    [
        # Two to four passes of coring with the turning on a small lawn.
        ("core_aeration", 2 * CORER, 4 * CORER),
        # Two passes, and raking up at 10 to 20 min (common practice).
        ("thatch_removal", 2 * VERTICAL_MOWER + 10, 2 * VERTICAL_MOWER + 20),
        # Spreading or slitting alone is the least part of it.
        ("overseeding", SPREADER, SLIT_SEEDER),
        ("spring_seeding", SPREADER, SLIT_SEEDER),
        ("dormant_seeding", SPREADER, SPREADER),
        ("feeding", SPREADER, SPREADER),
        # One pass, or two with what it takes to empty the bag.
        ("mowing", MOWER, MOWER),
        ("low_mow", 2 * MOWER, 2 * MOWER),
        ("leaf_litter", 2 * MOWER, 2 * MOWER),
    ],
)
def test_range_covers_the_machine(
    operation: str, least: float, most: float, book: RuleBook
) -> None:
    effort = book.operations[operation].effort
    assert effort is not None
    low, high = effort.minutes_per_1000_ft2
    assert low < high
    assert most <= high
    if operation in ("core_aeration", "thatch_removal", "mowing", "low_mow", "leaf_litter"):
        assert low <= least * 1.25
        assert least <= high
    else:
        assert least < low


def test_texts_name_these_minutes(book: RuleBook) -> None:
    operations = book.operations.values()
    said = {
        o.id: o.evidence[id].says
        for o in operations
        for id in ("pass_time", "mow_time")
        if id in o.evidence
    }
    assert f"takes {CORER:.0f} min" in said["core_aeration"]
    assert f"takes {VERTICAL_MOWER:.0f} min" in said["thatch_removal"]
    assert f"slit seeder {SLIT_SEEDER:.0f}" in said["overseeding"]
    assert "little over 1 min" in said["dormant_seeding"]
    assert "little over 1 min" in said["feeding"]
    assert 1 < SPREADER < 1.5
    assert all("takes 3½ min" in said[id] for id in ("mowing", "low_mow"))
    assert pytest.approx(3.5, abs=0.1) == MOWER
    assert f"take {2 * MOWER:.0f} min" in said["leaf_litter"]
