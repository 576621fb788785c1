"""How far off another job's season is, whether a wait runs into it, and until when to give way."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping

from advisor.base.record import Record
from advisor.facts.fact import Value
from advisor.facts.seed_waits import SOWING
from advisor.facts.vocabulary import Vocabulary
from advisor.rulebook.conditions import Truth, facts_of, leaves
from advisor.rulebook.model import Conflict, Operation
from advisor.verdicts.forward import conflict_end
from advisor.windows.outlook import Outlook
from advisor.windows.tracks import Opening


class Later(Record, frozen=True):
    """An opening to come, of this operation or of one that stands in for it, and its price."""

    operation: str
    opening: Opening
    says: str


def days_to(seen: Outlook, on: dt.date) -> float | None:
    """Days until a job may next be done, 0 while it may; None where nobody can tell.

    Counted to the middle of its openings over the years of the record.
    """
    if seen.state == "open":
        return 0.0
    opening = seen.current if seen.state == "before" else next(iter(seen.later), None)
    return None if opening is None else float(max((opening.opens.p50 - on).days, 0))


def reaches(wait: Value | None, away: float | None) -> bool | None:
    """Whether a wait of so many days, begun today, lasts into a season so many days away."""
    if not isinstance(wait, float):
        return None
    if wait == 0:
        return False
    return None if away is None else away < wait


class End(Record, frozen=True):
    """The day on which a conflict ends. sure: False where it may be any later day."""

    day: dt.date
    sure: bool = True


def gives_way_until(
    conflict: Conflict, operation: Operation, values: Mapping[str, Value | None], on: dt.date
) -> End | None:
    """The first day after a job that comes first, if that is done on the first day of its season.

    None unless the conflict gives way to one planned job (`days_to`) whose season can be told. The
    wait after that job, where there is one, is counted; new seed may bar the work for longer than
    the calendar can tell, until it was mown so many times.
    """
    planned = [n for n in facts_of(conflict.when) if n.startswith("days_to.")]
    away = values.get(planned[0]) if len(planned) == 1 else None
    if not isinstance(away, float):
        return None
    job = planned[0].partition(".")[2]
    since = f"days_since.{job}"
    waits = [
        float(leaf.limit)
        for other in operation.conflicts
        for leaf in leaves(other.when)
        if leaf.fact == since and leaf.comparison == "under" and isinstance(leaf.limit, float)
    ]
    day = on + dt.timedelta(days=round(away + max(waits, default=0.0)) + 1)
    barred = any("seed_age" in facts_of(other.when) for other in operation.conflicts)
    return End(day, sure=not (barred and job.endswith(SOWING)))


def ends_of(
    binding: Iterable[Conflict],
    operation: Operation,
    values: Mapping[str, Value | None],
    on: dt.date,
    vocabulary: Vocabulary,
) -> End | None:
    """When the last of the conflicts ends; None if one has no end in sight, or there is none."""
    ends = []
    for conflict in binding:
        end = gives_way_until(conflict, operation, values, on)
        if end is None and (day := conflict_end(conflict.when, on, values, vocabulary)):
            end = End(day)
        if end is None:
            return None
        ends.append(end)
    if not ends:
        return None
    return End(max(end.day for end in ends), sure=all(end.sure for end in ends))


def lasts(ends: End | None, seen: Outlook) -> Truth:
    """Whether conflicts that end so bind until the season that is open or to come is over."""
    if ends is None:
        return True
    if seen.state not in ("open", "before") or seen.whole is None:
        return None
    return ends.day > seen.whole.closes.p50
