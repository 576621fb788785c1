"""An answer as plain data: the verdict, why, when, what would change it, how to stay unhurt."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cached_property

from advisor.advice.book import Advice
from advisor.advice.dates import season_of
from advisor.advice.item import Item, Season
from advisor.amounts.amount import Amount
from advisor.answers.headline import clears_text, headline, later_text
from advisor.answers.law import law_advice
from advisor.answers.reasons import Reason, all_reasons, disputes, telling_reasons
from advisor.answers.words import Words, listed, sentence
from advisor.base.dates import say_date
from advisor.base.record import Record, replace
from advisor.cases.case import laws_of
from advisor.decide.verdicts.decide import Decision
from advisor.decide.verdicts.forward import Later
from advisor.decide.verdicts.what_would_change import EITHER, Outcome
from advisor.decide.windows.tracks import Opening
from advisor.facts.fact import Vocabulary
from advisor.rulebook.actives import ASK, CHOICES, Standing
from advisor.rulebook.law import Laws, left_by
from advisor.rulebook.model import Caution, RuleBook

MOST_LATER = 2
GRASS_DECIDES = "How much it takes depends on the grass: find out which it is before you buy."

_RESULT = {
    "do": "do it",
    "wait": "wait for the season",
    "hold": "in season, but not now",
    "not_needed": "skip it",
    "missed": "too late this season",
    "ruled_out": "ruled out this season",
    "measure": "measure again",
}

_TURNED = {
    **_RESULT,
    "not_needed": "not needed",
    "measure": "measure first",
}


class Measurement(Record, frozen=True):
    """A fact to find out: how to take it and what each result would mean."""

    fact: str
    title: str
    how: str
    results: tuple[str, ...]


class Answer(Record, frozen=True, dict=True):
    """Everything that a renderer may show of one decision, as sentences and dates.

    item: the job on its part of the lawn, with its one date. spoken: what its sentences are made
    with.
    grass_open: the grass is not known, and only the amounts that no grass changes are told.
    mixture: in a digest, further grasses of the stand that have another verdict.
    """

    item: Item
    question: str
    title: str
    grass: str
    area: str
    headline: str
    told: tuple[Reason, ...]
    disputes: tuple[str, ...]
    advice: tuple[str, ...]
    amounts: tuple[Amount, ...]
    flips: tuple[Outcome, ...]
    measure: tuple[Measurement, ...]
    safety: tuple[tuple[str, Caution], ...]
    later: str
    changes: tuple[str, ...]
    spoken: tuple[Vocabulary, Words]
    grass_open: bool = False
    mixture: tuple[str, ...] = ()

    @property
    def decision(self) -> Decision:
        return self.item.decision

    @cached_property
    def reasons(self) -> tuple[Reason, ...]:
        """Every comparison of the decision, made when asked for: a digest tells but a few."""
        return all_reasons(self.decision, *self.spoken)

    @cached_property
    def season(self) -> str:
        """When it may be done, and its best days, made when asked for: a digest tells neither."""
        if self.decision.for_good:
            return ""
        return _season(self.decision, season_of(self.decision, self.item.part.decider))

    @property
    def window(self) -> Opening | None:
        """The window that the verdict speaks of."""
        return self.decision.outlook.current


def answer_of(
    advice: Advice, item: Item, *, question: str = "", amounts: tuple[Amount, ...] | None = None
) -> Answer:
    """Put an item into words. amounts: what to tell that it takes; None: what the advice says."""
    book, laws = advice.case.book, laws_of(advice.case)
    words = Words(advice.case.site.unit_system)
    decision, operation = item.decision, item.operation
    grass = book.grasses[decision.grass]
    law = left_by(laws, decision.on)
    told = telling_reasons(decision, book.vocabulary, words)
    return Answer(
        item=item,
        question=question,
        title=operation.title,
        grass=grass.title,
        area=item.part.label,
        headline=headline(item, told, book),
        told=told,
        disputes=disputes(told, book.vocabulary),
        advice=tuple(
            dict.fromkeys(sentence(t) for t in (*_law(decision, laws), *_advice(decision, law)))
        ),
        amounts=advice.amounts(item) if amounts is None else amounts,
        flips=_flips(decision, book, law),
        measure=tuple(_measurements(item, book, law)),
        safety=tuple((id, book.cautions[id]) for id in operation.safety),
        later=later_text(later(decision), decision, book),
        changes=tuple(
            f"{book.vocabulary[flip.fact].title}, {flip.to}: {_TURNED[flip.verdict]}"
            for flip in _flips(decision, book, law)
        ),
        spoken=(book.vocabulary, words),
    )


def sized(answer: Answer, amounts: tuple[Amount, ...]) -> Answer:
    """The same answer for a lawn of another size, on which only the amounts depend."""
    if answer.grass_open:
        told = {amount.name for amount in answer.amounts}
        amounts = tuple(amount for amount in amounts if amount.name in told)
    return replace(answer, amounts=amounts)


def of_any_grass(same: Sequence[Answer], first: Answer) -> Answer:
    """One of several answers that agree but for the grass, with the amounts that all of them have.

    Where that leaves some out, the advice says why.
    """

    def known(answer: Answer) -> set[tuple[str, float, float]]:
        return {(a.name, a.low, a.high) for a in answer.amounts}

    shared = set.intersection(*(known(answer) for answer in same))
    amounts = tuple(a for a in first.amounts if (a.name, a.low, a.high) in shared)
    if all(known(answer) == shared for answer in same):
        return first
    return replace(first, amounts=amounts, advice=(GRASS_DECIDES, *first.advice), grass_open=True)


def _advice(decision: Decision, law: Standing) -> Iterator[str]:
    return filter(None, (advice.said(law) for advice in decision.advice))


def _law(decision: Decision, laws: tuple[Laws, ...]) -> Iterator[str]:
    operation = decision.operation
    subjects: tuple[str, ...] = () if decision.verdict == "not_needed" else operation.laws
    if any(advice.options for advice in decision.advice):
        # What is left out of a choice wants its reason, whatever the verdict.
        subjects = tuple(dict.fromkeys((*subjects, *CHOICES)))
    return law_advice(laws, subjects, decision.grass, decision.on, operation.offered)


def _season(decision: Decision, season: Season | None) -> str:
    """The window in one or two sentences, and its best part where that is shorter."""
    return " ".join(filter(None, (_possible(decision), _best_days(decision, season))))


def _best_days(decision: Decision, season: Season | None) -> str:
    if season is None or season.best is None or decision.outlook.state == "over":
        return ""
    first, last = season.best.opens.p50, season.best.closes.p50
    same = (first, last) == (season.possible.opens.p50, season.possible.closes.p50)
    if same or last < decision.on:
        return ""
    on = decision.on
    return f"Best from about {say_date(first, relative_to=on)} to {say_date(last, relative_to=on)}."


def _possible(decision: Decision) -> str:
    current = decision.outlook.current
    if current is None or current.all_year:
        return ""
    on = decision.on
    opens, closes = current.opens, current.closes
    first = say_date(opens.p50, relative_to=on)
    last = say_date(closes.p50, relative_to=on)
    years = f"{current.years} years" if current.years > 1 else "one year"
    if decision.outlook.state == "open":
        early = say_date(closes.p10, relative_to=on)
        return (
            f"The season ({current.window.title}) opened about {first}; it closes about {last}, "
            f"in 1 year of 10 by {early} ({years} of weather here)."
        )
    spread = f"{say_date(opens.p10, relative_to=on)} to {say_date(opens.p90, relative_to=on)}"
    if decision.outlook.state == "before":
        return (
            f"The season ({current.window.title}) opens about {first} (8 years in 10: {spread}) "
            f"and closes about {last} ({years} of weather here)."
        )
    return f"The season ({current.window.title}) ran from about {first} to about {last}."


def _flips(decision: Decision, book: RuleBook, law: Standing) -> tuple[Outcome, ...]:
    return tuple(
        outcome
        for outcomes in decision.outcomes.values()
        for outcome in _allowed(outcomes, book, law)
        if outcome.verdict != decision.verdict
    )


def _allowed(outcomes: tuple[Outcome, ...], book: RuleBook, law: Standing) -> Iterator[Outcome]:
    """Outcomes without the ingredients that the law of the place leaves out."""
    for outcome in outcomes:
        names = outcome.to.split(EITHER)
        left = [n for n in names if not book.actives.named_in(n) & law.left_out]
        if left and book.actives.named_in(outcome.to):
            yield replace(outcome, to=f"{EITHER.join(left)} ({ASK})")
        elif left:
            yield outcome


def _measurements(item: Item, book: RuleBook, law: Standing) -> Iterator[Measurement]:
    """Unknown facts that matter, need before the rest, each with the meaning of its results."""
    decision = item.decision
    for name, outcomes in decision.outcomes.items():
        if decision.values.get(name) is not None:
            continue
        definition = book.vocabulary[name]
        how = definition.measure or definition.question
        results = tuple(f"{o.to}: {_meaning(o, item)}" for o in _allowed(outcomes, book, law))
        yield Measurement(name, definition.title, sentence(how), results)


def _meaning(outcome: Outcome, item: Item) -> str:
    decision = item.decision
    current = decision.outlook.current
    if current is None or current.all_year or outcome.verdict not in ("do", "wait"):
        return _RESULT[outcome.verdict]
    on = decision.on
    if outcome.verdict == "do":
        if item.goes_on:
            return _RESULT[outcome.verdict]
        date = item.date
        last = date.day if date and date.kind == "deadline" else current.closes.p50
        until = say_date(last, relative_to=on)
        open_too = [n for n in decision.outcomes if decision.values.get(n) is None]
        # The outcome takes what else is unknown at its best.
        return f"possible, until {until}" if len(open_too) > 1 else f"do it, until {until}"
    return f"plan it for about {say_date(current.opens.p50, relative_to=on)}"


def later(decision: Decision) -> tuple[Later, ...]:
    """The next chances, two at most, after the season that the answer tells of."""
    if decision.verdict not in ("missed", "ruled_out", "wait") or decision.for_good:
        return ()
    # The season that the answer already tells of is not the one after it.
    current = decision.outlook.current if decision.verdict == "wait" else None
    found = tuple(
        item
        for item in decision.later
        if current is None
        or item.operation != decision.operation.id
        or item.opening.opens.p50 != current.opens.p50
    )
    return found[:MOST_LATER]


def clearing(decision: Decision, book: RuleBook) -> str:
    """When a hold clears, and what only the keeper can see."""
    found = decision.clears
    if found is None:
        return ""
    watch = listed(tuple(book.vocabulary[name].title for name in found.watch))
    eye = f"; only you can see this: {watch}" if watch else ""
    return sentence(clears_text(found, decision.on) + eye)
