"""The next question worth asking: the one whose answer would change this week's advice most."""

from __future__ import annotations

from advisor.base.problems import BadInput
from advisor.cases.case import Case
from advisor.render.digest.week import compose_week


def next_question(case: Case) -> str:
    """One fact to find out and how; empty when nothing is open, or the grass is not known yet."""
    try:
        wanted = compose_week(case).question
    except BadInput:
        return ""
    if wanted is None:
        return ""
    start = wanted.wanted.how.split(". ")[0].rstrip(".")
    end = "" if start.endswith("?") else "."
    return f"Next, if you like (for {wanted.for_what}): {wanted.wanted.title}. {start}{end}"
