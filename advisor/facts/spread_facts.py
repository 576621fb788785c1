"""Facts of what was spread: nitrogen, lime, and weed preventers that grass seed waits for."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping

from advisor.base.dates import season_start
from advisor.base.record import Record
from advisor.facts.fact import Fact
from advisor.records.journal import Journal

NAME = "nitrogen_fed"
FEEDING = "feeding"


class FeedingHalf(Record, frozen=True):
    """The half of the feeding year that a day lies in, and the day on which that year began."""

    fact: Fact
    since: dt.date


def feeding_half(on: dt.date, latitude: float, *, warm: bool) -> FeedingHalf:
    """Cool-season grass is fed from midsummer to midsummer, warm-season from winter to winter.

    So its doses of one autumn and the spring after, or of one summer, are counted together.
    """
    midsummer = season_start(on, latitude)
    midwinter = season_start(on, -latitude or -1.0)
    to_midwinter = midsummer > midwinter
    fact = Fact("feeding_half", "to_midwinter" if to_midwinter else "to_midsummer", "stated", on)
    return FeedingHalf(fact, midwinter if warm else midsummer)


def nitrogen_fed(journal: Journal, area: str | None, since: dt.date) -> Fact:
    """Nitrogen fed from the day `since` (the start of the feeding year) on, g/m².

    `journal` must be as of the day asked about. Added up from feedings recorded with `n=…`, on top
    of the newest sum that the keeper stated in that time. Unknown if a feeding was recorded without
    its nitrogen, or if nothing about feeding was ever recorded: silence is not nil. A keeper who
    recorded feedings in earlier years and none in this one has fed none.
    """
    stated = [e for e in journal.observations(NAME, area) if e.date >= since]
    base = stated[-1] if stated else None
    feedings = journal.work(FEEDING, area, since=since)
    counted = [e for e in feedings if base is None or e.date > base.date]
    lacking = next((e for e in counted if not isinstance(e.details.get("n"), float)), None)
    if lacking is not None:
        note = f"the feeding of {lacking.date} was recorded without its nitrogen (n=0.9 lb/1000ft2)"
        return Fact(NAME, None, "recorded", lacking.date, note)
    if base is None and not counted:
        if journal.last_done(FEEDING, area) is None:
            return Fact(NAME, None, "recorded", None, "no record of any feeding")
        return Fact(NAME, 0.0, "recorded", since, "no feeding on record this feeding year")
    start = base.value if base is not None and isinstance(base.value, float) else 0.0
    total = start + sum(float(e.details["n"]) for e in counted)
    newest = counted[-1].date if counted else base.date if base is not None else None
    return Fact(NAME, total, "recorded", newest)


RECOMMENDED = "lime_recommended"
LIMING = "lime"


def lime_facts(journal: Journal, area: str | None, recommended: Fact, due: Fact) -> Iterator[Fact]:
    """`lime_left` (g/m²), and `lime_due` where an amount says it better than the keeper's word.

    recommended, due: as noted. Lime spread since the report counts with its `rate`; a spreading
    without one leaves the rest unknown.
    """
    if not isinstance(recommended.value, float) or recommended.on is None:
        yield Fact("lime_left", None, "recorded", None, "no amount from a laboratory is on record")
        yield due
        return
    spread = [e for e in journal.work(LIMING, area) if e.date > recommended.on]
    lacking = next((e for e in spread if not isinstance(e.details.get("rate"), float)), None)
    if lacking is not None:
        left: float | None = None
        note = f"the lime of {lacking.date} was recorded without its rate (rate=50 lb/1000ft2)"
    else:
        left = max(recommended.value - sum(float(e.details["rate"]) for e in spread), 0.0)
        note = ""
    newest: dt.date = max([recommended.on, *(e.date for e in spread)])
    yield Fact("lime_left", left, "recorded", newest, note)
    yield Fact("lime_due", None if left is None else left > 0.0, "recorded", newest, note)


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
