"""The amounts of a season's work: which jobs, what each takes, what to get, what it costs."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from advisor.amounts.hire import Choice, Hire, choices, hires
from advisor.amounts.reckon import Job, reckon
from advisor.amounts.shop import Buy, to_buy
from advisor.base.problems import BadInput, Place, did_you_mean
from advisor.cases.case import Case
from advisor.cases.parts import Ground, parts_on
from advisor.rulebook.order import in_working_order
from advisor.verdicts.decide import Decision

SEASON_DAYS = 92
"""How far ahead a season may open and its work still be on the list (chosen)."""
Taken = tuple[Decision, Ground]
"""A job that is taken up, and the part of the lawn."""
_NOTHING = ("not_needed", "ruled_out", "missed")


@dataclass(frozen=True)
class Amounts:
    """jobs: in working order, those with something to reckon. without: asked for, and why nothing.

    minutes: of one person for needed work, by the work file; jobs without steps are left out.
    """

    case: Case
    jobs: tuple[Job, ...]
    buys: tuple[Buy, ...]
    hires: tuple[Hire, ...]
    choices: tuple[Choice, ...]
    minutes: float
    without: tuple[Taken, ...] = ()

    @property
    def on(self) -> dt.date:
        """The day on which it was made."""
        return self.case.on

    def cost(self, *, sure: bool) -> float:
        """What bags and hire cost as far as prices are known; sure: only of needed work."""
        bags = sum(b.cost or 0.0 for b in self.buys if b.sure or not sure)
        return bags + sum(h.cost for h in self.hires if h.sure or not sure)

    @property
    def unpriced(self) -> tuple[str, ...]:
        """What has no price in the site file."""
        return tuple(b.product for b in self.buys if b.cost is None)


def compose_amounts(case: Case, only: Sequence[str] = ()) -> Amounts:
    """The amounts of all work of the coming season, or of these operations.

    Raises `BadInput` for an operation (asked for, or with a quote) that has no rule file.
    """
    for id in only:
        if id not in case.book.operations:
            near = did_you_mean(id, case.book.operations)
            raise BadInput.at(Place("--only"), f"'{id}' is no operation{near}")
    for quote in case.site.supplies.quotes:
        if quote.operation not in case.book.operations:
            near = did_you_mean(quote.operation, case.book.operations)
            what = f"supplies.quotes: '{quote.operation}' is no operation{near}"
            raise BadInput.at(case.place("site.yaml"), what)
    wanted, without = _choose(case, only)
    return amounts_of(case, wanted, without=without, every=bool(only))


def amounts_of(
    case: Case,
    wanted: Sequence[Taken],
    *,
    without: Sequence[Taken] = (),
    every: bool = False,
) -> Amounts:
    """The amounts of chosen work, whatever its verdict.

    every: keep jobs that may not be needed and for which nothing is bought.
    """
    order = in_working_order(case.book, {decision.operation.id for decision, _ in wanted})
    ranked = sorted(wanted, key=lambda taken: order.index(taken[0].operation.id))
    jobs = tuple(reckon(case, decision, ground) for decision, ground in ranked)
    planned = [job for job in jobs if job.operation.id in case.book.work.steps]
    return Amounts(
        case=case,
        jobs=tuple(job for job in jobs if every or _worth_a_place(job)),
        buys=to_buy((w for job in jobs for w in job.wishes), case.site.unit_system),
        hires=hires(case, planned),
        choices=choices(case, planned),
        minutes=_minutes(job for job in planned if job.sure),
        without=tuple(without),
    )


def _worth_a_place(job: Job) -> bool:
    """Whether something is bought for it, or it is needed now, or leaves debris."""
    now = job.decision.verdict != "wait" and bool(job.amounts)
    debris = any(amount.name != "time" for amount in job.amounts)
    return bool(job.wishes or job.warnings) or (job.sure and (now or debris))


def _minutes(jobs: Iterable[Job]) -> float:
    return sum(took.low for job in jobs if (took := job.amount("time")) is not None)


def _choose(case: Case, only: Sequence[str]) -> tuple[tuple[Taken, ...], tuple[Taken, ...]]:
    """Work of the season, and what was asked for by name and is not to be done."""
    chosen: list[Taken] = []
    without: list[Taken] = []
    for part in parts_on(case):
        for id in part.decider.operations():
            if only and id not in only:
                continue
            found = (part.decider.decide(id), part.ground)
            if _is_off(found[0]):
                without += [found] if only else []
            elif only or _belongs(found[0]):
                chosen.append(found)
    return tuple(chosen if only else _one_sowing(chosen)), tuple(without)


def _is_off(decision: Decision) -> bool:
    return decision.verdict in _NOTHING or decision.judgement.truths["need"] is False


def _belongs(found: Decision) -> bool:
    """Season's work that is near; what few lawns want only where the need is known."""
    operation, need = found.operation, found.judgement.truths["need"]
    unasked = operation.routine or (operation.quiet and need is not True)
    return _is_near(found) and not unasked


def _is_near(decision: Decision) -> bool:
    if decision.verdict != "wait":
        return True
    current = decision.outlook.current
    return current is not None and current.opens.p50 <= decision.on + dt.timedelta(days=SEASON_DAYS)


def _soonest(taken: Taken) -> tuple[bool, bool]:
    verdict = taken[0].verdict
    return verdict == "wait", verdict != "do"


def _one_sowing(chosen: list[Taken]) -> list[Taken]:
    """Only the next sowing of each part: a later one is for what the first leaves bare."""
    kept = []
    seeded: set[str] = set()
    ranked = sorted(chosen, key=_soonest)
    for decision, ground in ranked:
        if decision.operation.seed_rate is not None:
            if ground.name in seeded:
                continue
            seeded.add(ground.name)
        kept.append((decision, ground))
    return kept
