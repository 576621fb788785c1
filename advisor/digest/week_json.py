"""The digest for other programs."""

from __future__ import annotations

from typing import Any

from advisor.answers.answer import Answer
from advisor.answers.to_json import FORMAT, answer_json
from advisor.cases.case import Case
from advisor.digest.view import week_gates
from advisor.digest.week import Week
from advisor.planning.gates import Gates, gate_json


def week_json(week: Week, case: Case, changed: tuple[str, ...] = ()) -> dict[str, Any]:
    """The week as plain data; each answer as `ask --json` gives it, with its area."""

    keeper, kept = Gates(case), case.plan

    def gates(answer: Answer) -> list[dict[str, Any]]:
        return [gate_json(g) for g in keeper.ahead(answer.decision, answer.area, kept)]

    def listed(answers: tuple[Answer, ...]) -> list[dict[str, Any]]:
        return [
            {
                "area": a.area,
                "grass": a.decision.grass,
                **answer_json(a, week.site, case.book, gates(a)),
            }
            for a in answers
        ]

    return {
        "format": FORMAT,
        "rulebook": case.book.hash,
        "site": week.site,
        "from": week.first.isoformat(),
        "to": week.last.isoformat(),
        "lead": week.lead,
        "gates": [gate_json(g) for g in week_gates(week, case)],
        "do": listed(week.do),
        "hold": listed(week.hold),
        "wait": listed(week.wait),
        "coming": listed(week.coming),
        "measure": listed(week.measure),
        "leave": listed(week.leave),
        "missed": listed(week.missed),
        "water": {"says": list(week.water)},
        "changed": list(changed),
        "safety": [caution.text for _, caution in week.safety],
        "weather": week.weather,
        "law": week.law,
    }
