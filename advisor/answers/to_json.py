"""An answer for other programs: stable keys, plain values."""

from __future__ import annotations

from typing import Any

from advisor.answers.answer import Answer
from advisor.answers.reasons import Reason
from advisor.rulebook.model import RuleBook
from advisor.windows.spread import Spread

FORMAT = 1


def answer_json(
    answer: Answer, site: str, book: RuleBook, gates: list[dict[str, Any]], law: str = ""
) -> dict[str, Any]:
    """The answer as plain data. Quantities are text with their unit; dates are ISO.

    gates: what has to be seen to before the work, as plain data. law: the line on the rules of the
    place, told last under `safety`.
    """
    decision = answer.decision
    return {
        "format": FORMAT,
        "rulebook": book.hash,
        "site": site,
        "on": decision.on.isoformat(),
        "question": answer.question,
        "operation": decision.operation.id,
        "verdict": decision.verdict,
        "grade": decision.grade,
        "headline": answer.headline,
        "gates": gates,
        "reasons": [reason_json(reason) for reason in answer.reasons],
        "window": _window(answer),
        "flips": [{"fact": f.fact, "to": f.to, "verdict": f.verdict} for f in answer.flips],
        "measure": [
            {"fact": m.fact, "how": " ".join((m.how, *(f"{r}." for r in m.results)))}
            for m in answer.measure
        ],
        "safety": [*(caution.text for _, caution in answer.safety), *filter(None, (law,))],
        "amounts": {
            a.name: {"low": round(a.low, 2), "high": round(a.high, 2), "unit": a.unit,
                     "steps": list(a.steps), "basis": a.basis}
            for a in answer.amounts
        },
    }  # fmt: skip


def reason_json(reason: Reason) -> dict[str, Any]:
    """One comparison."""
    return {
        "gate": reason.gate,
        "fact": reason.fact,
        "value": reason.value,
        "limit": reason.limit,
        "holds": reason.holds,
        "says": reason.says,
        "basis": reason.basis,
        "evidence": [{"kind": e.kind, "source": str(e)} for e in reason.evidence],
    }


def _window(answer: Answer) -> dict[str, Any] | None:
    opening = answer.window
    if opening is None:
        return None
    return {
        "opens": spread_json(opening.opens),
        "closes": spread_json(opening.closes),
        "chance": answer.decision.outlook.chance,
        "years": opening.years,
    }


def spread_json(spread: Spread) -> dict[str, str]:
    """The three dates of a spread."""
    return {name: getattr(spread, name).isoformat() for name in ("p10", "p50", "p90")}
