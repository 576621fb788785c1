"""What a digest shows, in order: the same plain data behind text, HTML and mail.

The head is short: one sentence, at most three things to do, one to find out, three to come. What
a reader may look up (steps, full cautions, sources) follows after it.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass

from advisor.answers.answer import Answer
from advisor.answers.reasons import cited
from advisor.answers.words import listed, sentence
from advisor.cases.case import Case
from advisor.digest.choose import Job, choose_jobs
from advisor.digest.leads import dated_lines, titles_of
from advisor.digest.tasks import Task, common_cautions, headline_of, task_of
from advisor.digest.week import MOST_COMING, Week, stood_in_for
from advisor.planning.gate_words import GateLine, gate_lines
from advisor.planning.gates import AHEAD_DAYS, Gate, Gates, of_plan
from advisor.planning.plan_lines import plan_lines

MOST_DATED = 4
NEWS_DAYS = 21
"""A missed season is told for three weeks, then it is old news."""
DONE_DAYS = 120
"""Work done so recently is not called missed."""


@dataclass(frozen=True)
class Line:
    """A title with one sentence."""

    title: str
    says: str


@dataclass(frozen=True)
class Finding:
    """The one fact to find out: for which work, how, and what each result means."""

    for_what: str
    title: str
    how: str
    results: tuple[str, ...]


@dataclass(frozen=True)
class Digest:
    """Everything that a digest shows.

    gates: what stops work that breaks the soil, or comes first; it stands before all work. then:
    what is to be done after the tasks. shared: short cautions of several tasks that do not stand
    beside one already. cautions: every caution of the tasks in full. Renderers show all.
    changed_why: the changes with their reasons, where these had to give way above. editor: what the
    editor of a mailing list puts at the top. in_season: what readers of a list are told of seasons
    that are open, with short cautions that these share.
    """

    site: str
    first: dt.date
    last: dt.date
    lead: str
    gates: tuple[GateLine, ...]
    changed: tuple[str, ...]
    tasks: tuple[Task, ...]
    shared: tuple[str, ...]
    finding: Finding | None
    then: str
    held: tuple[Line, ...]
    dated: tuple[Line, ...]
    plan: tuple[str, ...]
    coming: tuple[Line, ...]
    leave: str
    water: tuple[str, ...]
    cautions: tuple[str, ...]
    sources: tuple[str, ...]
    weather: str
    law: str
    changed_why: tuple[str, ...] = ()
    editor: tuple[Line, ...] = ()
    in_season: tuple[Line, ...] = ()
    in_season_mind: tuple[str, ...] = ()


def digest_of(week: Week, case: Case, changed: tuple[str, ...] = ()) -> Digest:
    """The digest of a composed week."""
    shown, rest = choose_jobs(week.do)
    plan, common = case.plan, common_cautions(shown)
    tasks = tuple(task_of(job, common, week) for job in shown)
    shared = [case.book.cautions[id].short for id in common]
    return Digest(
        site=week.site,
        first=week.first,
        last=week.last,
        lead=week.lead,
        gates=gate_lines(week_gates(week, case), week.first, brief=True),
        changed=changed,
        tasks=tasks,
        shared=tuple(c for c in shared if not any(c in task.cautions for task in tasks)),
        finding=_finding(week),
        then=_then(rest, shown, week.before),
        held=tuple(_lines((*week.hold, *news_of_missed(week)))),
        dated=tuple(
            Line(titles_of(line), line.text(week.first))
            for line in dated_lines(week.answers, case.site, week.first, kept=plan)[:MOST_DATED]
        ),
        plan=plan_lines(case),
        coming=tuple(_lines(week.coming))[:MOST_COMING],
        leave=_leave(a for a in week.leave if _worth_leaving(a)),
        water=week.water,
        cautions=tuple(caution.text for _, caution in week.safety),
        sources=cited(r for a in (*week.do, *week.hold, *week.coming) for r in a.told),
        weather=week.weather,
        law=week.law,
    )


def week_gates(week: Week, case: Case) -> tuple[Gate, ...]:
    """The gates of work that is needed and due, of a season that is near, or of the kept plan."""
    gates, kept = Gates(case), case.plan
    offered = (*week.do, *week.hold, *week.wait, *week.coming, *week.measure)
    found = [
        gate
        for answer in offered
        if answer.decision.judgement.truths["need"] is True
        for gate in gates.ahead(answer.decision, answer.area, kept)
        if answer.decision.verdict == "do" or (gate.by - week.first).days <= AHEAD_DAYS
    ]
    return (*found, *(gate for gate in of_plan(gates, kept) if gate not in found))


def news_of_missed(week: Week) -> Iterator[Answer]:
    """What was wanted, has just become too late or is ruled out, and was not simply done."""
    for answer in week.missed:
        decision, current = answer.decision, answer.decision.outlook.whole
        since = decision.facts[f"days_since.{decision.operation.id}"].value
        done = isinstance(since, float) and since <= DONE_DAYS
        fresh = current is not None and (decision.on - current.closes.p50).days <= NEWS_DAYS
        needed = decision.judgement.truths["need"] is True
        if fresh and needed and not done and not stood_in_for(answer, week.answers):
            yield answer


def _worth_leaving(answer: Answer) -> bool:
    decision = answer.decision
    return decision.outlook.state == "open" and not decision.operation.quiet


def _finding(week: Week) -> Finding | None:
    if week.question is None:
        return None
    wanted = week.question.wanted
    results = tuple(sentence(result) for result in wanted.results)
    return Finding(week.question.for_what, wanted.title, wanted.how, results)


def _then(jobs: Iterable[Job], shown: Iterable[Job], before: Mapping[str, Collection[str]]) -> str:
    """What else can be done, each with its last good day.

    before: the operations that come straight before each. Work that comes before a shown task is
    told so instead: by its own last good day cores could be pulled through new seed.
    """
    said = []
    for job in jobs:
        operation = job[0].decision.operation
        following = [s[0] for s in shown if operation.id in before[s[0].decision.operation.id]]
        when = headline_of(job)
        if following and not operation.routine:
            when = f"before {following[0].title.lower()}"
        said.append(f"{operation.title.lower()} ({when})" if when else operation.title.lower())
    return sentence(f"Also to do: {listed(tuple(said))}") if said else ""


def _lines(answers: Iterable[Answer]) -> Iterator[Line]:
    """One line for each operation and headline; areas that share both are named together.

    A missed season is told without the price of the next: that stands in the full answer.
    """
    areas: dict[tuple[str, str], list[str]] = {}
    for answer in answers:
        said = answer.headline
        if answer.decision.verdict == "missed":
            said = said.split(", at a cost")[0]
        areas.setdefault((answer.title, sentence(said)), []).append(answer.area)
    for (title, said), names in areas.items():
        where = listed(tuple(name for name in names if name))
        yield Line(f"{title}, {where}" if where else title, said)


def _leave(answers: Iterable[Answer]) -> str:
    """One sentence on all that is not needed, what holds for the same areas together."""
    areas: dict[str, list[str]] = {}
    for answer in answers:
        areas.setdefault(answer.title.lower(), []).append(answer.area)
    titles: dict[tuple[str, ...], list[str]] = {}
    for title, where in areas.items():
        titles.setdefault(tuple(filter(None, where)), []).append(title)
    parts = (
        listed(tuple(jobs)) + (f" in the {listed(where)}" if where else "")
        for where, jobs in titles.items()
    )
    return sentence("; ".join(parts))
