"""Values that a view prints and no field of the advice has."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from accounts import Data
from claims import Contradiction
from passages import Passage
from rule_texts import in_rule_book
from tokens import Token, tokens

FIELDS: dict[str, tuple[tuple[str, str], ...]] = {
    "week": (
        ("$", "on lead"),
        ("FREE DAYS", "free_days"),
        ("SOIL", "soil soil_c"),
        ("ALSO", "date"),
        ("STEPS", "headline standing"),
        ("NEXT, AS YOU PLANNED", "kept"),
        ("THIS WEEK$", "date amounts reasons"),
        ("FIND OUT$", "measure"),
        ("NOT THIS WEEK$|COMING$|NOT NEEDED", "headline date reasons"),
        ("BY WHEN$", "leads"),
        ("WATER", "water"),
        ("CHANGED", "changed"),
        ("FOOT", "weather law"),
    ),
    "ask": (
        ("head", "on headline date reasons"),
        ("Why", "reasons disputes"),
        ("What to find out", "measure"),
        ("When", "season later"),
        ("How much", "amounts"),
        ("Mind", "advice"),
        ("What would change this", "flips"),
        ("foot", "weather law"),
    ),
    "amounts": (
        ("$", "on totals"),
        ("STEPS", "headline standing"),
        ("GET", "buy"),
        ("HIRE", "hire"),
        ("TOTAL", "totals"),
        ("HOW IT ADDS UP", "headline date reasons amounts"),
        ("FOOT", "weather law"),
    ),
    "workplan": (
        ("$", "days"),
        ("STEPS", "headline standing"),
        ("DAY", "hours notes"),
        ("TOTAL", "plan_totals"),
        ("GET", "amounts running hire plan_buy"),
        ("BEFORE", "leads"),
        ("IF IT RAINS", "date next_day"),
        ("THE CHEAPEST", "hire"),
        ("NOT IN THIS PLAN", "headline date reasons"),
        ("FOOT", "weather law"),
    ),
    "weekends": (
        ("$", "span best"),
        ("STEPS", "headline standing"),
        ("BEST FIRST", "fits"),
        ("JOB BY JOB", "fits"),
        ("FOOT", "weather law hot"),
    ),
    "measure": (("", "measure"),),
    "year": (
        ("$", "on years"),
        ("TOTAL", "years"),
        ("LEGEND", "legend"),
        ("YOUR PLAN", "kept"),
        ("FROM WHEN TO WHEN", "windows"),
        ("FROST|SOIL", "event"),
        ("GROWING DAYS", "growing_days"),
        ("FOOT", "weather law"),
    ),
    "calendar": (
        ("DTSTAMP", "on"),
        ("DESCRIPTION", "on windows waits kept noted"),
        ("DTSTART", "opens kept asking"),
        ("DTEND", "date cautious opens kept asking"),
    ),
}


PLANNED = ("NEXT, AS YOU PLANNED", "YOUR PLAN", "DESCRIPTION")
"""Where the gates of what was settled stand beside it."""
_COMMAND = re.compile(r"'advisor [^']*'")
"""What is typed says nothing of the lawn."""


def _blank(found: re.Match[str]) -> str:
    return " " * len(found[0])


@dataclass(frozen=True)
class Value:
    """known: whether a field of the advice accounts for it, by where it stands."""

    passage: Passage
    token: Token
    known: bool


def orphan(view: str, value: Value) -> Contradiction:
    """A value that stands in no field of what it stands under."""
    each, token = value.passage, value.token
    job, part = each.jobs[0] if each.jobs else (each.section, "")
    said = each.text[max(0, token.at[0] - 60) : token.at[1] + 40]
    return Contradiction(f"orphan {token.sort}", job, part, ((view, said),))


def values(view: str, passages: Iterable[Passage], data: Data) -> Iterator[Value]:
    """The values of a view but for those in texts of the rules."""
    of = (("FIRST", "gates"), *FIELDS[view.split()[0]])
    for each in passages:
        found = list(tokens(_COMMAND.sub(_blank, each.text)))
        if not found:
            continue
        fields = next((names for at, names in of if re.match(at, each.section)), "")
        allowed, order = data.of(fields.split(), each), data.in_order(each)
        told = list(_told(each.text, data))
        for token in found:
            if each.section == "FIRST":
                keys = data.gates(each.text[: token.at[0]], each, view)
            elif token.kind == "date" and order:
                keys = order.pop(0)
            elif each.section in PLANNED:
                keys = allowed | data.gates(each.text[: token.at[0]], replace(each, jobs=()), view)
            else:
                keys = allowed
            static = any(a <= token.at[0] < b for a, b in told)
            if not static:
                yield Value(each, token, token.key in keys)


_MARKS = re.compile(r"^(?:[-!] |\[\d+\] |\[ \] )|(?: \[[\d, ]+\])+$")


def _told(text: str, data: Data) -> Iterator[tuple[int, int]]:
    """Where the sentences stand that are taken from the rules as they are."""
    for ends in (r"[.!?](?= |$)", r"[.!?;:](?= |$)"):
        at = 0
        for end in [*re.finditer(ends, text), None]:
            to = end.start() if end else len(text)
            said = re.sub(
                r"^(?:[-!] |\[\d+\] |\[ \] )|(?: \[[\d, ]+\])+$", "", text[at:to].strip()
            ).lower()
            if len(said.split()) > 4 and (in_rule_book(said) or said in data.texts):
                yield at, to
            at = end.end() if end else to
