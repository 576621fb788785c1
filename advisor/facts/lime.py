"""How much lime the laboratory's recommendation still leaves to spread, from the journal."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from advisor.facts.fact import Fact
from advisor.site.journal import Journal

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
