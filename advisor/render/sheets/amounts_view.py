"""The amounts in words: what any page of them shows."""

from __future__ import annotations

from collections.abc import Iterator

from advisor.advice.gates import Gate
from advisor.advice.item import Item as Work
from advisor.amounts.amount import say_time
from advisor.amounts.compose import Amounts
from advisor.amounts.reckon import Job
from advisor.amounts.shop import Buy
from advisor.answers.answer import answer_of
from advisor.answers.law import law_line
from advisor.answers.sources import Line, weather_line
from advisor.answers.words import listed, sentence
from advisor.base.dates import say_date
from advisor.base.record import Record
from advisor.base.text import uncapped
from advisor.planning.plan_words import GateLine, gate_lines
from advisor.planning.programme_step import Standing
from advisor.planning.programme_words import standing_lines, standings_of
from advisor.planning.shopping import Shopping
from advisor.render.sheets.shopping_lines import buy_line, total_line


class Item(Record, frozen=True):
    """A line with what stands below it in smaller type. mind: cautions, never left out."""

    says: str
    below: tuple[str, ...] = ()
    mind: tuple[str, ...] = ()


class Group(Record, frozen=True):
    """Lines under a heading of their own."""

    heading: str
    note: str
    items: tuple[Item, ...]


class View(Record, frozen=True):
    """gates: before everything else. steps: where the lawn stands in the programmes that the work
    is a piece of. get, perhaps: what to buy. hire: machines, or work done for money. jobs: how it
    adds up."""

    site: str
    title: str
    lead: str
    gates: tuple[GateLine, ...]
    steps: tuple[Line, ...]
    get: tuple[Item, ...]
    perhaps: tuple[Item, ...]
    leave: tuple[str, ...]
    hire: tuple[str, ...]
    total: str
    jobs: tuple[Group, ...]
    without: tuple[str, ...]
    cautions: tuple[str, ...]
    sources: tuple[str, ...]
    ends: tuple[str, ...]


def view_of(found: Shopping) -> View:
    """The amounts in the keeper's words and units."""
    advice, amounts = found.advice, found.amounts
    case = advice.case
    mentioned = dict.fromkeys(id for b in amounts.buys for id in b.safety)
    every = dict.fromkeys(id for job in amounts.jobs for id in job.operation.safety)
    return View(
        site=case.site.name,
        title=f"What to get, as of {say_date(advice.on)} {advice.on.year}",
        lead=_lead(amounts),
        gates=gate_lines(amounts_gates(found), case),
        steps=standing_lines(amounts_programmes(found), found.advice, frozenset(_keys(found))),
        get=tuple(_item(found, b) for b in amounts.buys if b.sure),
        perhaps=tuple(_item(found, b) for b in amounts.buys if not b.sure),
        leave=tuple(dict.fromkeys(sentence(w) for job in amounts.jobs for w in job.warnings)),
        hire=tuple(
            sentence(each)
            for each in (*(h.says for h in amounts.hires), *(c.says for c in amounts.choices))
        ),
        total=total_line(amounts, case.site.money),
        jobs=tuple(
            _job(found, item, job) for item, job in zip(found.items, amounts.jobs, strict=True)
        ),
        without=tuple(f"{_named(item)}: {_headline(found, item)}" for item in found.without),
        cautions=tuple(case.book.cautions[id].short for id in every if id not in mentioned),
        sources=tuple(
            dict.fromkeys(str(e) for j in amounts.jobs for line in j.amounts for e in line.evidence)
        ),
        ends=(weather_line(case), law_line(case)),
    )


def _keys(found: Shopping) -> Iterator[tuple[str, str]]:
    """Job and part of the work that is known to be needed."""
    return (item.key for item in found.items if item.sure)


def amounts_programmes(found: Shopping) -> tuple[Standing, ...]:
    """The programmes that it is a piece of."""
    return standings_of(found.advice, (item for item in found.items if item.sure))


def amounts_gates(found: Shopping) -> tuple[Gate, ...]:
    """The gates of the work that is reckoned for."""
    return tuple(gate for item in found.items for gate in found.advice.gates_of(item))


def _lead(amounts: Amounts) -> str:
    sure = [job for job in amounts.jobs if job.sure]
    if not amounts.jobs:
        return "Nothing that is wanted or near takes any amounts."
    if not sure:
        return "Nothing is known to be needed; what may be is reckoned below."
    titles = dict.fromkeys(job.operation.title for job in sure)
    names = listed(tuple(uncapped(title) for title in titles))
    text = f"For {names}"
    if amounts.minutes:
        text += f"; about {say_time(amounts.minutes)} of steady work for one person"
    return sentence(text)


def _item(found: Shopping, buy: Buy) -> Item:
    cautions = found.advice.case.book.cautions
    below = (*buy.steps, *buy.warnings, *buy.notes)
    return Item(
        buy_line(buy),
        tuple(sentence(each) for each in below),
        tuple(cautions[id].short for id in buy.safety),
    )


def _job(found: Shopping, work: Work, job: Job) -> Group:
    items = tuple(
        Item(sentence(line.says), tuple(sentence(each) for each in (*line.steps, *line.notes)))
        for line in job.amounts
    )
    return Group(_named(work), sentence(_headline(found, work)), items)


def _named(item: Work) -> str:
    return f"{item.operation.title}, {item.part.name}"


def _headline(found: Shopping, item: Work) -> str:
    return answer_of(found.advice, item, amounts=()).headline
