"""What goes with a work plan: its machines, its watering, what to do if it rains or to save."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from advisor.advice.item import Item
from advisor.amounts.amount import money, say_time
from advisor.answers.headline import when_text
from advisor.answers.words import TENTHS, by_part, in_ten, listed, sentence
from advisor.base.dates import ONE_DAY, say_date
from advisor.base.text import uncapped
from advisor.planning.lawn_tasks import machines_needed
from advisor.planning.next_day import SALVAGE_DAYS
from advisor.planning.shut_days import shut_says
from advisor.planning.workplan import WorkPlan
from advisor.records.kept import SOWINGS


def machines(plan: WorkPlan) -> Iterator[str]:
    used = [plan.by_id[s.task] for s in plan.plan.slots]
    for id in machines_needed(used):
        machine = plan.work.machines[id]
        minutes = sum(t.minutes for t in used if t.machine == id)
        text = f"{machine.title}: about {say_time(minutes)} of running"
        if id in plan.crew.blocks:
            length, price = plan.crew.blocks[id]
            text += f", hired by the {length / 60:g} h"
            if price:
                text += f" at {money(price, plan.case.site.money)}"
            text += "; ask for the hours of the shop on a holiday"
        if machine.second:
            text += "; a second person and proper ramps to load it"
        yield sentence(text)


def watering(plan: WorkPlan) -> Iterator[str]:
    """New seed is watered long after the free days are over: somebody has to be named."""
    sown = [s for s in plan.plan.slots if plan.by_id[s.task].operation in SOWINGS]
    if not sown:
        return
    workday = plan.days[-1].date + dt.timedelta(days=1)
    yield (
        f"The seed wants a moist surface until it is up, two or three short waterings a day for "
        f"about two weeks, also from {workday:%A} {say_date(workday)} on. Agree now on who does it."
    )


def if_rain(plan: WorkPlan) -> Iterator[str]:
    """For each operation: what holds once begun, and the next day as likely fit as not."""
    after = plan.days[-1].date + ONE_DAY
    shut = shut_says(plan.case, after, after + SALVAGE_DAYS * ONE_DAY)
    for items in by_job(plan).values():
        item = min(items, key=lambda each: each.order())
        operation = item.operation
        following = plan.next_days[operation.id]
        if following is None:
            then = "no later free day of this season has even odds"
            if shut:
                then += f" ({shut})"
        else:
            chance = in_ten(round(following.chance * TENTHS))
            then = (
                f"next {following.date:%A} {say_date(following.date, relative_to=plan.on)}"
                f" ({chance} fit)"
            )
        when = when_text(item, plan.case.book)
        settled = item.date is not None and item.date.kind == "appointment"
        until = f"; it {'is' if settled else 'should be done'} {when}" if when else ""
        yield sentence(f"{operation.title}: {then}{until}")


def cheaper(plan: WorkPlan) -> Iterator[str]:
    """What each hired machine costs, and what is lost without it."""
    hired = False
    for id, (length, price) in plan.crew.blocks.items():
        steps = plan.work.steps
        jobs = [w for w in plan.with_hours if any(s.machine == id for s in steps[w.operation.id])]
        if not jobs:
            continue
        hired = True
        sure = all(w.sure for w in jobs)
        saves = f" and save {money(price, plan.case.site.money)}" if price else ""
        need = "needed" if sure else "perhaps not needed"
        yield sentence(
            f"Skip {titles_said(tuple(jobs))}{saves} for {length / 60:g} h of hire: it is {need}"
        )
    if hired:
        yield "Share a hired machine with a neighbour: its block is longer than this work."


def titles_said(items: tuple[Item, ...]) -> str:
    return listed(tuple(dict.fromkeys(uncapped(item.operation.title) for item in items)))


def parts_said(items: tuple[Item, ...]) -> str:
    """Titles with the parts of the lawn."""
    jobs = ((uncapped(item.operation.title), item.part.label) for item in items)
    return by_part(jobs, " ({})")


def by_job(plan: WorkPlan) -> dict[str, list[Item]]:
    """The items that have an hour, job by job."""
    found: dict[str, list[Item]] = {}
    for item in plan.with_hours:
        found.setdefault(item.operation.id, []).append(item)
    return found
