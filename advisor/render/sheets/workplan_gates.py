"""What of a work plan stops, or comes first, and what to do instead."""

from __future__ import annotations

from collections.abc import Iterator

from advisor.answers.words import TENTHS, in_ten, sentence
from advisor.base.dates import ONE_DAY, say_date
from advisor.base.record import replace
from advisor.planning.exclusions import forbidden_after
from advisor.planning.next_day import SALVAGE_DAYS
from advisor.planning.plan_words import GateLine, gate_lines
from advisor.planning.shut_days import shut_says
from advisor.planning.workplan import Shut, WorkPlan


def workplan_gates(plan: WorkPlan) -> Iterator[GateLine]:
    """What stops work that breaks the soil, or comes first; and what to do instead."""
    lines = gate_lines((*(g for shut in plan.shut for g in shut.gates), *plan.gates), plan.case)
    late = sum(line.state == "late" for line in lines)  # they come first
    for number, line in enumerate(lines, start=1):
        if number == 1 and late and plan.plan.slots:
            line = replace(line, says=f"{line.says} Everything else below can go ahead.")
        if number == late:
            instead = dict.fromkeys(_instead(plan, shut) for shut in plan.shut)
            line = replace(line, more=(*line.more, *instead))
        yield line


def _instead(plan: WorkPlan, shut: Shut) -> str:
    """When it can be done after all, and what of this plan would then forbid it."""
    operation, part = shut.item.operation, shut.item.part
    where = f" ({part.label})" if part.label else ""
    title = f"{operation.title.lower()}{where}"
    if shut.then is None:
        said = f"no later free day of this season has even odds for {title}"
        after = plan.days[-1].date + ONE_DAY
        limits = shut_says(plan.case, after, after + SALVAGE_DAYS * ONE_DAY)
        said += f" ({limits})" if limits else ""
    else:
        day = f"{shut.then.date:%A} {say_date(shut.then.date, relative_to=plan.on)}"
        chance = in_ten(round(shut.then.chance * TENTHS))
        said = f"the next free day for {title} is {day} ({chance} fit)"
    for other in plan.with_hours:
        why = forbidden_after(shut.item, other.operation.id)
        if why and other.part.name == part.name:
            first = other.operation.title.lower()
            said += f"; {first} done before it would shut it out ({why}). For both, move {first}"
            said += " behind it, or leave this one out this time"
            break
    return sentence(said)
