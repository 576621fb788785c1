"""A kept plan in a few lines, for the digest, the year and the calendar."""

from __future__ import annotations

import datetime as dt

from advisor.advice.book import Advice
from advisor.advice.gates import Gates, gates_of_work
from advisor.answers.words import listed
from advisor.base.dates import say_date
from advisor.planning.gate_words import only_after
from advisor.planning.timetable import clock
from advisor.site.kept_plan import PlannedDay


def plan_lines(advice: Advice) -> tuple[str, ...]:
    """One line for each day of work that is still to come, and one for the watering after it."""
    plan, on = advice.plan, advice.on
    if plan is None:
        return ()
    lines = [day_line(day, advice.gates) for day in plan.days if day.date >= on]
    sown = plan.sown
    if sown is not None and on <= plan.ends:
        after = max(sown + dt.timedelta(days=1), on)
        first, last = (say_date(day, relative_to=on) for day in (after, plan.ends))
        lines.append(
            f"From {after:%A} {first} to about {last}: somebody waters the seed, working days too."
        )
    return tuple(lines)


def day_line(day: PlannedDay, gates: Gates) -> str:
    """`Saturday 5 Sep, 09:00 to 12:00: low mowing (front), overseeding (back).`

    Work whose gates can no longer be had in time has no hour: it is named as what is left out.
    """
    on, book = gates.on, gates.case.book
    areas: dict[str, list[str]] = {}
    waits: dict[str, str] = {}
    barred: dict[str, list[str]] = {}
    for id, area in day.work:
        title = book.operations[id].title.lower() if id in book.operations else id
        found = gates_of_work(gates, id, area, day.date)
        if any(gate.state == "late" for gate in found):
            barred.setdefault(title, []).append(area)
            continue
        areas.setdefault(title, []).append(area)
        if any(gate.state == "open" for gate in found):
            waits[title] = f", only after: {only_after(found, on)}"
    when = f"{day.date:%A} {say_date(day.date, relative_to=on)}"
    said = []
    if areas:
        jobs = tuple(
            f"{title} ({listed(tuple(where))}{waits.get(title, '')})"
            for title, where in areas.items()
        )
        said.append(f"{when}, {clock(day.start)} to {clock(day.end)}: {listed(jobs)}.")
    if barred:
        jobs = tuple(f"{title} ({listed(tuple(where))})" for title, where in barred.items())
        said.append(
            f"{'' if areas else f'{when}: '}No {listed(jobs)}: what has to be seen to first is not."
        )
    return " ".join(said)
