"""The inline examples of rule files, one line each."""

from __future__ import annotations

from collections.abc import Iterator

from advisor.base.problems import BadInput, Place, did_you_mean
from advisor.rulebook.model import Example, Operation, RuleBook
from advisor.rulebook.pages.words import plain, value_said


def operations_named(name: str, book: RuleBook) -> tuple[Operation, ...]:
    """The operation of that name, or all for "". Raises `BadInput` for one that has no file."""
    if not name:
        return tuple(book.operations.values())
    if name not in book.operations:
        hint = did_you_mean(name, book.operations) or f"; known: {', '.join(book.operations)}"
        raise BadInput.at(Place("the rule book"), f"no operation '{name}'{hint}")
    return (book.operations[name],)


def example_lines(operation: Operation, book: RuleBook) -> Iterator[str]:
    """Name, grass, facts and what must come of them. Traits of the grass go without saying."""
    for example in operation.examples:
        yield f"{operation.id}, {example.name}: {_asked(example, book)} → {plain(example.expect)}"


def _asked(example: Example, book: RuleBook) -> str:
    grass = book.grasses[example.grass]
    facts = [
        f"{book.vocabulary[name].title} {value_said(value, book.vocabulary[name])}"
        for name, value in example.facts.items()
        if grass.traits.get(name) != value
    ]
    what = f"{example.of} of " if example.of else ""
    window = f", season {example.window}" if not example.of else ""
    lasting = ", with a conflict that outlasts the season" if example.lasting else ""
    return f"{what}{grass.title}{window}{lasting}; {', '.join(facts) or 'nothing known'}"
