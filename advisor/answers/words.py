"""Facts, limits and dates as a keeper would say them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable

from advisor.base.dates import DAY_MIN, clock, say_date
from advisor.base.record import Record
from advisor.base.units import System, show
from advisor.decide.windows.tracks import Opening
from advisor.facts.fact import FactDefinition, Value
from advisor.rulebook.conditions import Leaf, Limit, Truth

TENTHS = 10
_COMPARED = {
    "over": "over {}", "under": "under {}", "at_least": "{} or more", "at_most": "{} or less",
    "is": "{}", "is_not": "not {}", "one_of": "one of {}", "none_of": "none of {}",
}  # fmt: skip


class Words(Record, frozen=True):
    """Says things in the keeper's units."""

    units: System

    def value(self, value: Value | None, definition: FactDefinition) -> str:
        """A fact's value; `not known` for None."""
        if value is None:
            return "not known"
        if isinstance(value, bool):
            return "yes" if value else "no"
        if isinstance(value, str):
            return value.replace("_", " ")
        if definition.kind == "date":
            return say_date(dt.date.fromordinal(int(value)))
        return show(value, definition.unit, self.units)

    def limit(self, leaf: Leaf, definition: FactDefinition) -> str:
        """The limit of a comparison."""
        limits: tuple[Limit, ...] = leaf.limit if isinstance(leaf.limit, tuple) else (leaf.limit,)
        return " or ".join(self.value(limit, definition) for limit in limits)

    def condition(self, leaf: Leaf, definition: FactDefinition) -> str:
        """What a comparison asks, whatever comes of it: `Thatch over 0.75 in`."""
        title = definition.title[:1].upper() + definition.title[1:]
        if leaf.comparison == "known":
            return f"{title}, {'known' if leaf.limit else 'not known'}"
        compared = _COMPARED[leaf.comparison].format(self.limit(leaf, definition))
        return f"{title}, {compared}"

    def leaf(
        self, leaf: Leaf, value: Value | None, holds: Truth, definition: FactDefinition
    ) -> str:
        """One sentence, without a full stop, on how a comparison came out."""
        if leaf.comparison == "known" and not (leaf.says if holds else leaf.otherwise):
            return f"{definition.title} is {'known' if value is not None else 'not known'}"
        if holds is None:
            return f"{definition.title}: not known"
        said = leaf.says if holds else leaf.otherwise
        if not said:
            wanted = _COMPARED[leaf.comparison].format(self.limit(leaf, definition))
            found = self.value(value, definition)
            verb = "wanted" if not holds else "limit"
            return f"{definition.title}: {found} ({verb}: {wanted})"
        return said.format(value=self.value(value, definition), limit=self.limit(leaf, definition))


def about(opening: Opening, on: dt.date) -> str:
    """`22 Aug` for the usual first day of an opening."""
    return say_date(opening.opens.p50, relative_to=on)


def sentence(text: str) -> str:
    """With a capital and a full stop."""
    text = text.strip()
    if not text:
        return ""
    return text[0].upper() + text[1:] + ("" if text[-1] in ".!?" else ".")


def listed(items: tuple[str, ...], last: str = "and") -> str:
    """`a, b and c`."""
    if len(items) < 2:
        return "".join(items)
    return f"{', '.join(items[:-1])} {last} {items[-1]}"


def by_part(jobs: Iterable[tuple[str, str]], beside: str) -> str:
    """Titles with their parts of the lawn, what is on one part together.

    beside: how a part stands beside its titles, such as `, {}` or ` ({})`; the whole lawn is not
    named.
    """
    of_part: dict[str, list[str]] = {}
    for title, part in jobs:
        of_part.setdefault(part, []).append(title)
    return "; ".join(
        listed(tuple(titles)) + (beside.format(part) if part else "")
        for part, titles in of_part.items()
    )


def in_ten(tenths: int) -> str:
    """`9 years in 10`."""
    if tenths >= TENTHS:
        return "nearly every year"
    return "1 year in 10" if tenths == 1 else f"{tenths} years in 10"


def say_span(span: tuple[int, int]) -> str:
    """`from 09:00 to 11:00`, `until 12:00`, `all day`; minutes after midnight."""
    start, end = span
    if span == (0, DAY_MIN):
        return "all day"
    if start == 0:
        return f"until {clock(end)}"
    return f"from {clock(start)}" + ("" if end == DAY_MIN else f" to {clock(end)}")
