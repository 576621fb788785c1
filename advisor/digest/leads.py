"""Things to see to beforehand, counted back from the season or the next free day."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator

from advisor.advice.book import Advice
from advisor.advice.free_days import free_runs
from advisor.advice.gates import AHEAD_DAYS
from advisor.advice.item import Item
from advisor.answers.words import listed, sentence
from advisor.base.dates import ONE_DAY, say_date
from advisor.base.record import Record
from advisor.rulebook.model import Lead
from advisor.site.record import Site

LATE_DAYS = 10
"""A date missed by more than this is not brought up again."""
_LOOK_DAYS = 60


class DatedLine(Record, frozen=True):
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
    advice: Advice, items: Iterable[Item], *, chosen: dt.date | None = None
) -> tuple[DatedLine, ...]:
    """The lines due within `AHEAD_DAYS`; the same thing for several jobs once.

    chosen: the day on which the work will be done; then every lead that counts to it is told. A day
    that the keeper has settled on stands above the next free ones.

    What has to be seen to because somebody could be hurt is no lead but a gate.
    """
    on = advice.on
    found: dict[tuple[dt.date, str, dt.date | None], list[str]] = {}
    for item in items:
        if not item.sure or item.decision.forbidden_ahead:
            continue
        if chosen is not None:
            leads = _to(chosen, item)
        elif item.appointed is not None:
            near = on + dt.timedelta(days=AHEAD_DAYS)
            leads = (x for x in _to(item.appointed, item) if on <= x[0] <= near)
        else:
            leads = _dates(item, advice.case.site, on)
        for by, lead, work in leads:
            if lead.job and not _silent(advice, lead.job, item):
                continue
            titles = found.setdefault((by, lead.says, work), [])
            if item.operation.title not in titles:
                titles.append(item.operation.title)
    ordered = sorted(found.items(), key=lambda item: item[0][:2])
    return tuple(DatedLine(by, tuple(titles), says, work) for (by, says, work), titles in ordered)


def _silent(advice: Advice, job: str, item: Item) -> bool:
    """Whether the job of a lead says nothing by itself on this part of the lawn."""
    if job not in item.part.decider.operations():
        return True
    return advice.item(job, item.part).need is False


def _to(work: dt.date, item: Item) -> Iterator[tuple[dt.date, Lead, dt.date | None]]:
    for lead in item.operation.leads:
        yield _before(work, lead), lead, work


def _dates(item: Item, site: Site, on: dt.date) -> Iterator[tuple[dt.date, Lead, dt.date | None]]:
    window = item.decision.outlook.current
    if window is None or item.verdict not in ("wait", "do", "hold"):
        return
    for lead in item.operation.leads:
        if lead.counts_to == "opens":
            if item.verdict != "wait":
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
