"""How long grass seed has to wait after a weed preventer: the one put down, and the one at hand."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping

from advisor.facts.fact import Fact

PREVENTING = "preemergent"
SOWING = "seeding"
"""How the names of the jobs that sow end."""


def seeding_wait_left(facts: Mapping[str, Fact], waits: Mapping[str, float], on: dt.date) -> Fact:
    """Days left before seed may follow the recorded weed preventer; 0 without one.

    waits: days by active ingredient, for the grass to be sown. What the label says, if the keeper
    noted it with the preventer or later, stands above them. Unknown if a preventer was put down
    whose ingredient nobody noted.
    """
    name = "seeding_wait_left"
    preventer, label = facts["weed_preventer"], facts["preventer_label_wait"]
    done = facts[f"days_since.{PREVENTING}"]
    unnamed = done.on is not None and (preventer.on is None or preventer.on < done.on)
    if unnamed and (done.value is not None and float(done.value) <= _longest(waits)):
        note = f"which active ingredient was put down on {done.on} is not recorded"
        return Fact(name, None, "recorded", done.on, note)
    if preventer.value is None:
        return Fact(name, None, "recorded", None, "no record of a weed preventer, or of none")
    if preventer.value == "none":
        return Fact(name, 0.0, "recorded", preventer.on)
    wait = waits.get(str(preventer.value))
    first = preventer.on
    if first is not None and label.on is not None and label.on >= first:
        wait = label.value if isinstance(label.value, float) else wait
    if wait is None or first is None:
        return Fact(name, None, "recorded", first, "its label says how long seed must wait")
    begun = done.on if done.on is not None and done.on <= first else first
    # A note of the ingredient some days after the work counts from the work.
    begun = begun if (first - begun).days <= _NOTED_WITHIN_DAYS else first
    left = max(wait - (on - begun).days, 0.0)
    return Fact(name, left, "recorded", first)


def planned_wait(at_hand: Fact, waits: Mapping[str, float]) -> Fact:
    """Days that seed would wait if the preventer at hand were put down today; None if unknown."""
    value = 0.0 if at_hand.value == "none" else waits.get(str(at_hand.value))
    note = "" if value is not None else "the active ingredient of the preventer at hand decides"
    return Fact("preventer_wait", value, "recorded", at_hand.on, note)


def seed_age(facts: Mapping[str, Fact]) -> Fact:
    """Days since the newest sowing of any kind; None if none is on record."""
    known = [
        fact
        for name, fact in facts.items()
        if name.startswith("days_since.") and name.endswith(SOWING) and fact.value is not None
    ]
    newest = min(known, key=lambda fact: float(fact.value or 0.0), default=None)
    if newest is None:
        return Fact("seed_age", None, "recorded", None, "no sowing on record")
    return Fact("seed_age", newest.value, "recorded", newest.on)


_NOTED_WITHIN_DAYS = 14
"""A keeper who notes the ingredient so many days after the work means that work (chosen)."""


def _longest(waits: Mapping[str, float]) -> float:
    return max(waits.values(), default=0.0)
