"""Hire a machine, or have the work done? Both prices, and where they break even."""

from __future__ import annotations

from collections.abc import Sequence

from advisor.amounts.amount import money, say_time
from advisor.amounts.minutes import step_minutes
from advisor.amounts.reckon import Job
from advisor.base.record import Record
from advisor.base.units import whole_up
from advisor.cases.case import Case

USUAL_BLOCK_H = 4.0
"""Hours of one block of hire where neither the keeper nor the work file says (chosen)."""


class Hire(Record, frozen=True):
    """One machine for the jobs that need it. cost: of whole blocks, the keeper's own money."""

    machine: str
    title: str
    minutes: float
    block_minutes: float
    blocks: int
    cost: float
    sure: bool
    says: str


class Choice(Record, frozen=True):
    """An operation that somebody would do for a price. worth: own hour at which both cost the same;
    None where doing it oneself costs more money as it is.
    """

    operation: str
    quoted: float
    hire: float
    minutes: float
    worth: float | None
    says: str


def break_even(quoted: float, hire: float, minutes: float) -> float | None:
    """Value of an own hour at which hiring the machine and having it done cost the same.

    hire + hours x value = quoted. None where the hire alone costs as much as the quote. Raises
    `ValueError` for work that takes no time.
    """
    if minutes <= 0:
        raise ValueError("work takes time")
    return None if hire >= quoted else (quoted - hire) / (minutes / 60)


def hired_blocks(case: Case) -> dict[str, tuple[float, float]]:
    """The machines that the keeper hires: minutes of one block, and its price (0: not known)."""
    found: dict[str, tuple[float, float]] = {}
    for tool in case.site.tools:
        machine = case.book.work.machines.get(tool.kind)
        if machine is not None and tool.have == "hired":
            hours = tool.block or machine.hired_h or USUAL_BLOCK_H
            found[tool.kind] = (hours * 60, tool.price or 0.0)
    return found


def hires(case: Case, jobs: Sequence[Job]) -> tuple[Hire, ...]:
    """Every hired machine that the jobs use, in whole blocks of hire."""
    work, code = case.book.work, case.site.money
    found = []
    for id, (block, price) in hired_blocks(case).items():
        mine = [j for j in jobs if any(s.machine == id for s in work.steps[j.operation.id])]
        minutes = _machine_minutes(case, mine, id)
        if not minutes:
            continue
        blocks = whole_up(minutes / block)
        title = work.machines[id].title
        says = (
            f"{title[0].upper()}{title[1:]}: {say_time(minutes)} of running, {blocks} × "
            f"{block / 60:g} h of hire"
        )
        if price:
            says += f" at {money(price, code)}: {money(blocks * price, code)}"
        sure = any(j.sure for j in mine)
        found.append(Hire(id, title, minutes, block, blocks, blocks * price, sure, says))
    return tuple(found)


def choices(case: Case, jobs: Sequence[Job]) -> tuple[Choice, ...]:
    """For each quote in the site file that concerns one of the jobs: where it breaks even."""
    found, code = [], case.site.money
    for quote in case.site.supplies.quotes:
        mine = [j for j in jobs if j.operation.id == quote.operation]
        if not mine:
            continue
        minutes = sum(took.low for j in mine if (took := j.amount("time")) is not None)
        cost = sum(h.cost for h in hires(case, mine))
        worth = break_even(quote.price, cost, minutes)
        own = f"{money(cost, code)} of hire and {say_time(minutes)} of your time"
        title = mine[0].operation.title
        says = f"{title}: {own}, or {money(quote.price, code)} to have it done"
        if worth is None:
            says += ". Have it done: the hire alone costs as much"
        else:
            says += (
                f". ({money(quote.price, code)} − {money(cost, code)}) ÷ {minutes / 60:.2f} h = "
                f"{money(round(worth), code)}: do it yourself if an hour of yours is worth less; "
                "count fetching the machine as time, too"
            )
        found.append(Choice(quote.operation, quote.price, cost, minutes, worth, f"{says}."))
    return tuple(found)


def _machine_minutes(case: Case, jobs: Sequence[Job], machine: str) -> float:
    return sum(
        step_minutes(case, job.operation.id, job.ground, step)
        for job in jobs
        for step in case.book.work.steps[job.operation.id]
        if step.machine == machine and job.ground.size_m2 is not None
    )
