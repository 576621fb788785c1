"""What is in season for readers who have measured little: until when, and what decides.

To most readers of a list most work is "measure first". A keeper finds that out job by job; a mail
has to say in one place which seasons are open now, and what would make the work worth it.
"""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Collection

from advisor.answers.answer import Answer, Measurement
from advisor.answers.headline import measure_by
from advisor.answers.sources import Claim, Line, claims_of
from advisor.answers.words import listed, sentence
from advisor.base.dates import say_date
from advisor.base.record import replace
from advisor.mailing.letters.job_conflicts import Said, order_of, shut_out
from advisor.mailing.mails.subject import LONGEST
from advisor.render.digest.view import Digest
from advisor.render.digest.week import COMING_DAYS, Week

MOST, MOST_BESIDE_WORK = 4, 2
_TOLD_ELSEWHERE = frozenset({"watering"})
"""Has a section of its own."""
_WORTH_IT = ("do it", "possible")


def with_season(digest: Digest, week: Week) -> Digest:
    """The digest with what is open and not decided, its cautions and its sources.

    What is coming says what to find out for it.
    """
    digest = replace(digest, coming=tuple(_asked(line, week) for line in digest.coming))
    shown = _shown(week)[: MOST_BESIDE_WORK if digest.tasks else MOST]
    if not shown:
        return digest
    counts = Counter(id for answer in shown for id, _ in answer.safety)
    found = {id: caution for answer in shown for id, caution in answer.safety}
    common = {id: found[id].short for id in counts if counts[id] > 1}
    beside = {text for task in digest.tasks for text in task.care}
    full = (*digest.care, *(c.text for c in found.values() if c.text not in beside))
    book = week.advice.case.book
    labels = shut_out(shown, book)
    orders = [order_of(answer, shown, book) for answer in shown]
    nothing_else = not week.hold and all(a.decision.operation.routine for a in week.do)
    return replace(
        digest,
        lead=_lead(shown, week.first) if nothing_else else digest.lead,
        in_season=tuple(
            _line(answer, said, common.keys(), week.first)
            for answer, said in zip(shown, orders, strict=True)
        ),
        in_season_mind=(
            *(Claim(one.says, one.sources) for one in labels),
            # Also what a task says: it may give way where room is short, and its cautions with it.
            *map(Claim, common.values()),
        ),
        care=tuple(dict.fromkeys(full)),
    )


def _shown(week: Week) -> list[Answer]:
    """What closes first, of the work that has a season and no better one to come."""
    soon = week.first + dt.timedelta(days=COMING_DAYS)
    open_now = [
        answer
        for answer in week.measure
        if answer.decision.outlook.state == "open"
        and not answer.decision.operation.routine
        and answer.decision.operation.id not in _TOLD_ELSEWHERE
        and answer.item.raised
        and not answer.item.spare_for
        and _last_day(answer) <= soon
        and any(map(_worth_it, answer.measure))
    ]
    return sorted(open_now, key=_last_day)


def _last_day(answer: Answer) -> dt.date:
    if answer.decision.by is not None:
        return answer.decision.by
    return answer.window.closes.p10 if answer.window is not None else dt.date.max


def _lead(shown: list[Answer], on: dt.date) -> str:
    """The one sentence; as many jobs as a subject has room for."""
    names = [answer.title.lower() for answer in shown]
    until = say_date(_last_day(shown[0]), relative_to=on)
    for number in (3, 2):
        said = f"In season if needed: {listed(tuple(names[:number]))}"
        if len(names) >= number and len(said) <= LONGEST:
            return f"{said}; {names[0]} closes first, on {until}."
    return f"In season if needed: {names[0]}, until {until}."


def _line(answer: Answer, order: tuple[Said, ...], common: Collection[str], on: dt.date) -> Line:
    until = say_date(_last_day(answer), relative_to=on)
    own = " ".join(caution.short for id, caution in answer.safety if id not in common)
    decides = next(filter(_worth_it, answer.measure))
    said = sentence(f"until {until}, {_condition(decides)}")
    said = " ".join((said, *(one.says for one in order)))
    sources = dict.fromkeys(
        (*(s for c in claims_of(answer) for s in c.sources), *(s for o in order for s in o.sources))
    )
    return Line(answer.title, said, tuple(sources), f"Mind: {own}" if own else "")


def _worth_it(wanted: Measurement) -> tuple[str, ...]:
    """The results that make the work worth it."""
    parted = (result.partition(": ") for result in wanted.results)
    return tuple(found for found, _, meaning in parted if meaning.startswith(_WORTH_IT))


def _condition(wanted: Measurement) -> str:
    """`if thatch is over 0.75 in`, `if you want it`."""
    if wanted.fact.startswith("wanted."):
        return "if you want it"
    results = _worth_it(wanted)
    if results == ("yes",):
        asked = wanted.title.removeprefix("whether ")
        return f"if {asked}" if asked != wanted.title else f"if you have seen {asked}"
    first, _, rest = wanted.title.partition(" ")
    verb = "are" if first.endswith("s") and not first.endswith("ss") else "is"
    the = "the " if rest.startswith("of ") else ""
    return f"if {the}{wanted.title} {verb} {listed(results, 'or')}"


def _asked(line: Line, week: Week) -> Line:
    """A line on what is coming; `measure now` says what to find out, and nothing in routine."""
    same = (a for a in week.coming if a.title == line.title and sentence(a.headline) == line.says)
    answer = next(same, None)
    said, measure, _ = line.says.partition("; measure ")
    if answer is None or not measure:
        return line
    if answer.decision.operation.routine or not answer.measure:
        return replace(line, says=sentence(said))
    by = measure_by(answer.decision)
    when = "now" if by <= week.first else f"before {say_date(by, relative_to=week.first)}"
    wanted = answer.measure[0]
    asked = f": {wanted.title}"
    if wanted.fact.startswith("wanted."):
        asked = " whether you want it"
    elif wanted.title.startswith("whether "):
        asked = f" {wanted.title}"
    return replace(line, says=sentence(f"{said}; find out {when}{asked}"))
