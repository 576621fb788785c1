"""The amounts of a season's work: which jobs, what each takes, what to get, what it costs."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from advisor.answers.lawn import Lawn, parts_on
from advisor.base.problems import BadInput, Place, did_you_mean
from advisor.planning.amounts.hire import Choice, Hire, choices, hires
from advisor.planning.amounts.reckon import Job, reckon
from advisor.planning.amounts.shop import Buy, to_buy
from advisor.planning.lawn_tasks import Wanted, step_minutes
from advisor.rulebook.order import in_working_order
from advisor.rulebook.supplies import read_supply_numbers
from advisor.rulebook.work_steps import Work, read_work
from advisor.verdicts.decide import Decision

SEASON_DAYS = 92
"""How far ahead a season may open and its work still be on the list (chosen)."""
_NOTHING = ("not_needed", "ruled_out", "missed")


@dataclass(frozen=True)
class Amounts:
    """jobs: in working order, those with something to reckon. without: asked for, and why nothing.

    minutes: of one person for needed work, by the work file; jobs without steps are left out.
    """

    lawn: Lawn
    on: dt.date
    jobs: tuple[Job, ...]
    buys: tuple[Buy, ...]
    hires: tuple[Hire, ...]
    choices: tuple[Choice, ...]
    minutes: float
    without: tuple[Wanted, ...] = ()

    def cost(self, *, sure: bool) -> float:
        """What bags and hire cost as far as prices are known; sure: only of needed work."""
        bags = sum(b.cost or 0.0 for b in self.buys if b.sure or not sure)
        return bags + sum(h.cost for h in self.hires if h.sure or not sure)

    @property
    def unpriced(self) -> tuple[str, ...]:
        """What has no price in the site file."""
        return tuple(b.product for b in self.buys if b.cost is None)


def compose_amounts(lawn: Lawn, on: dt.date, only: Sequence[str] = ()) -> Amounts:
    """The amounts of all work of the coming season, or of these operations.

    Raises `BadInput` for an operation (asked for, or with a quote) that has no rule file.
    """
    for id in only:
        if id not in lawn.book.operations:
            near = did_you_mean(id, lawn.book.operations)
            raise BadInput.at(Place("--only"), f"'{id}' is no operation{near}")
    for quote in lawn.site.supplies.quotes:
        if quote.operation not in lawn.book.operations:
            near = did_you_mean(quote.operation, lawn.book.operations)
            what = f"supplies.quotes: '{quote.operation}' is no operation{near}"
            raise BadInput.at(Place(str(lawn.folder / "site.yaml")), what)
    wanted, without = _choose(lawn, on, only)
    return amounts_of(lawn, on, wanted, without=without, every=bool(only))


def amounts_of(
    lawn: Lawn,
    on: dt.date,
    wanted: Sequence[Wanted],
    *,
    without: Sequence[Wanted] = (),
    every: bool = False,
) -> Amounts:
    """The amounts of chosen work, whatever its verdict.

    every: keep jobs that may not be needed and for which nothing is bought.
    """
    numbers = read_supply_numbers(lawn.book.sources)
    work = read_work(lawn.book.sources, lawn.book.operations)
    order = in_working_order(lawn.book, {w.operation.id for w in wanted})
    ranked = sorted(wanted, key=lambda w: order.index(w.operation.id))
    jobs = tuple(reckon(lawn, numbers, on, w) for w in ranked)
    planned = [w for w in ranked if w.operation.id in work.steps]
    return Amounts(
        lawn=lawn,
        on=on,
        jobs=tuple(job for job in jobs if every or _worth_a_place(job)),
        buys=to_buy((w for job in jobs for w in job.wishes), lawn.site.unit_system),
        hires=hires(lawn, planned, work),
        choices=choices(lawn, planned, work),
        minutes=_minutes(lawn, [w for w in planned if _is_sure(w)], work),
        without=tuple(without),
    )


def _worth_a_place(job: Job) -> bool:
    """Whether something is bought for it, or it is needed now, or leaves debris."""
    now = job.wanted.decision.verdict != "wait" and bool(job.lines)
    debris = any(line.name != "time" for line in job.lines)
    return bool(job.wishes or job.warnings) or (job.sure and (now or debris))


def _is_sure(wanted: Wanted) -> bool:
    return wanted.decision.judgement.truths["need"] is True


def _minutes(lawn: Lawn, planned: Sequence[Wanted], work: Work) -> float:
    return sum(step_minutes(lawn, w, s, work) for w in planned for s in work.steps[w.operation.id])


def _choose(
    lawn: Lawn, on: dt.date, only: Sequence[str]
) -> tuple[tuple[Wanted, ...], tuple[Wanted, ...]]:
    """Work of the season, and what was asked for by name and is not to be done."""
    chosen: list[Wanted] = []
    without: list[Wanted] = []
    for part in parts_on(lawn, on):
        for id in part.decider.operations():
            if only and id not in only:
                continue
            found = Wanted(part.decider.decide(id), part)
            if _is_off(found.decision):
                without += [found] if only else []
            elif only or _belongs(found):
                chosen.append(found)
    return tuple(chosen if only else _one_sowing(chosen)), tuple(without)


def _is_off(decision: Decision) -> bool:
    return decision.verdict in _NOTHING or decision.judgement.truths["need"] is False


def _belongs(found: Wanted) -> bool:
    """Season's work that is near; what few lawns want only where the need is known."""
    operation, need = found.operation, found.decision.judgement.truths["need"]
    unasked = operation.routine or (operation.quiet and need is not True)
    return _is_near(found.decision) and not unasked


def _is_near(decision: Decision) -> bool:
    if decision.verdict != "wait":
        return True
    current = decision.outlook.current
    return current is not None and current.opens.p50 <= decision.on + dt.timedelta(days=SEASON_DAYS)


def _one_sowing(chosen: list[Wanted]) -> list[Wanted]:
    """Only the next sowing of each part: a later one is for what the first leaves bare."""
    kept = []
    seeded: set[str] = set()
    ranked = sorted(
        chosen, key=lambda w: (w.decision.verdict == "wait", w.decision.verdict != "do")
    )
    for wanted in ranked:
        if wanted.operation.seed_rate is not None:
            if wanted.area in seeded:
                continue
            seeded.add(wanted.area)
        kept.append(wanted)
    return kept
