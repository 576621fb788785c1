"""Active ingredients to choose from, as an operation file lists them."""

from __future__ import annotations

from advisor.base.problems import Problems, did_you_mean
from advisor.base.strict_yaml import Document, Loc
from advisor.rulebook.actives import Actives, Option, Options
from advisor.rulebook.operation_file import OptionsEntry
from advisor.rulebook.texts import check_text


def read_options(
    entry: OptionsEntry | None, actives: Actives, document: Document, loc: Loc, problems: Problems
) -> Options | None:
    """The choice; each names an ingredient, and no other text of it does."""
    if entry is None:
        return None
    found = []
    for i, says in enumerate(entry.any):
        place = document.place((*loc, "any", i))
        named = actives.named_in(says)
        if not named:
            problems.add(place, f"'{says}' names no active ingredient of actives.yaml")
        check_text(says, (), place, problems)
        found.append(Option(says, named))
    for key in ("lead", "none"):
        text = getattr(entry, key)
        place = document.place((*loc, key))
        for id in sorted(actives.named_in(text)):
            problems.add(place, f"'{id}' is named outside the list under 'any'")
        check_text(text, (), place, problems)
    return Options(entry.lead, tuple(found), entry.none)


def read_warns(
    names: list[str], actives: Actives, document: Document, loc: Loc, problems: Problems
) -> frozenset[str]:
    """The ingredients that a text speaks against."""
    for i, name in enumerate(names):
        if name not in actives.all:
            what = f"ingredient '{name}' is not in actives.yaml{did_you_mean(name, actives.all)}"
            problems.add(document.place((*loc, i)), what)
    return frozenset(names)
