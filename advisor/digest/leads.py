"""Things to see to beforehand, counted back from the season or the next free day."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from advisor.answers.answer import Answer
from advisor.answers.words import listed, sentence
from advisor.base.dates import ONE_DAY, say_date
from advisor.planning.free_days import free_runs
from advisor.planning.gates import AHEAD_DAYS
from advisor.rulebook.model import Lead
from advisor.site.kept_plan import KeptPlan
from advisor.site.record import Site

LATE_DAYS = 10
"""A date missed by more than this is not brought up again."""
_LOOK_DAYS = 60


@dataclass(frozen=True)
class DatedLine:
    """By when, for which operations, what; work: the free day it is counted back from, if any."""

    by: dt.date
    titles: tuple[str, ...]
    says: str
    work: dt.date | None

    def text(self, on: dt.date) -> str:
        """One sentence."""
        when = "now" if self.by <= on else f"by {say_date(self.by, relative_to=on)}"
        work = ""
        if self.work is not None:
            work = f", for work on {self.work:%A} {say_date(self.work, relative_to=on)}"
        return sentence(f"{when}: {self.says}{work}")


def dated_lines(
    answers: Iterable[Answer],
    site: Site,
    on: dt.date,
    *,
    chosen: dt.date | None = None,
    kept: KeptPlan | None = None,
) -> tuple[DatedLine, ...]:
    """The lines due within `AHEAD_DAYS`; the same thing for several jobs once.

    chosen: the day on which the work will be done; then every lead that counts to it is told. kept:
    the plan that the keeper has settled on, whose days stand above the next free ones.

    What has to be seen to because somebody could be hurt is no lead but a gate.
    """
    found: dict[tuple[dt.date, str, dt.date | None], list[str]] = {}
    for answer in answers:
        if answer.decision.judgement.truths["need"] is not True:
            continue
        if answer.decision.forbidden_ahead:
            continue
        settled = kept.day_of(answer.decision.operation.id) if kept else None
        if chosen is not None:
            leads = _to(chosen, answer)
        elif settled is not None:
            near = on + dt.timedelta(days=AHEAD_DAYS)
            leads = (x for x in _to(settled, answer) if on <= x[0] <= near)
        else:
            leads = _dates(answer, site, on)
        for by, lead, work in leads:
            titles = found.setdefault((by, lead.says, work), [])
            if answer.title not in titles:
                titles.append(answer.title)
    ordered = sorted(found.items(), key=lambda item: item[0][:2])
    return tuple(DatedLine(by, tuple(titles), says, work) for (by, says, work), titles in ordered)


def _to(work: dt.date, answer: Answer) -> Iterator[tuple[dt.date, Lead, dt.date | None]]:
    for lead in answer.decision.operation.leads:
        yield _before(work, lead), lead, work


def _dates(
    answer: Answer, site: Site, on: dt.date
) -> Iterator[tuple[dt.date, Lead, dt.date | None]]:
    verdict, window = answer.decision.verdict, answer.window
    if window is None or verdict not in ("wait", "do", "hold"):
        return
    for lead in answer.decision.operation.leads:
        if lead.counts_to == "opens":
            if verdict != "wait":
                continue
            by = _before(window.opens.p50, lead)
            if -LATE_DAYS <= (by - on).days <= AHEAD_DAYS:
                yield max(by, on), lead, None
            continue
        start = max(window.opens.p50, on)
        work = _next_free_day(start, lead, site, on)
        if work is None or work > window.closes.p50:
            continue
        by = _before(work, lead)
        if (by - on).days <= AHEAD_DAYS:
            yield by, lead, work


def _next_free_day(start: dt.date, lead: Lead, site: Site, on: dt.date) -> dt.date | None:
    """The first free day from `start` for which there is still time to see to the lead."""
    for run in free_runs(site, start, start + _LOOK_DAYS * ONE_DAY):
        for day in run.days:
            # A bridge day is free only if the keeper takes it off, so no date hangs on it.
            if day not in run.bridges and _before(day, lead) >= on:
                return day
    return None


def _before(day: dt.date, lead: Lead) -> dt.date:
    return day - dt.timedelta(days=lead.before)


def titles_of(line: DatedLine) -> str:
    """The operations of a line, as its title."""
    first, *others = line.titles
    return listed((first, *(title.lower() for title in others)))
