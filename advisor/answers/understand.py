"""A keeper's question in plain words: which operation, what about it, and for which day.

Words are matched by our own rules, so that the same question always reads the same. What the rules
cannot place is refused with samples of what can be asked; nothing is guessed.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterable, Mapping

from advisor.answers.asked_date import alternatives, choose_date
from advisor.answers.joined_names import joined
from advisor.answers.main_operation import Roles, main_mention
from advisor.answers.off_topic import other_matter
from advisor.answers.question_dates import DateAsked, find_dates
from advisor.answers.question_intent import asks_for_the_week, intent_of
from advisor.answers.question_scope import OTHER_JOBS, outside, unknown_words
from advisor.answers.question_text import Mention, Names, Token, plain, tokenise
from advisor.answers.seeding_words import SOWINGS, names_one_sowing, of_season, sowing
from advisor.answers.understood import NotUnderstood, Understood, samples
from advisor.base.record import Record, replace

__all__ = ["NotUnderstood", "Understood", "understand"]


class _Parts(Record, frozen=True):
    """A question taken apart. `mentions` hold ids of operations, or of other jobs only."""

    question: str
    text: str
    tokens: tuple[Token, ...]
    mentions: list[Mention]
    grasses: list[Mention]
    dates: list[DateAsked]
    roles: Roles
    names: Names
    known: frozenset[str]
    other_jobs: frozenset[str]


class _Refusal(Exception):
    """Why the question cannot be placed."""


def understand(
    question: str,
    words: Mapping[str, Iterable[str]],
    on: dt.date,
    *,
    latitude: float,
    grasses: Mapping[str, Iterable[str]] | None = None,
) -> Understood | NotUnderstood:
    """Read a question asked on the day `on`.

    `words` maps an operation's id to its everyday names, `grasses` a grass's id to its names; an
    id itself is always a name. `latitude` (degrees, south negative) says when spring is.
    """
    try:
        parts = _take_apart(question, words, on, latitude, grasses or {})
        main = main_mention(parts.text, parts.mentions, parts.other_jobs, parts.roles)
        if main is None or main.ids <= parts.other_jobs:
            return _the_week(parts, main)
        found: list[Mention | DateAsked] = [*parts.mentions, *parts.grasses, *parts.dates]
        named = [(s.start, s.end) for s in found]
        reason = other_matter(parts.text, parts.tokens, main, parts.mentions, named, parts.roles)
        if reason:
            raise _Refusal(reason)
        return _placed(parts, main)
    except _Refusal as why:
        return NotUnderstood(question, str(why), samples(words))


def _take_apart(
    question: str,
    words: Mapping[str, Iterable[str]],
    on: dt.date,
    latitude: float,
    grasses: Mapping[str, Iterable[str]],
) -> _Parts:
    text = plain(question)
    tokens = tokenise(text)
    if not any(t.text.isalpha() for t in tokens):
        raise _Refusal("there are no words in this question")
    strange = outside(text, tokens)
    if strange:
        raise _Refusal(f"this seems to ask about {strange}, for which there are no rules here")
    try:
        dates = find_dates(text, on, latitude)
    except ValueError as unclear:
        raise _Refusal(str(unclear)) from None
    others = {job: names for job, names in OTHER_JOBS.items() if job not in words}
    names = Names({**others, **words})
    found = names.find(tokens, spelling=True)
    # A name that the rule book knows is never that of another job.
    mentions = [replace(m, ids=(m.ids & words.keys()) or m.ids) for m in found]
    named = Names(grasses).find(tokens)
    dates = [d for d in dates if not any(_names_a_kind(d, m) for m in (*mentions, *named))]
    roles = Roles(text, [(d.start, d.end) for d in dates])
    known, other_jobs = frozenset(words), frozenset(others)
    return _Parts(question, text, tokens, mentions, named, dates, roles, names, known, other_jobs)


def _names_a_kind(date: DateAsked, mention: Mention) -> bool:
    """Whether a season only tells the kind of a job: `spring seeding`, `fall overseeding`."""
    return date.season_only and date.start in (mention.start, mention.start - date.length - 1)


def _the_week(parts: _Parts, other_job: Mention | None) -> Understood:
    """The question for the week, which names no job. Raises `_Refusal` for anything else."""
    if other_job is not None:
        raise _Refusal(f"this asks about {min(other_job.ids)}, for which there are no rules here")
    if parts.mentions:
        raise _Refusal(
            f"'{parts.mentions[0].said}' is only a circumstance in this question, and what it asks "
            "about is not known here"
        )
    spent = [(s.start, s.end) for s in parts.dates] + [(s.start, s.end) for s in parts.grasses]
    rest = [t for t in parts.tokens if not any(a <= t.start < b for a, b in spent)]
    if not asks_for_the_week(parts.text) or unknown_words(tuple(rest)):
        raise _Refusal(f"no operation found in this question{parts.names.nearest(parts.tokens)}")
    date = choose_date(parts.dates, parts.text, 0, parts.roles)
    return Understood(
        parts.question,
        None,
        "week",
        date.first if date else None,
        date.last if date else None,
        grasses=_grass_ids(parts),
    )


def _placed(parts: _Parts, main: Mention) -> Understood:
    either = alternatives(parts.dates, parts.text)
    date = choose_date(parts.dates, parts.text, main.start, parts.roles)
    asked = date or next(iter(either), None)

    def operation_of(mention: Mention) -> str:
        if mention.ids <= SOWINGS:
            return sowing(mention, parts.text, asked.season if asked else None, parts.known)
        return min(mention.ids)

    operation = operation_of(_more_exact(parts, main))
    ours = [m for m in parts.mentions if not m.ids <= parts.other_jobs]
    operation, spent = joined(
        operation, main, ours, operation_of, parts.text, parts.roles, parts.known
    )
    also = [
        operation_of(m)
        for m in ours
        # "Seed" said again is no second operation.
        if operation not in SOWINGS or names_one_sowing(m, parts.text)
    ]
    if operation in SOWINGS:
        waits = [d for d in parts.dates if d.first is None]
        also += [of_season(d.season) for d in (*either, *waits) if d.season]
    same = spent | {operation}
    others = tuple(o for o in dict.fromkeys(also) if o not in same and o in parts.known)
    return Understood(
        parts.question,
        operation,
        intent_of(parts.text, 1 + len(others)),
        date.first if date else None,
        date.last if date else None,
        others,
        _grass_ids(parts),
        tuple((m.said, m.meant) for m in parts.mentions if m.meant),
    )


def _more_exact(parts: _Parts, main: Mention) -> Mention:
    """The sowing named beside plain seed (`how much seed for spring seeding`), else `main`."""
    for mention in parts.mentions if main.ids <= SOWINGS else ():
        beside = mention is not main and mention.ids <= SOWINGS
        first, last = sorted((main.start, mention.start))
        either = re.search(r"\bor\b", parts.text[first:last])
        linked = parts.roles.at(mention.start) in ("circumstance", "done")
        if beside and not either and not linked and names_one_sowing(mention, parts.text):
            return mention
    return main


def _grass_ids(parts: _Parts) -> tuple[str, ...]:
    return tuple(dict.fromkeys(min(m.ids) for m in parts.grasses))
