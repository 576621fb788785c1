"""What a letter said of each job, kept with it so that the next one can tell what has changed."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Iterable

from advisor.answers.answer import Answer
from advisor.base.text import from_json
from advisor.records.kept import Earlier, Said


def said_of(answers: Iterable[Answer]) -> str:
    """The verdicts, the seasons' usual ends and how what was told came out, as short JSON.

    The same for readers who share all decisions; nothing of their own is in it but these.
    """
    told = []
    for answer in answers:
        current = answer.decision.outlook.current
        edges = [current.opens.p50.isoformat(), current.closes.p50.isoformat()] if current else []
        held = [[reason.gate, reason.fact, reason.limit, reason.holds] for reason in answer.told]
        told.append([*answer.item.key, answer.item.verdict, edges, held])
    return json.dumps(told, ensure_ascii=False, separators=(",", ":"))


def earlier_in(said: str) -> Earlier | None:
    """What `said_of` wrote; None for a letter that kept nothing."""
    if not said:
        return None
    return {
        (job, part): Said(
            verdict,
            dict(zip(("opens", "closes"), map(dt.date.fromisoformat, edges), strict=False)),
            {(gate, fact, limit): holds for gate, fact, limit, holds in held},
        )
        for job, part, verdict, edges, held in from_json(said)
    }
