"""The amounts as text, as a page to take to the shop, and for other programs."""

from __future__ import annotations

from typing import Any

from advisor.advice.gates import gate_json
from advisor.amounts.amount import Amount
from advisor.amounts.reckon import Job
from advisor.amounts.shop import Buy
from advisor.answers.to_json import head_json
from advisor.planning.programme_step import standing_json
from advisor.planning.shopping import Shopping
from advisor.render.digest.render import render
from advisor.render.sheets.amounts_view import amounts_gates, amounts_programmes, view_of
from advisor.rulebook.model import RuleBook

FORMAT = 1


def amounts_text(found: Shopping) -> str:
    """The amounts for the terminal."""
    return render("amounts.txt", view=view_of(found))


def amounts_html(found: Shopping) -> str:
    """One page: the list to take along, and how it adds up below it."""
    return render("amounts.html", view=view_of(found))


def amounts_json(found: Shopping) -> dict[str, Any]:
    """Of `buy` kg or L, of `work` the `unit` of each amount; money is the keeper's own."""
    case, amounts = found.advice.case, found.amounts
    return {
        **head_json(found.advice, FORMAT),
        "units": case.site.unit_system,
        "gates": [gate_json(gate) for gate in amounts_gates(found)],
        "programmes": [standing_json(each) for each in amounts_programmes(found)],
        "work": [_job(case.book, job) for job in amounts.jobs],
        "buy": [buy_json(case.book, buy) for buy in amounts.buys],
        "hire": [
            {
                "machine": hire.machine,
                "minutes": round(hire.minutes),
                "block_minutes": hire.block_minutes,
                "blocks": hire.blocks,
                "cost": hire.cost,
                "sure": hire.sure,
            }
            for hire in amounts.hires
        ],
        "or_have_it_done": [
            {
                "operation": choice.operation,
                "quoted": choice.quoted,
                "hire": choice.hire,
                "minutes": round(choice.minutes),
                "even_at_an_hour": None if choice.worth is None else round(choice.worth, 2),
            }
            for choice in amounts.choices
        ],
        "totals": {
            "minutes": round(amounts.minutes),
            "cost": round(amounts.cost(sure=False), 2),
            "cost_sure": round(amounts.cost(sure=True), 2),
            "unpriced": list(amounts.unpriced),
        },
        "without": [
            {"operation": i.operation.id, "area": i.part.name, "verdict": i.verdict}
            for i in found.without
        ],
    }


def _job(book: RuleBook, job: Job) -> dict[str, Any]:
    operation = job.operation
    return {
        "operation": operation.id,
        "area": job.ground.name,
        "verdict": job.decision.verdict,
        "sure": job.sure,
        "amounts": [_amount(line) for line in job.amounts],
        "warnings": list(job.warnings),
        "safety": [book.cautions[id].text for id in operation.safety],
    }


def _amount(line: Amount) -> dict[str, Any]:
    return {
        "name": line.name,
        "low": round(line.low, 3),
        "high": round(line.high, 3),
        "unit": line.unit,
        "says": line.says,
        "steps": list(line.steps),
        "notes": list(line.notes),
        "evidence": [{"kind": e.kind, "source": str(e)} for e in line.evidence],
    }


def buy_json(book: RuleBook, buy: Buy) -> dict[str, Any]:
    """What to get, in kg or L; money is the keeper's own."""
    bags = buy.bags
    return {
        "product": buy.product,
        "for": list(buy.jobs),
        "sure": buy.sure,
        "needed": round(buy.needed, 3),
        "unit": buy.dimension,
        "bag": None if bags is None else round(bags.size, 3),
        "bags": None if bags is None else bags.count,
        "left": None if bags is None else round(bags.left, 3),
        "cost": buy.cost,
        "says": buy.says,
        "steps": list(buy.steps),
        "warnings": list(buy.warnings),
        "notes": list(buy.notes),
        "safety": [book.cautions[id].text for id in buy.safety],
    }
