"""A kept plan in a few lines, for the digest, the year and the calendar."""

from __future__ import annotations

import datetime as dt

from advisor.answers.words import listed
from advisor.base.dates import say_date
from advisor.planning.kept_plan import KeptPlan, PlannedDay
from advisor.planning.timetable import clock
from advisor.rulebook.model import RuleBook


def plan_lines(plan: KeptPlan | None, on: dt.date, book: RuleBook) -> tuple[str, ...]:
    """One line for each day of work that is still to come, and one for the watering after it."""
    if plan is None:
        return ()
    lines = [day_line(day, on, book) for day in plan.days if day.date >= on]
    sown = plan.sown
    if sown is not None and on <= plan.ends:
        after = max(sown + dt.timedelta(days=1), on)
        first, last = (say_date(day, relative_to=on) for day in (after, plan.ends))
        lines.append(
            f"From {after:%A} {first} to about {last}: somebody waters the seed, working days too."
        )
    return tuple(lines)


def day_line(day: PlannedDay, on: dt.date, book: RuleBook) -> str:
    """`Saturday 5 Sep, 09:00 to 12:00: low mowing (front), overseeding (back).`"""
    areas: dict[str, list[str]] = {}
    for id, area in day.work:
        title = book.operations[id].title.lower() if id in book.operations else id
        areas.setdefault(title, []).append(area)
    jobs = tuple(f"{title} ({listed(tuple(where))})" for title, where in areas.items())
    when = f"{day.date:%A} {say_date(day.date, relative_to=on)}"
    return f"{when}, {clock(day.start)} to {clock(day.end)}: {listed(jobs)}."
