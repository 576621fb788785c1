"""Which of the dates in a question is the one asked about."""

from __future__ import annotations

import re
from itertools import pairwise

from advisor.answers.main_operation import Roles
from advisor.answers.question_dates import DateAsked

_OR = re.compile(r"^[ ,]*(?:or|vs|versus|than)(?: (?:in|on|this|the|next|to wait))*[ ,]*$")
_CLAUSE_MARK = re.compile(r"[.;:?!,]")


def alternatives(dates: list[DateAsked], text: str) -> tuple[DateAsked, ...]:
    """Two dates between which the question hesitates (`in fall or in spring`), or none."""
    for one, other in pairwise(dates):
        if _OR.match(text[one.end : other.start]):
            return one, other
    return ()


def choose_date(dates: list[DateAsked], text: str, at: int, roles: Roles) -> DateAsked | None:
    """The date nearest to the phrase at `at`, best within its clause; None if none is asked about.

    A date told of something done (`I seeded in April`) or of another plan is not asked about.
    """
    if alternatives(dates, text):
        return None

    def apart(date: DateAsked) -> bool:
        first, last = sorted((at, date.start))
        return _CLAUSE_MARK.search(text[first:last]) is not None

    def aside(date: DateAsked) -> bool:
        role = roles.at(date.start)
        return role == "done" or (role == "wished" and apart(date))

    asked = [d for d in dates if d.first and not aside(d)]
    return min(asked, key=lambda d: (apart(d), abs(d.start - at)), default=None)
