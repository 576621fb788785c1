"""What a seed label says that should be heard before paying."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping

from advisor.amounts.say import percent
from advisor.amounts.seed import bag_parts
from advisor.rulebook.model import Grass
from advisor.rulebook.supply_numbers import SupplyNumbers
from advisor.site.supplies import SeedBag

_DAYS_A_MONTH = 30.4


def label_notes(
    bag: SeedBag, grasses: Mapping[str, Grass], numbers: SupplyNumbers, on: dt.date
) -> Iterator[str]:
    """A sentence for each thing on the label that is worse than it should be, or missing."""
    for key, limit, said in (
        ("weed_seed", "weed_seed_most", "weed seed"),
        ("other_crop", "other_crop_most", "seed of other crops"),
        ("inert", "inert_most", "inert matter"),
    ):
        share = getattr(bag, key)
        if share is not None and share > numbers[limit]:
            more = "; coated seed weighs so, sow by the live share" if key == "inert" else ""
            yield (
                f"{percent(share)} {said}: a good label stays under {percent(numbers[limit])}{more}"
            )
    missing = [said for key, said in _ASKED.items() if getattr(bag, key) is None]
    if missing:
        yield f"read {', '.join(missing)} off the label too; a bag without it is not to be trusted"
    for part in bag_parts(bag):
        if part.germination < numbers["germination_least"]:
            title = grasses[part.grass].title if part.grass in grasses else part.grass
            yield (
                f"{title} sprouts at {percent(part.germination)}; "
                f"{percent(numbers['germination_least'])} and more is good seed"
            )
    yield from _old_test(bag, grasses, numbers, on)


_ASKED = {"weed_seed": "weed seed", "other_crop": "other crop", "inert": "inert matter"}


def germination_counts_to(
    tested: dt.date, season_types: Iterator[str] | list[str], numbers: SupplyNumbers
) -> dt.date:
    """Until when a germination test counts, from the end of its month.

    Kentucky: 15 months for cool-season grasses, 9 for others; the shortest in the bag decides.
    """
    kinds = set(season_types)
    days = numbers["test_days_cool" if kinds <= {"cool"} else "test_days_warm"]
    months = round(days / _DAYS_A_MONTH)
    year, month = divmod(tested.year * 12 + tested.month + months, 12)
    return dt.date(year, month + 1, 1) - dt.timedelta(days=1)


def _old_test(
    bag: SeedBag, grasses: Mapping[str, Grass], numbers: SupplyNumbers, on: dt.date
) -> Iterator[str]:
    if bag.tested is None:
        yield "look for the date of the germination test; an old test says little"
        return
    kinds = [str(grasses[g].traits["season_type"]) for g in bag.grasses if g in grasses]
    until = germination_counts_to(bag.tested, kinds, numbers)
    if on > until:
        yield (
            f"its germination test of {bag.tested:%B %Y} has run out (it counts to "
            f"{until:%B %Y}): test a hundred seeds on damp paper, or leave it in the shop"
        )
