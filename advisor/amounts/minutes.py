"""What a job takes one person, over which ground a machine gets, and how much debris comes up.

Effective field capacity (ASABE Standard EP496; Iowa State University Extension A3-24): speed times
width times field efficiency, the share of the time not lost to turning, overlap and emptying.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from advisor.amounts.amount import Amount, Basis, area, say_time
from advisor.base.units import System, whole_up
from advisor.cases.case import Case
from advisor.cases.parts import Ground
from advisor.rulebook.conditions import Evidence
from advisor.rulebook.effort import Machine, Step, Work
from advisor.rulebook.model import Operation


def effective_field_capacity(speed_m_s: float, width_m: float, efficiency: float) -> float:
    """m² a second. In US units: acres an hour = mph x ft x efficiency / 8.25.

    Raises `ValueError` unless speed and width are over 0 and the efficiency over 0 and at most 1.
    """
    if not (speed_m_s > 0 and width_m > 0 and 0 < efficiency <= 1):
        raise ValueError("wanted speed and width over 0, and an efficiency over 0 and at most 1")
    return speed_m_s * width_m * efficiency


def minutes_of_work(
    area_m2: float, passes: int, speed_m_s: float, width_m: float, efficiency: float
) -> float:
    """Minutes for so many passes over an area, m²."""
    return area_m2 * passes / effective_field_capacity(speed_m_s, width_m, efficiency) / 60


def debris_of(operation: Operation, area_m2: float, units: System) -> Amount | None:
    """Bags by the rule file's rate; None where a job leaves none."""
    effort = operation.effort
    if effort is None or effort.debris_bags_per_1000_ft2 is None:
        return None
    rate = effort.debris_bags_per_1000_ft2
    low, high = (each * area_m2 / M2_IN_1000_FT2 for each in rate)
    says = f"{_whole(low)} to {_whole(high)} bags of debris"
    steps = (f"{rate[0]:g}–{rate[1]:g} bags per 1,000 ft² (93 m²) × {area(area_m2, units)}",)
    behind = tuple(operation.evidence[i] for i in effort.evidence if i in operation.evidence)
    return Amount("debris", low, high, "bags", says, steps=steps, evidence=behind)


def _whole(bags: float) -> int:
    return max(round(bags), 1)


M2_IN_1000_FT2 = 92.90304
"""m² in 1,000 ft²."""
WHOLE = 5.0
"""Minutes to which each step is rounded up, once; plans and answers add up these."""
FIRST_TIME = 1.5
"""Somebody who runs a machine for the first time takes half as long again (from memory)."""


def step_minutes(case: Case, operation: str, ground: Ground, step: Step) -> float:
    """Minutes of one person, in whole fives: by machine and area, by hand the middle of the range.

    A time that the keeper noted for the operation on this ground (`took`) stands above ours; until
    then a machine takes somebody who has never run it longer. Raises `ValueError` for ground of
    unknown size.
    """
    size = ground.size_m2
    if size is None:
        raise ValueError("work on ground of unknown size takes an unknown time")
    ours = {each.id: _minutes(case, size, each) for each in case.book.work.steps[operation]}
    own = took_here(case, operation, ground)
    if own is None:
        return WHOLE * max(whole_up(ours[step.id] / WHOLE), 1)
    # The shares of what is known to be right add up to it.
    before, end = 0.0, 0.0
    for id, minutes in ours.items():
        before, end = end, end + minutes * own / sum(ours.values())
        if id == step.id:
            break
    return WHOLE * (round(end / WHOLE) - round(before / WHOLE))


def _minutes(case: Case, size_m2: float, step: Step) -> float:
    if step.by_hand_min is not None:
        return sum(step.by_hand_min) / 2 * size_m2 / M2_IN_1000_FT2
    machine = case.book.work.machines[step.machine or ""]
    width = _own_width(case, machine) or machine.width_m
    minutes = minutes_of_work(size_m2, step.passes, machine.speed_m_s, width, machine.efficiency)
    return minutes * (FIRST_TIME if _first_time(case, step) else 1)


def _first_time(case: Case, step: Step) -> bool:
    """Whether its machine is run by somebody who has never done so."""
    return any(tool.first_time for tool in case.site.tools if tool.kind == step.machine)


def _own_width(case: Case, machine: Machine) -> float | None:
    widths = [t.width / 1000 for t in case.site.tools if t.kind == machine.id and t.width]
    return widths[0] if widths else None


def took_here(case: Case, operation: str, ground: Ground) -> float | None:
    """Minutes that the operation took here before, scaled to the ground; the newest known."""
    sizes = {each.name: each.size for each in case.site.areas}
    here = ground.areas or case.site.area_names
    for entry in reversed(case.journal.work(operation)):
        took = entry.details.get("took")
        if isinstance(took, float) and (not entry.area or entry.area in here):
            size = sizes.get(entry.area, case.site.total_area)
            if size is not None and ground.size_m2 is not None:
                return took * 60 * ground.size_m2 / size
    return None


def time_of(case: Case, operation: Operation, ground: Ground) -> Amount | None:
    """The time that a job takes one person, without rests; None where no rule file says, and on
    ground of unknown size.

    A job that is planned step by step takes the sum of its steps.
    """
    if ground.size_m2 is None:
        return None
    steps = case.book.work.steps.get(operation.id)
    own = took_here(case, operation.id, ground)
    size = area(ground.size_m2, case.site.unit_system)
    if steps:
        each = [(s, step_minutes(case, operation.id, ground, s)) for s in steps]
        total = sum(minutes for _, minutes in each)
        said = tuple(f"{step.title}: {minutes:.0f} min" for step, minutes in each)
        if own is not None:
            said = (f"as it took here before, for {size}", *said)
        elif any(_first_time(case, step) for step in steps):
            said = (*said, "half as long again at a machine that is run for the first time")
        basis: Basis = "machine" if any(step.machine for step in steps) else "general"
        if own is not None:
            basis = "records"
        return Amount(
            "time", total, total, "min", _says(total, total), basis, steps=said,
            evidence=tuple(_behind(case.book.work, steps)),
        )  # fmt: skip
    if own is not None:
        said = (f"as it took here before, for {size}",)
        return Amount("time", own, own, "min", _says(own, own), "records", steps=said)
    effort = operation.effort
    if effort is None:
        return None
    rate = effort.minutes_per_1000_ft2
    low, high = (minutes * ground.size_m2 / M2_IN_1000_FT2 for minutes in rate)
    said = (f"{rate[0]:g}–{rate[1]:g} min per 1,000 ft² (93 m²) × {size}",)
    behind = tuple(operation.evidence[i] for i in effort.evidence if i in operation.evidence)
    return Amount("time", low, high, "min", _says(low, high), steps=said, evidence=behind)


def _behind(work: Work, steps: Iterable[Step]) -> Iterator[Evidence]:
    """What the speeds of the machines and the ranges by hand rest on, each once."""
    ids: dict[str, None] = {}
    for step in steps:
        machine = work.machines.get(step.machine or "")
        ids |= dict.fromkeys((*step.evidence, *(machine.evidence if machine else ())))
    yield from (work.evidence[id] for id in ids)


def _says(low: float, high: float) -> str:
    ends = dict.fromkeys((say_time(low), say_time(high)))
    return f"{' to '.join(ends)} for one person"
