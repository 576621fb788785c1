"""One grass file as a page."""

from __future__ import annotations

from advisor.rulebook.model import Grass, RuleBook
from advisor.rulebook.pages.operation import evidence_blocks
from advisor.rulebook.pages.page import Heading, Items, Page, Table, Text
from advisor.rulebook.pages.words import both_units, cited, listed, plain


def grass_page(grass: Grass, book: RuleBook) -> Page:
    """Names, traits, each limit with how far sources differ, and what the numbers rest on."""
    traits = (f"{book.vocabulary[name].title}: {plain(t)}" for name, t in grass.traits.items())
    limits = tuple(
        (plain(name), both_units(x.value, x.unit), x.range, cited(x.evidence))
        for name, x in grass.limits.items()
    )
    served = [o.title.lower() for o in book.operations.values() if grass.id in o.grasses]
    return Page(
        grass.title[:1].upper() + grass.title[1:],
        (
            Text(f"Also written: {', '.join(grass.also)}."),
            Items(tuple((0, trait) for trait in traits)),
            Text(f"Rules for it: {listed(served)}."),
            Heading("Limits"),
            Table(("limit", "value", "how far sources differ", "evidence"), limits),
            *evidence_blocks(grass.evidence),
        ),
    )
