"""The plan that was settled on, for other programs."""

from __future__ import annotations

from typing import Any

from advisor.advice.book import Advice
from advisor.base.dates import clock


def kept_plan_json(advice: Advice) -> dict[str, Any] | None:
    """What of it still holds: dates are ISO, times local; None where nothing is settled."""
    plan = advice.plan
    if plan is None:
        return None
    return {
        "made": plan.made.isoformat(),
        "time_zone": advice.case.site.place.time_zone,
        "watered_until": plan.ends.isoformat() if plan.sown else None,
        "days": [
            {
                "date": day.date.isoformat(),
                "from": clock(day.start),
                "to": clock(day.end),
                "work": [{"job": job, "part": part} for job, part in day.work],
            }
            for day in plan.days
        ],
    }
