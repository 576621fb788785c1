"""The laws of the place where a lawn lies."""

from __future__ import annotations

from advisor.cases.case import Case
from advisor.facts.law_facts import LocalLaw
from advisor.rulebook.law import FEEDING_SUBJECTS, Laws, laws_at, left_by, rules_on


def laws_of(case: Case) -> tuple[Laws, ...]:
    """The laws that were read for the lawn's place."""
    place = case.site.place
    return laws_at(case.book.laws, place.country, place.subdivision, place.county, place.town)


def local_law(case: Case) -> LocalLaw:
    """What the day's facts need of the laws of the place."""
    found = laws_of(case)
    law = left_by(found, case.on)
    bans = rules_on(found, ["blackout"])
    return LocalLaw(
        checked=bool(rules_on(found, FEEDING_SUBJECTS)),
        bans=tuple((r.first, r.last) for r in bans if r.first is not None and r.last is not None),
        phosphorus=True if rules_on(found, ["phosphorus"]) else None,
        left_out=law.left_out,
        pesticides=law.all_barred or None,
    )
