"""Where views contradict each other, from the claims that were read back."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from reader import Claim


@dataclass(frozen=True)
class Contradiction:
    """kind: the field, or the rule that was broken. said: view and value."""

    kind: str
    job: str
    part: str
    said: tuple[tuple[str, object], ...]


Said = dict[tuple[str, str, str], dict[str, object]]
"""Job, part and field; and what each view says of it."""


def contradictions(claims: Iterable[Claim], parts: tuple[str, ...]) -> Iterator[Contradiction]:
    """Fields with two values, dates of a whole job that no part has, and plans against verdicts.

    parts: the names of the lawn's areas. What is said of the whole lawn is said of each.
    """
    said: Said = defaultdict(dict)
    whole = []
    for claim in claims:
        if claim.part == "*":
            whole.append(claim)
            continue
        for part in parts if claim.part == "" else (claim.part,):
            said[claim.job, part, claim.field].setdefault(claim.view, claim.value)
    for (job, part, field), values in said.items():
        if field != "scheduled" and len(set(values.values())) > 1:
            yield Contradiction(field, job, part, tuple(values.items()))
    yield from _not_the_earliest(whole, said)
    yield from _planned_against_the_verdict(said)


def _not_the_earliest(whole: Iterable[Claim], said: Said) -> Iterator[Contradiction]:
    """Of a job over several parts the date is that of the part that comes first."""
    for each in whole:
        own = {
            value
            for (job, _, field), values in said.items()
            if (job, field) == (each.job, each.field)
            for value in values.values()
        }
        if own and each.value != min(own):
            kind = f"{each.field} of a whole job"
            yield Contradiction(kind, each.job, "", ((each.view, each.value),))


def _planned_against_the_verdict(said: Said) -> Iterator[Contradiction]:
    """An hour for what is not advised on its day.

    What is to be measured first may be planned as 'perhaps', and what is withheld today from the
    day on which it is said to be over.
    """
    for (job, part, field), plans in list(said.items()):
        if field != "scheduled":
            continue
        allowed = {"do"} if any(plans.values()) else {"do", "measure"}
        first = max(said.get((job, part, "from"), {}).values(), default=None)
        planned = min(said.get((job, part, "planned"), {}).values(), default=None)
        if first is not None and planned is not None and first <= planned:
            allowed |= {"wait", "hold"}
        verdicts = said.get((job, part, "verdict"), {})
        if set(verdicts.values()) - allowed:
            yield Contradiction("plan against verdict", job, part, tuple(verdicts.items()))


def counts(found: Iterable[Contradiction]) -> dict[str, int]:
    """How many of each kind, in the order of their names."""
    return dict(sorted(Counter(each.kind for each in found).items()))
