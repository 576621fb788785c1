"""One operation's rule file as a page."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping

from advisor.base.commands import command
from advisor.base.record import replace
from advisor.rulebook.conditions import Condition
from advisor.rulebook.model import Advice, Conflict, Evidence, Operation, RuleBook, Window
from advisor.rulebook.pages.page import Block, Heading, Items, Page, Table, Text
from advisor.rulebook.pages.words import both_units, boundary_said, cited, listed, plain, tree_items

_STRENGTH = {
    "law": "a law; it stops the work until it is known not to apply",
    "label": "a product label; it stops the work until it is known not to apply",
    "caution": "a caution",
}
_COUNTS_TO = {"opens": "the season opens", "work": "the day of the work"}


def operation_page(operation: Operation, book: RuleBook) -> Page:
    """Everything that the rule file says, in the order in which an answer goes through it."""
    served = replace(book, grasses={id: book.grasses[id] for id in book.grasses
                                    if id in operation.grasses})  # fmt: skip
    blocks = [
        Text(_for_whom(operation, book)),
        Text(f"Keepers ask for it as: {', '.join(operation.asked_as)}."),
        Heading("Does this lawn need it?"),
        _tree(operation.need, served),
        Heading("Is it the season?"),
        *(block for window in operation.windows for block in _window(window, operation, served)),
        Heading("Can it be done today?"),
        _tree(operation.ready, served),
        *_conflicts(operation, served),
        *_advice(operation, served),
        *_doing(operation, book),
        *evidence_blocks(operation.evidence),
        *_examples(operation),
    ]
    return Page(operation.title, tuple(blocks))


def evidence_blocks(evidence: Mapping[str, Evidence]) -> Iterator[Block]:
    """A table of what the numbers of a file rest on."""
    yield Heading("Evidence")
    yield Table(("name", "kind", "what", "checked"), tuple(map(_evidence_row, evidence.values())))


def _evidence_row(evidence: Evidence) -> tuple[str, ...]:
    checked = evidence.checked.isoformat() if evidence.checked else ""
    said = [str(evidence)] if evidence.source is not None else []
    if evidence.says:
        said.append(evidence.says)
    return cited((evidence.id,)), plain(evidence.kind), ": ".join(said), checked


def _for_whom(operation: Operation, book: RuleBook) -> str:
    if operation.grasses >= book.grasses.keys():
        return "For every grass of the rule book."
    titles = [book.grasses[id].title for id in book.grasses if id in operation.grasses]
    return f"For {listed(titles)}."


def _only_for(grasses: Iterable[str], book: RuleBook) -> str:
    titles = [book.grasses[id].title for id in book.grasses if id in set(grasses)]
    return f"only on {listed(titles)}" if titles else ""


def _tree(tree: Condition, book: RuleBook) -> Items:
    return Items(tuple(tree_items(tree, book)))


def _window(window: Window, operation: Operation, book: RuleBook) -> Iterator[Block]:
    title = window.title[:1].upper() + window.title[1:]
    yield Heading(title, level=3)
    said = [
        f"Between {boundary_said(window.after)} and {boundary_said(window.until)}",
        _only_for(window.grasses, book),
        f"choice {window.prefer}" if len(operation.windows) > 1 else "",
        f"at a cost: {window.cost}" if window.cost else "",
        f"evidence for the days: {cited(window.evidence)}" if window.evidence else "",
    ]
    yield Text("; ".join(filter(None, said)) + ".")
    items: list[tuple[int, str]] = []
    for name, tree, held in (
        ("opens when", window.opens, window.held),
        ("closes when", window.closes, window.closes_held),
        ("is best while", window.best, 1),
    ):
        if tree is not None:
            for_days = f", {held} days in a row" if held > 1 else ""
            items += [(0, f"It {name}{for_days}:"), *tree_items(tree, book, 1)]
    yield Items(tuple(items))


def _conflicts(operation: Operation, book: RuleBook) -> Iterator[Block]:
    if not operation.conflicts and not operation.laws:
        return
    yield Heading("What forbids it?")
    if operation.laws:
        yield Text(f"Laws of a place may bear on it: {listed(map(plain, operation.laws))}.")
    if not operation.conflicts:
        return
    items: list[tuple[int, str]] = []
    for conflict in operation.conflicts:
        items.append((0, _conflict_said(conflict, book)))
        items += tree_items(conflict.when, book, 1)
    yield Items(tuple(items))


def _conflict_said(conflict: Conflict, book: RuleBook) -> str:
    only = _only_for(conflict.grasses, book)
    cites = f"evidence: {cited(conflict.evidence)}" if conflict.evidence else ""
    return "; ".join(filter(None, (conflict.says, _STRENGTH[conflict.strength], only, cites)))


def _advice(operation: Operation, book: RuleBook) -> Iterator[Block]:
    if not operation.advice:
        return
    yield Heading("What is added to an answer")
    items: list[tuple[int, str]] = []
    for advice in operation.advice:
        verdicts = listed((plain(v) for v in sorted(advice.verdicts)), "or")
        only = _only_for(advice.grasses, book)
        cites = f"evidence: {cited(advice.evidence)}" if advice.evidence else ""
        with_it = "; ".join(filter(None, (f"with {verdicts}", only, cites)))
        items.append((0, f"{_told(advice)} ({with_it})"))
        if advice.when is not None:
            items += tree_items(advice.when, book, 1)
    yield Items(tuple(items))


def _told(advice: Advice) -> str:
    """With all that may be chosen from: which of it a place allows is for its law."""
    options = advice.options
    if options is None:
        return advice.says
    chosen = f"{options.lead} {listed((o.says for o in options.any), 'or')}".strip()
    return f"{advice.says}. Where allowed: {chosen}"


def _doing(operation: Operation, book: RuleBook) -> Iterator[Block]:
    yield Heading("Doing it")
    lines = []
    titles = {id: o.title.lower() for id, o in book.operations.items()}
    for word in ("after", "before"):
        others = [titles[id] for id in getattr(operation.order, word)]
        if others:
            lines.append(f"It comes {word} {listed(others)}.")
    lines += [
        f"{lead.says}: {lead.before} days before {_COUNTS_TO[lead.counts_to]}"
        for lead in operation.leads
    ]
    lines += _soil(operation, book)
    if operation.effort is not None:
        low, high = operation.effort.minutes_per_1000_ft2
        machine = f", with: {operation.effort.machine}" if operation.effort.machine else ""
        lines.append(f"{low:g} to {high:g} minutes for one person and 1,000 ft² (93 m²){machine}")
    lines += operation.steps
    if lines:
        yield Items(tuple((0, line) for line in lines))
    if operation.delay:
        yield Text(f"A week later: {operation.delay}")
    if operation.do_nothing:
        yield Text(f"If you do nothing: {operation.do_nothing}")
    if operation.safety:
        yield Heading("Stay unhurt")
        yield Items(tuple((0, book.cautions[id].text) for id in operation.safety))


def _soil(operation: Operation, book: RuleBook) -> Iterator[str]:
    """How deep it breaks the soil, and what it waits for."""
    breaks = operation.breaks_soil
    if breaks is None:
        return
    low, high = (both_units(depth, "mm") for depth in breaks.depth_mm)
    yield f"It breaks the soil {low} to {high} deep ({breaks.how}; {cited(breaks.evidence)})"
    for gate in (g for g in book.gates.values() if breaks.tool in g.protects):
        days = f"{gate.before} {'working ' if gate.working_days else ''}days ahead"
        yield f"Only after: {gate.title}; {gate.ask}{f', {days}' if gate.before else ''}"


def _examples(operation: Operation) -> Iterator[Block]:
    yield Heading("Examples")
    reached = Counter(e.expect for e in operation.examples if not e.of)
    counts = listed(f"{n} {plain(verdict)}" for verdict, n in sorted(reached.items()))
    trees = sum(1 for e in operation.examples if e.of)
    yield Text(
        f"{len(operation.examples)} inline examples prove the file: {counts}; {trees} of single "
        f"conditions. See them with: {command('rules', 'examples', operation.id)}"
    )
