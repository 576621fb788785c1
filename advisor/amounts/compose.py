"""The amounts of some jobs together: what to get, what to hire, how long, what it costs."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from advisor.amounts.hire import Choice, Hire, choices, hires
from advisor.amounts.reckon import Job
from advisor.amounts.shop import Buy, to_buy
from advisor.base.record import Record
from advisor.cases.case import Case


class Amounts(Record, frozen=True):
    """jobs: those to tell of, in working order. minutes: of one person for needed work, by the
    work file; jobs without steps are left out."""

    jobs: tuple[Job, ...]
    buys: tuple[Buy, ...]
    hires: tuple[Hire, ...]
    choices: tuple[Choice, ...]
    minutes: float

    def cost(self, *, sure: bool) -> float:
        """What bags and hire cost as far as prices are known; sure: only of needed work."""
        bags = sum(b.cost or 0.0 for b in self.buys if b.sure or not sure)
        return bags + sum(h.cost for h in self.hires if h.sure or not sure)

    @property
    def unpriced(self) -> tuple[str, ...]:
        """What has no price in the site file."""
        return tuple(b.product for b in self.buys if b.cost is None)


def amounts_of(case: Case, jobs: Sequence[Job], told: Sequence[Job]) -> Amounts:
    """The amounts of chosen work, whatever its verdict. told: the jobs to tell of."""
    planned = [job for job in jobs if job.operation.id in case.book.work.steps]
    return Amounts(
        jobs=tuple(told),
        buys=to_buy(
            (w for job in jobs for w in job.wishes), case.site.unit_system, case.site.money
        ),
        hires=hires(case, planned),
        choices=choices(case, planned),
        minutes=_minutes(job for job in planned if job.sure),
    )


def _minutes(jobs: Iterable[Job]) -> float:
    return sum(took.low for job in jobs if (took := job.amount("time")) is not None)
