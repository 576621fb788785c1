"""Everything worth finding out about a lawn, best first, as sentences and as plain data."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from advisor.answers.answer import Answer
from advisor.answers.measurements import Worth
from advisor.answers.words import listed, sentence
from advisor.cases.case import Case
from advisor.render.digest.week import Question, all_answers, worthwhile


def to_find_out(case: Case) -> tuple[Question | None, tuple[Worth, ...]]:
    """Which grass it is, where that is open, and the unknown facts in order of worth."""
    _, answers, question = all_answers(case)
    return question, worthwhile(answers, case.book)


def measure_lines(question: Question | None, found: tuple[Worth, ...]) -> Iterator[tuple[str, str]]:
    """Pairs of a bullet and a text; a text without a bullet stands by itself."""
    if question is None and not found:
        yield "", "Nothing is open: no measurement would change this month's advice."
        return
    n = 0
    if question is not None:
        n += 1
        yield f"{n}. ", sentence(question.wanted.title) + f" For {question.for_what}."
        yield "   ", question.wanted.how
    for worth in found:
        n += 1
        yield f"{n}. ", _headline(worth)
        yield "   ", worth.wanted.how
        for what, results in _by_result(worth).items():
            yield "   - ", f"{what}: {results}."


def _by_result(worth: Worth) -> dict[str, str]:
    """`Thatch removal, front and back` → what each result means; areas that agree are one."""
    areas: dict[tuple[str, str], list[str]] = {}
    for answer, _ in worth.answers:
        results = "; ".join(results_of(answer, worth.wanted.fact))
        areas.setdefault((answer.title, results), []).append(answer.area)
    return {
        ", ".join(filter(None, (title, listed(tuple(filter(None, named)))))): results
        for (title, results), named in areas.items()
    }


def results_of(answer: Answer, fact: str) -> tuple[str, ...]:
    """What each result of the fact means for the answer's operation."""
    return next(m.results for m in answer.measure if m.fact == fact)


def _headline(worth: Worth) -> str:
    """The fact, where, and what it settles or turns."""
    where = f" ({listed(worth.areas)})" if worth.areas else ""
    title = worth.wanted.title
    kinds = (("settles", worth.settles), ("may settle", worth.may), ("bears on", worth.turns))
    said = [f"{verb} {_lower(titles)}" for verb, titles in kinds if titles]
    when = "" if worth.soon else " later in the year"
    return f"{title[:1].upper()}{title[1:]}{where}: {'; '.join(said)}{when}."


def _lower(titles: tuple[str, ...]) -> str:
    return listed(tuple(title.lower() for title in titles))


def measure_json(question: Question | None, found: tuple[Worth, ...], case: Case) -> dict[str, Any]:
    """The same for other programs."""
    first = [] if question is None else [
        {"fact": question.wanted.fact, "title": question.wanted.title, "how": question.wanted.how,
         "settles": [], "may_settle": [], "turns": [], "areas": [], "this_month": True,
         "results": []}
    ]  # fmt: skip
    return {
        "format": 1,
        "rulebook": case.book.hash,
        "site": case.site.name,
        "on": case.on.isoformat(),
        "measure": [*first, *map(_worth_json, found)],
    }


def _worth_json(worth: Worth) -> dict[str, Any]:
    ids = {answer.title: answer.decision.operation.id for answer, _ in worth.answers}
    fact = worth.wanted.fact
    return {
        "fact": fact,
        "title": worth.wanted.title,
        "how": worth.wanted.how,
        "settles": [ids[title] for title in worth.settles],
        "may_settle": [ids[title] for title in worth.may],
        "turns": [ids[title] for title in worth.turns],
        "areas": list(worth.areas),
        "this_month": worth.soon,
        "results": [
            {"operation": ids[a.title], "area": a.area, "results": list(results_of(a, fact))}
            for a, _ in worth.answers
        ],
    }
