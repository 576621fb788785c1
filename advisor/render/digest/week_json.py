"""The digest for other programs, and what a kept digest remembers."""

from __future__ import annotations

from typing import Any

from advisor.advice.gates import gate_json
from advisor.answers.sources import Numbers
from advisor.answers.to_json import head_json, item_json, sources_json
from advisor.planning.kept_json import kept_plan_json
from advisor.planning.programme_step import standing_json
from advisor.render.digest.leads import dated_json, dated_lines
from advisor.render.digest.tasks import free_days_json, soil_warmth
from advisor.render.digest.view import week_gates
from advisor.render.digest.week import Week


def week_json(week: Week, changed: tuple[str, ...] = ()) -> dict[str, Any]:
    """The week as plain data: each job on each part once, and lists of these by what to do."""
    advice, numbers = week.advice, Numbers()
    items = [answer.item for answer in week.answers]
    lists = {
        "do": week.do,
        "hold": week.hold,
        "wait": week.wait,
        "coming": week.coming,
        "measure": week.measure,
        "leave": week.leave,
        "missed": week.missed,
    }
    return {
        **head_json(advice),
        "to": week.last.isoformat(),
        "lead": week.lead,
        "gates": [gate_json(gate) for gate in week_gates(week)],
        "plan": kept_plan_json(advice),
        "programmes": [standing_json(each) for each in week.programmes],
        **{
            name: [{"job": a.item.operation.id, "part": a.area} for a in answers]
            for name, answers in lists.items()
        },
        "items": [item_json(advice, answer, numbers) for answer in week.answers],
        "water": list(week.water),
        "soil": week.soil,
        # Close enough that it is the same whole degree in either unit as in the text.
        "soil_c": None if (warmth := soil_warmth(week)) is None else round(warmth, 6),
        "free_days": free_days_json(week),
        "dated": [dated_json(line) for line in dated_lines(advice, items)],
        "changed": list(changed),
        "weather": week.weather,
        "law": week.law,
        "sources": sources_json(numbers),
    }
