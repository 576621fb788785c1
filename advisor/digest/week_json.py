"""The digest for other programs."""

from __future__ import annotations

from typing import Any

from advisor.advice.gates import gate_json
from advisor.answers.answer import Answer
from advisor.answers.to_json import FORMAT, answer_json
from advisor.cases.lawn import Lawn
from advisor.digest.view import week_gates
from advisor.digest.week import Week


def week_json(week: Week, lawn: Lawn, changed: tuple[str, ...] = ()) -> dict[str, Any]:
    """The week as plain data; each answer as `ask --json` gives it, with its area."""

    def gates(answer: Answer) -> list[dict[str, Any]]:
        return [gate_json(gate) for gate in week.advice.gates_of(answer.item)]

    def listed(answers: tuple[Answer, ...]) -> list[dict[str, Any]]:
        return [
            {
                "area": a.area,
                "grass": a.decision.grass,
                **answer_json(a, week.site, lawn.book, gates(a)),
            }
            for a in answers
        ]

    return {
        "format": FORMAT,
        "rulebook": lawn.book.hash,
        "site": week.site,
        "from": week.first.isoformat(),
        "to": week.last.isoformat(),
        "lead": week.lead,
        "gates": [gate_json(g) for g in week_gates(week)],
        "do": listed(week.do),
        "hold": listed(week.hold),
        "wait": listed(week.wait),
        "coming": listed(week.coming),
        "measure": listed(week.measure),
        "leave": listed(week.leave),
        "missed": listed(week.missed),
        "water": {"says": list(week.water)},
        "changed": list(changed),
        "weather": week.weather,
        "law": week.law,
    }
