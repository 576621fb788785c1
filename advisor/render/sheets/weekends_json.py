"""Free days for other programs: stable keys, plain values."""

from __future__ import annotations

from typing import Any

from advisor.advice.gates import gate_json
from advisor.answers.to_json import head_json
from advisor.planning.fit_days import HOT_DAY_C
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
        "gates": [gate_json(gate) for gate in found.gates],
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
                "rank": choice.rank,
            }
            for choice in found.choices
        ],
    }
