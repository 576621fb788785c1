"""What the keeper's limits do to a work plan, and the ways to the shop, in words and as data."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from advisor.amounts.amount import money
from advisor.answers.words import listed, sentence
from advisor.base.dates import clock, say_date
from advisor.base.text import uncapped
from advisor.planning.cuts import Cut
from advisor.planning.plan_words import GateLine
from advisor.planning.timetable import Errand
from advisor.planning.unwatered import Unwatered
from advisor.planning.workplan import WorkPlan
from advisor.records.kept import SEED_WATER_DAYS


def errand_says(plan: WorkPlan, errand: Errand) -> str:
    """`Fetch the core aerator and learn it (at the shop about 08:20), 2 people`."""
    machines = listed(tuple(plan.work.machines[id].title for id in errand.machines))
    does = (
        f"Fetch and learn: {machines}"
        if errand.kind == "fetch"
        else f"Clean, load and return: {machines}"
    )
    who = f", {errand.people} people" if errand.people > 1 else ""
    return f"{does} (at the shop about {clock(errand.at_shop)}){who}"


def errand_json(errand: Errand) -> dict[str, Any]:
    """Times are local."""
    return {
        "does": errand.kind,
        "machines": list(errand.machines),
        "start": clock(errand.start),
        "end": clock(errand.end),
        "at_shop": clock(errand.at_shop),
        "minutes": errand.end - errand.start,
        "people": errand.people,
    }


def cut_lines(plan: WorkPlan) -> Iterator[str]:
    """What has no hour, why, and what that costs; first what was given up first."""
    first = True
    for cut in plan.cuts:
        operation, part = cut.item.operation, cut.item.part
        title = f"{operation.title} ({part.name})"
        if not cut.because:
            yield sentence(f"{title}: no room in these days")
            continue
        hire = money(plan.crew.most_hire or 0.0, plan.case.site.money)
        given_up = "given up first" if first else "given up"
        said = sentence(f"{title}: {given_up}, since {cut.why(hire)}. What it costs: {cut.costs}")
        yield " ".join((said, *([sentence(operation.do_nothing)] if operation.do_nothing else ())))
        first = False
    unknown = [id for id in plan.crew.blocks if not plan.crew.blocks[id][1]]
    if plan.crew.most_hire is not None and unknown:
        machines = listed(tuple(plan.work.machines[id].title for id in unknown))
        yield sentence(
            f"What hire of the {machines} costs is not known, and not counted: write its price "
            "under tools in site.yaml"
        )


def cut_json(cut: Cut) -> dict[str, Any]:
    """For other programs: the limits by their keys, what is lost by its weight."""
    return {
        "operation": cut.item.operation.id,
        "area": cut.item.part.name,
        "because": list(cut.because),
        "loses": cut.item.weight,
        "says": cut.costs,
    }


def who_waters(plan: WorkPlan) -> Iterator[GateLine]:
    """What has to be settled before seed is sown that nobody would water."""
    for each in plan.unwatered:
        title, part = each.item.operation.title, each.item.part
        where = f" ({part.label})" if part.label else ""
        days = [(day - each.sown).days for day in (each.first, each.last)]
        away = say_date(each.first, relative_to=plan.on)
        if each.last > each.first:
            away += f" to {say_date(each.last, relative_to=plan.on)}"
        yield GateLine(
            "open",
            f"{title}{where}: who waters",
            f"Nobody is there {away}: day {' to '.join(map(str, dict.fromkeys(days)))} of the "
            f"seed, which is watered for about {SEED_WATER_DAYS // 7} weeks and dies of one "
            f"dry day once it sprouts.",
            (
                "Before you sow: name somebody who waters, or test a timer; else "
                f"leave {uncapped(title)} until you are back.",
            ),
        )


def unwatered_json(each: Unwatered) -> dict[str, Any]:
    """Dates are ISO."""
    return {
        "operation": each.item.operation.id,
        "area": each.item.part.name,
        "sown": each.sown.isoformat(),
        "from": each.first.isoformat(),
        "to": each.last.isoformat(),
    }
