"""An item of the advice, and an answer about it, for other programs.

docs/advice.schema.json describes what is written here. Quantities are numbers with their unit in
the keeper's own system, dates are ISO, a source is a number of the `sources` beside it.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from typing import Any

from advisor.advice.book import Advice
from advisor.advice.gates import gate_json
from advisor.advice.item import Item, ItemDate, Season, Span
from advisor.amounts.amount import Amount
from advisor.answers.answer import Answer, later
from advisor.answers.reasons import Reason
from advisor.answers.sources import Numbers, source_names
from advisor.decide.windows.interval import Spread

FORMAT = 2


def head_json(advice: Advice, form: int = FORMAT) -> dict[str, Any]:
    """What every document about an advice begins with. form: the number of its form."""
    return {
        "format": form,
        "rulebook": advice.case.book.hash,
        "site": advice.case.site.name,
        "on": advice.on.isoformat(),
    }


def answer_json(advice: Advice, answer: Answer, law: str = "") -> dict[str, Any]:
    """An answer to a question: its item with every comparison, and its cautions in full.

    law: the line on the rules of the place, told last under `safety`.
    """
    numbers = Numbers()
    item = item_json(advice, answer, numbers)
    return {
        **head_json(advice),
        "question": answer.question,
        **item,
        "reasons": [reason_json(reason, numbers) for reason in answer.reasons],
        "safety": [*(caution.text for _, caution in answer.safety), *filter(None, (law,))],
        "sources": sources_json(numbers),
    }


def item_json(advice: Advice, answer: Answer, numbers: Numbers) -> dict[str, Any]:
    """One job on one part of the lawn: all that any view tells of it."""
    item = answer.item
    return {
        "job": item.operation.id,
        "title": item.operation.title,
        "part": item.part.label,
        "grass": item.decision.grass,
        "verdict": item.verdict,
        "grade": item.decision.grade,
        "needed": item.need,
        "taken_up": item.taken_up,
        "weight": item.weight,
        "date": date_json(item.date),
        "headline": answer.headline,
        "reasons": [reason_json(reason, numbers) for reason in answer.told],
        "disputes": list(answer.disputes),
        "flips": [{"fact": f.fact, "to": f.to, "verdict": f.verdict} for f in answer.flips],
        "advice": list(answer.advice),
        "season": season_json(item, advice.season(item)),
        "later": [
            {
                "job": each.operation,
                "season": each.opening.window.title,
                "opens": iso(each.opening.opens.p50),
                "closes": iso(each.opening.closes.p50),
            }
            for each in later(item.decision)
        ],
        "gates": [gate_json(gate) for gate in advice.gates_of(item)],
        "measure": [
            {"fact": m.fact, "title": m.title, "how": m.how, "results": list(m.results)}
            for m in answer.measure
        ],
        "amounts": {amount.name: amount_json(amount) for amount in answer.amounts},
        "cautions": [id for id, _ in answer.safety],
    }


def reason_json(reason: Reason, numbers: Numbers) -> dict[str, Any]:
    """One comparison."""
    return {
        "gate": reason.gate,
        "fact": reason.fact,
        "value": reason.value,
        "limit": reason.limit,
        "holds": reason.holds,
        "says": reason.says,
        "basis": reason.basis,
        "sources": numbers.all_of(source_names(reason.evidence)),
    }


def date_json(date: ItemDate | None) -> dict[str, Any] | None:
    """The one date of an item, with its kind; before: the job that sets a deadline."""
    if date is None:
        return None
    found: dict[str, Any] = {"kind": date.kind, "day": date.day.isoformat()}
    if date.sake:
        found["before"] = date.sake
    if date.watch:
        found["watch"] = list(date.watch)
    return found


def season_json(item: Item, season: Season | None) -> dict[str, Any] | None:
    """The spans of a season; chance: the share of the years that have it as its state says."""
    if season is None:
        return None
    return {
        "id": season.id,
        "title": season.title,
        "state": item.decision.outlook.state,
        "chance": item.decision.outlook.chance,
        "possible": span_json(season.possible),
        "best": span_json(season.best),
        "printed": span_json(season.printed),
    }


def span_json(span: Span | None) -> dict[str, Any] | None:
    """When it opens and closes, in how many years."""
    if span is None:
        return None
    return {
        "opens": spread_json(span.opens),
        "closes": spread_json(span.closes),
        "years": span.years,
        "never": span.never,
    }


def amount_json(amount: Amount) -> dict[str, Any]:
    """An amount with what it rests on and the steps that lead to it."""
    return {
        "low": round(amount.low, 3),
        "high": round(amount.high, 3),
        "unit": amount.unit,
        "basis": amount.basis,
        "cap": amount.cap or None,
        "says": amount.says,
        "steps": list(amount.steps),
        "notes": list(amount.notes),
    }


def sources_json(numbers: Numbers) -> Mapping[str, str]:
    """The sources by their numbers."""
    return {str(number): source for number, source in enumerate(numbers.sources, start=1)}


def spread_json(spread: Spread) -> dict[str, str]:
    """The three dates of a spread."""
    return {name: iso(getattr(spread, name)) for name in ("p10", "p50", "p90")}


def iso(day: dt.date) -> str:
    """`2026-09-15`."""
    return day.isoformat()
