"""Each job comes to "do" in each climate that it is for, and in none in which it would do harm.

The climates are invented (invented.py), the keeper's facts those of the rule files' examples.
"""

from __future__ import annotations

import datetime as dt

import pytest
from invented import CLIMATES, Place, day_on, known_for

from advisor.decide.verdicts.decide import Decider
from advisor.rulebook.model import RuleBook

STEP = 7
GRASS = {"cool": "tall_fescue", "warm": "bermudagrass"}
OF_COOL = {"warm south", "cold plains", "high valley", "middle west", "mild coast",
           "mild south of the equator"}  # fmt: skip
OF_WARM = {"warm south", "desert", "middle west", "tropics"}
SUITED = "the grass suits the place, and no other is wanted"
NOT_HERE: dict[tuple[str, str], str] = {
    **dict.fromkeys(
        [
            ("disease_watch", name)
            for name in (
                "cold plains",
                "high valley",
                "mild coast",
                "mild south of the equator",
                "tropics",
            )
        ],
        "without humidity only long wet spells on warm days ask for a look",
    ),
    **dict.fromkeys(
        [("dormant_seeding", name) for name in ("mild coast", "mild south of the equator")],
        "the soil does not stay under 40 °F",
    ),
    ("winter_care", "desert"): "no hard freeze",
    ("winter_care", "tropics"): "no hard freeze",
    ("species_choice", "desert"): SUITED,
    ("species_choice", "tropics"): SUITED,
    **dict.fromkeys(
        [("drought_dormancy", name) for name in ("cold plains", "middle west", "tropics")],
        "the invented rain never stays away for so long",
    ),
    ("low_mow", "tropics"): "no spring in which the grass wakes",
    ("rye_overseeding", "tropics"): "no winter in which the grass rests",
}
"""(job, climate): why it never comes to "do" there."""


def lawns(place: Place) -> list[str]:
    """The grasses of a place: what grows there."""
    cool = [GRASS["cool"]] if place.name in OF_COOL else []
    return cool + ([GRASS["warm"]] if place.name in OF_WARM else [])


def reached(book: RuleBook, place: Place) -> dict[str, bool]:
    """Whether each job that one of the place's grasses has comes to "do" on some day of a year."""
    found: dict[str, bool] = {}
    for grass in lawns(place):
        for id, operation in book.operations.items():
            known = known_for(book, id, grass)
            if grass not in operation.grasses or known is None:
                continue
            days = (dt.date(2020, 1, 3) + dt.timedelta(days=n) for n in range(0, 365, STEP))
            found[id] = found.get(id, False) or any(
                Decider(book, day_on(book, place, grass, on, known), "metric").decide(id).verdict
                == "do"
                for on in days
            )
    return found


@pytest.mark.slow
@pytest.mark.sample(1)
@pytest.mark.parametrize("place", CLIMATES, ids=lambda place: place.name)
def test_each_job_is_reached(place: Place, book: RuleBook) -> None:
    found = reached(book, place)
    never = {job for job, done in found.items() if not done}
    declared = {job for job, where in NOT_HERE if where == place.name}
    assert never == declared, (sorted(never - declared), sorted(declared - never))
