"""How much nitrogen the lawn was fed this feeding year, from the journal, and which half it is."""

from __future__ import annotations

import datetime as dt

from advisor.base.dates import season_start
from advisor.base.record import Record
from advisor.facts.fact import Fact
from advisor.site.journal import Journal

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
