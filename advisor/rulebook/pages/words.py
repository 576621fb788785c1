"""Conditions, limits and evidence of the rule book in words, in US and metric units."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from advisor.base.units import show
from advisor.facts.fact import FactDefinition, Value, Vocabulary
from advisor.rulebook.conditions import Condition, Leaf
from advisor.rulebook.grass import GrassLimit
from advisor.rulebook.model import Boundary, Grass, RuleBook

_COMPARED = {
    "over": "over {}", "under": "under {}", "at_least": "{} or more", "at_most": "{} or less",
    "is": "is {}", "is_not": "is not {}", "one_of": "is one of {}", "none_of": "is none of {}",
}  # fmt: skip
_GROUPED = {"all": "all of these", "any": "any of these", "none": "none of these"}


def plain(id: str) -> str:
    """An id as words."""
    return id.replace("_", " ")


def listed(items: Iterable[str], last: str = "and") -> str:
    """a, b and c."""
    *head, tail = list(items) or [""]
    return f"{', '.join(head)} {last} {tail}" if head else tail


def both_units(value: float, unit: str) -> str:
    """`0.75 in (19 mm)`; once where both systems say the same."""
    us, metric = show(value, unit, "us"), show(value, unit, "metric")
    return us if us == metric else f"{us} ({metric})"


def cited(evidence: Iterable[str]) -> str:
    """The names of evidence; that of a grass without the grass before it."""
    return ", ".join(plain(id.rpartition(".")[2]) for id in evidence)


def value_said(value: Value, definition: FactDefinition) -> str:
    """A fact's value."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    return plain(value) if isinstance(value, str) else both_units(value, definition.unit)


def limit_said(leaf: Leaf, vocabulary: Vocabulary) -> str:
    """A condition's limit; that of a grass by its name in the grass files."""
    if isinstance(leaf.limit, GrassLimit):
        return f"what the grass says ({plain(leaf.limit)})"
    definition = vocabulary[leaf.fact]
    limits = leaf.limit if isinstance(leaf.limit, tuple) else (leaf.limit,)
    return listed((value_said(limit, definition) for limit in limits), "or")


def leaf_said(leaf: Leaf, vocabulary: Vocabulary) -> str:
    """`thatch over 0.75 in (19 mm)`."""
    title = vocabulary[leaf.fact].title
    if leaf.comparison == "known":
        return f"{title} is {'known' if leaf.limit else 'not known'}"
    if isinstance(leaf.limit, bool):
        return f"{title}: {'yes' if leaf.limit == (leaf.comparison == 'is') else 'no'}"
    compared = _COMPARED[leaf.comparison].format(limit_said(leaf, vocabulary))
    return f"{title}: {compared}"


def tree_items(tree: Condition, book: RuleBook, depth: int = 0) -> Iterator[tuple[int, str]]:
    """A condition tree as a nested list, each comparison with its range and evidence."""
    if not isinstance(tree, Leaf):
        yield depth, f"{_GROUPED[tree.how]}:"
        for part in tree.parts:
            yield from tree_items(part, book, depth + 1)
        return
    said = leaf_said(tree, book.vocabulary)
    if tree.range:
        said += f". Sources differ: {tree.range}"
    if tree.evidence:
        said += f" (evidence: {cited(tree.evidence)})"
    yield depth, said
    if isinstance(tree.limit, GrassLimit):
        stated = by_value(str(tree.limit), book.grasses)
        yield depth + 1, "; ".join(f"{value} on {listed(names)}" for value, names in stated.items())


def by_value(limit: str, grasses: Mapping[str, Grass]) -> dict[str, list[str]]:
    """The values that the grasses state for a limit, each with the grasses that state it."""
    found: dict[str, list[str]] = {}
    for grass in grasses.values():
        if limit in grass.limits:
            stated = grass.limits[limit]
            found.setdefault(both_units(stated.value, stated.unit), []).append(grass.title)
    return found


def boundary_said(boundary: Boundary) -> str:
    """`30 days after midsummer`."""
    anchor = plain(boundary.anchor)
    if not boundary.plus:
        return anchor
    side = "after" if boundary.plus > 0 else "before"
    return f"{abs(boundary.plus)} days {side} {anchor}"
