"""Free days for other programs: stable keys, plain values."""

from __future__ import annotations

from typing import Any

from advisor.advice.gates import gate_json
from advisor.answers.to_json import head_json
from advisor.planning.fit_days import HOT_DAY_C
from advisor.planning.programme_step import standing_json
from advisor.planning.rehearsal import Rehearsal
from advisor.planning.shut_days import shut_days
from advisor.planning.weekends import Weekends

FORMAT = 1


def weekends_json(found: Weekends) -> dict[str, Any]:
    """Dates are ISO; chances are shares of the years; rank 1 is best."""
    return {
        **head_json(found.advice, FORMAT),
        "from": found.first.isoformat(),
        "to": found.last.isoformat(),
        "years": found.years,
        "hot_c": HOT_DAY_C,
        "law": found.law,
        "shut_by_limits": [
            day.isoformat() for day in shut_days(found.case, found.first, found.last)
        ],
        "gates": [gate_json(gate) for gate in found.gates],
        "whole": [{"operation": i.operation.id, "area": i.part.name} for i in found.whole],
        "programmes": [standing_json(each) for each in found.programmes],
        "instead": [{"work": work, "says": says} for work, says in found.instead],
        "weekends": [
            {
                "name": choice.run.name,
                "from": choice.run.first.isoformat(),
                "to": choice.run.last.isoformat(),
                "days": len(choice.run.days),
                "holidays": list(choice.run.holidays),
                "taken_off": [day.isoformat() for day in choice.run.bridges],
                "fits": [
                    {
                        "operation": fit.operation,
                        "area": fit.area,
                        "needed": fit.needed,
                        "in_season": round(fit.in_season, 3),
                        "chance": round(fit.chance, 3),
                    }
                    for fit in choice.fits
                ],
                "workable": round(choice.workable, 3),
                "rehearsal": choice.rehearsal and _rehearsal(choice.rehearsal),
                "rank": choice.rank,
            }
            for choice in found.choices
        ],
    }


def _rehearsal(found: Rehearsal) -> dict[str, Any]:
    """How many years ended how; the worst day by day."""
    worst = found.worst
    return {
        "years": len(found.years),
        "through": found.count("through"),
        "by_rain": found.count("by_rain"),
        "lost": found.count("lost"),
        "worst": {
            "year": worst.year,
            "days": {name: day and day.isoformat() for name, day in worst.days.items()},
        },
    }
