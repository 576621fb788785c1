"""What a digest shows, in order: the same plain data behind text, HTML and mail.

The head is short: one sentence, at most four things to do, one to find out, three to come. What
a reader may look up (steps, full cautions, sources) follows after it.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Iterator

from advisor.advice.gates import AHEAD_DAYS, Gate, of_plan
from advisor.answers.answer import Answer
from advisor.answers.sources import Claim, Line, claim
from advisor.answers.words import listed, sentence
from advisor.base.record import Record, replace
from advisor.planning.plan_words import GateLine, gate_lines, plan_lines
from advisor.planning.programme_words import standing_lines
from advisor.render.digest.leads import Job, choose_jobs, dated_lines, titles_of
from advisor.render.digest.tasks import Task, headline_of, strip_of, tasks_of
from advisor.render.digest.week import MOST_COMING, Week

MOST_DATED = 4
MOST_STEPS = 2
NEWS_DAYS = 21
"""A missed season is told for three weeks, then it is old news."""
DONE_DAYS = 120
"""Work done so recently is not called missed."""


class Finding(Record, frozen=True):
    """The one fact to find out: for which work, how, and what each result means."""

    for_what: str
    title: str
    how: str
    results: tuple[str, ...]


class Digest(Record, frozen=True):
    """Everything that a digest shows.

    gates: what stops work that breaks the soil, or comes first; it stands before all work. steps:
    where the lawn stands in its programmes. plan: the days that are settled on. strip: chances of
    the coming free days, and the soil. then: what is to be done after the tasks. care: cautions in
    full of what is not among the tasks. Renderers show all, and number the sources as they go.
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
    plan: tuple[str, ...]
    strip: tuple[Line, ...]
    tasks: tuple[Task, ...]
    finding: Finding | None
    then: str
    held: tuple[Line, ...]
    dated: tuple[Line, ...]
    coming: tuple[Line, ...]
    leave: str
    water: tuple[str, ...]
    weather: str
    law: str
    care: tuple[str, ...] = ()
    steps: tuple[Line, ...] = ()
    changed_why: tuple[str, ...] = ()
    editor: tuple[Line, ...] = ()
    in_season: tuple[Line, ...] = ()
    in_season_mind: tuple[Claim, ...] = ()


def digest_of(week: Week, changed: tuple[str, ...] = ()) -> Digest:
    """The digest of a composed week."""
    shown, rest = choose_jobs(week.do)
    tasks = tasks_of(shown, week)
    told = frozenset(answer.item.key for job in shown for answer in job)
    return Digest(
        site=week.site,
        first=week.first,
        last=week.last,
        lead=week.lead,
        gates=gate_lines(week_gates(week), week.advice.case, brief=True),
        changed=changed,
        plan=plan_lines(week.advice),
        strip=tuple(strip_of(week, shown)),
        tasks=tasks,
        finding=_finding(week),
        then=_then(rest, week),
        held=tuple(_lines((*week.hold, *news_of_missed(week)))),
        dated=tuple(
            Line(titles_of(line), line.text(week.first))
            for line in dated_lines(week.advice, (a.item for a in week.answers))[:MOST_DATED]
        ),
        coming=tuple(_lines(week.coming))[:MOST_COMING],
        leave=_leave(a for a in week.leave if _worth_leaving(a)),
        water=week.water,
        weather=week.weather,
        law=week.law,
        care=_care(rest, tasks),
        steps=standing_lines(week.programmes, week.advice, told)[:MOST_STEPS],
    )


def week_gates(week: Week) -> tuple[Gate, ...]:
    """The gates of work that is needed and due, of a season that is near, or of the kept plan."""
    advice = week.advice
    found = [
        gate
        for answer in (*week.do, *week.hold, *week.wait, *week.coming, *week.measure)
        if answer.item.sure
        for gate in advice.gates_of(answer.item)
        if answer.item.verdict == "do" or (gate.by - week.first).days <= AHEAD_DAYS
    ]
    planned = of_plan(advice.gates, advice.plan)
    return (*found, *(gate for gate in planned if gate not in found))


def news_of_missed(week: Week) -> Iterator[Answer]:
    """What was wanted, has just become too late or is ruled out, and was not simply done."""
    for answer in week.missed:
        decision, current = answer.decision, answer.decision.outlook.whole
        since = decision.facts[f"days_since.{decision.operation.id}"].value
        done = isinstance(since, float) and since <= DONE_DAYS
        fresh = current is not None and (decision.on - current.closes.p50).days <= NEWS_DAYS
        needed = decision.judgement.truths["need"] is True
        if fresh and needed and not done and not answer.item.spare_for:
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


