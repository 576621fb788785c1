"""Small amounts of patch repair against the printed rates for a new lawn."""

from __future__ import annotations

import pytest

from advisor.rulebook.model import RuleBook

SQUARE_M = 4 * 0.09290304
"""2 by 2 ft."""
SPOON_ML = 14.8
SEED_G_PER_ML = 0.3
"""From memory: loose turf seed weighs 0.2 to 0.35 g to the millilitre."""


@pytest.mark.parametrize(
    ("grass", "grams", "spoons"),
    # Kansas State Horticulture Newsletter, August 2019: 2-3 lb of bluegrass and 6-8 lb of tall
    # fescue per 1,000 ft2; the grams by hand, 1 lb being 453.6 g.
    [("kentucky_bluegrass", 2.5 * 0.4536 * 4, 1), ("tall_fescue", 7 * 0.4536 * 4, 3)],
)
def test_seed_for_a_patch(grass: str, grams: float, spoons: int, book: RuleBook) -> None:
    limits = book.grasses[grass].limits
    middle = (limits["seed_rate_new_low"].value + limits["seed_rate_new_high"].value) / 2
    assert middle * SQUARE_M == pytest.approx(grams, rel=0.01)
    assert round(grams / (SPOON_ML * SEED_G_PER_ML)) == spoons
    words = {1: "about a level tablespoon of bluegrass", 3: "or three of tall fescue"}
    (told,) = (a.says for a in book.operations["patch_repair"].advice if a.id == "one_grass")
    assert words[spoons] in told