def _care(rest: Iterable[Job], tasks: tuple[Task, ...]) -> tuple[str, ...]:
    """The cautions in full of what is only named, those that no task has told."""
    told = {text for task in tasks for text in task.care}
    found = (caution.text for job in rest for _, caution in job[0].safety)
    return tuple(dict.fromkeys(text for text in found if text not in told))


def _then(jobs: Iterable[Job], week: Week) -> str:
    """What else can be done, each with its day."""
    said = []
    for job in jobs:
        title, when = job[0].title.lower(), headline_of(job, week)
        said.append(f"{title} ({when})" if when else title)
    return sentence(f"Also to do: {listed(tuple(said))}") if said else ""


def _lines(answers: Iterable[Answer]) -> Iterator[Line]:
    """One line for each operation and headline; areas that share both are named together.

    A missed season is told without the price of the next: that stands in the full answer.
    """
    areas: dict[tuple[str, Claim], list[str]] = {}
    for answer in answers:
        said = answer.headline
        if answer.decision.verdict == "missed":
            said = said.split(", at a cost")[0]
        areas.setdefault((answer.title, claim(said, answer)), []).append(answer.area)
    for (title, stated), names in areas.items():
        where = listed(tuple(name for name in names if name))
        yield Line(f"{title}, {where}" if where else title, stated.says, stated.sources)


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


HEAD_WORDS = 350
_REDUCTIONS: tuple[Callable[[Digest], Digest], ...] = (
    lambda d: replace(d, leave=""),
    lambda d: replace(d, strip=d.strip[:1]),
    lambda d: replace(d, held=d.held[:3]),
    lambda d: replace(d, in_season=d.in_season[:3]),
    lambda d: replace(d, coming=d.coming[:2]),
    lambda d: replace(d, held=d.held[:1]),
    lambda d: replace(d, coming=d.coming[:1], steps=d.steps[:1]),
    lambda d: replace(d, water=d.water[:1]),
    lambda d: replace(d, coming=()),
    lambda d: replace(d, held=()),
    lambda d: _without_seasons(d),
    lambda d: replace(d, dated=d.dated[:2]),
    lambda d: replace(d, finding=d.finding and replace(d.finding, how=_start(d.finding.how))),
    lambda d: replace(d, dated=d.dated[:1]),
    lambda d: replace(d, steps=()),
    lambda d: replace(d, finding=None),
    lambda d: replace(d, changed=tuple(map(_bare, d.changed)), changed_why=d.changed),
    lambda d: _without_routine(d),
    lambda d: replace(d, water=()),
    lambda d: replace(d, dated=()),
    lambda d: replace(d, tasks=tuple(replace(t, why=t.why[:1]) for t in d.tasks)),
    lambda d: replace(d, tasks=tuple(replace(t, brief=True) for t in d.tasks)),
    lambda d: replace(d, strip=()),
    lambda d: _fewer_tasks(d),
)
"""First what a reader can do without this week. Cautions of what is told, and that a verdict
changed, never give way; the reason of a change may move below the line."""


def fitted(digest: Digest, count: Callable[[Digest], int]) -> Digest:
    """The digest with as many reductions as its head needs, and no more.

    count: the words of a digest's head, as it will be shown.
    """
    reduced = digest
    for reduced in reductions(digest):
        if count(reduced) <= HEAD_WORDS:
            break
    return reduced


def reductions(digest: Digest) -> Iterator[Digest]:
    """The digest as it is, then with one reduction, with two, and so on."""
    yield digest
    for reduce in _REDUCTIONS:
        digest = reduce(digest)
        yield digest


def _start(text: str) -> str:
    """The first sentence."""
    return sentence(text.split(". ")[0])


def _bare(change: str) -> str:
    """A change without its reason in brackets."""
    return change.split(" (")[0].rstrip(".") + "."


def _without_seasons(digest: Digest) -> Digest:
    """Open seasons left out beside season's work; else they are what the digest is about."""
    if all(task.routine for task in digest.tasks):
        return digest
    return replace(digest, in_season=(), in_season_mind=())


def _without_routine(digest: Digest) -> Digest:
    """Routine named in a line instead of told, where there is other work to tell of."""
    kept = tuple(task for task in digest.tasks if not task.routine)
    if not kept or len(kept) == len(digest.tasks):
        return digest
    names = ", ".join(task.title.lower() for task in digest.tasks if task.routine)
    return replace(digest, tasks=kept, then=f"{digest.then} Besides: {names}.".strip())


def _fewer_tasks(digest: Digest) -> Digest:
    """The last task named in a line instead of told."""
    if len(digest.tasks) < 2:
        return digest
    *kept, last = digest.tasks
    named = f"Then: {last.title.lower()}{f' ({last.when})' if last.when else ''}."
    return replace(digest, tasks=tuple(kept), then=f"{named} {digest.then}".strip())
