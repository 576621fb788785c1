"""All rule files together: facts, sources, cautions, grasses, jobs, programmes, and their names."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import partial
from graphlib import CycleError, TopologicalSorter
from typing import TypeVar

from advisor.base.problems import BadInput, Place, Problems, did_you_mean
from advisor.base.strict_yaml import Document, load_bytes
from advisor.base.vocabularies import ToolKind, complete
from advisor.facts.day import OTHER_WORK
from advisor.facts.fact import Vocabulary
from advisor.facts.read_vocabulary import read_vocabulary
from advisor.rulebook.actives import Actives
from advisor.rulebook.conditions import facts_of
from advisor.rulebook.effort import NO_SUPPLIES, NO_WORK
from advisor.rulebook.model import Grass, Ingredient, Operation, RuleBook, Source
from advisor.rulebook.programme import Programme
from advisor.rulebook.read_actives import FILE as ACTIVES
from advisor.rulebook.read_actives import check_named, read_actives
from advisor.rulebook.read_cautions import read_cautions
from advisor.rulebook.read_evidence import read_sources
from advisor.rulebook.read_gates import GATES_FILE, check_guarded, read_gates
from advisor.rulebook.read_grass import read_grass
from advisor.rulebook.read_ingredients import read_ingredients
from advisor.rulebook.read_key import read_key
from advisor.rulebook.read_laws import read_laws
from advisor.rulebook.read_operation import operation_id, read_operation
from advisor.rulebook.read_programme import check_order, read_programme
from advisor.rulebook.supplies import SUPPLIES_FILE, supply_numbers_of
from advisor.rulebook.waits import expand_waits
from advisor.rulebook.work_steps import WORK_FILE, work_of

T = TypeVar("T")
_INTENDED = "intended."
_SHARED = ("facts.yaml", "sources.yaml", "cautions.yaml", "ingredients.yaml")


def parse_rulebook(files: Mapping[str, bytes], hash: str) -> RuleBook:
    """The rule book of these files (path inside the folder → text). Raises `BadInput`."""
    parser = _Parser()
    documents = parser.each(
        {name: partial(load_bytes, raw, f"rules/{name}") for name, raw in files.items()}
    )
    for needed in _SHARED:
        if needed not in files:
            parser.problems.add(Place(f"rules/{needed}"), "this file is missing from the rule book")
    parser.problems.raise_if_any()
    operation_files = _inside(documents, "operations/")
    operations = frozenset(filter(None, map(operation_id, operation_files.values())))
    vocabulary = parser.one(read_vocabulary, documents["facts.yaml"], operations)
    sources = parser.one(read_sources, documents["sources.yaml"])
    cautions = parser.one(read_cautions, documents["cautions.yaml"])
    if vocabulary is None or sources is None or cautions is None:
        # Nothing below makes sense without them.
        parser.problems.raise_if_any()
        raise AssertionError("a reader failed without a problem")
    actives = parser.one(read_actives, documents[ACTIVES]) if ACTIVES in documents else None
    actives = actives or Actives()
    for name, document in documents.items():
        check_named(name, document, actives, parser.problems)
    ingredients = parser.one(read_ingredients, documents["ingredients.yaml"], sources) or {}
    grass_files = _inside(documents, "grasses/")
    grasses = parser.by_id(
        {n: partial(read_grass, d, vocabulary, sources) for n, d in grass_files.items()}
    )
    law_files = _inside(documents, "laws/")
    laws = parser.by_id(
        {n: partial(read_laws, d, sources, grasses, actives) for n, d in law_files.items()}
    )
    _check_seed_safe(ingredients, grasses, documents["ingredients.yaml"], parser.problems)
    parser.problems.raise_if_any()
    found = parser.by_id(
        {
            name: partial(read_operation, document, vocabulary, sources, grasses, cautions, actives)
            for name, document in operation_files.items()
        }
    )
    found = expand_waits(found, parser.problems)
    key = None
    if "identify.yaml" in documents:
        key = parser.one(read_key, documents["identify.yaml"], sources, grasses)
    work = supplies = None
    if WORK_FILE in documents:
        work = parser.one(work_of, documents[WORK_FILE], sources, found)
        if work is not None:
            complete(work.machines, ToolKind)
    if SUPPLIES_FILE in documents:
        supplies = parser.one(supply_numbers_of, documents[SUPPLIES_FILE], sources)
    gates = {}
    if GATES_FILE in documents:
        gates = parser.one(read_gates, documents[GATES_FILE], vocabulary, sources) or {}
    check_guarded(found, gates, parser.problems)
    programmes = _programmes(parser, documents, operations, vocabulary, sources, grasses, found)
    _check_names(found, operations, parser.problems)
    _check_invalidations(vocabulary, operations, documents["facts.yaml"], parser.problems)
    _check_circles(found, parser.problems)
    parser.problems.raise_if_any()
    book = RuleBook(
        operations=found,
        grasses=grasses,
        vocabulary=vocabulary,
        sources=sources,
        cautions=cautions,
        ingredients=ingredients,
        hash=hash,
        asked_as={id: operation.asked_as for id, operation in found.items()},
        done_as={id: operation.done_as for id, operation in found.items()},
        laws=laws,
        key=key,
        actives=actives,
        gates=gates,
        work=work or NO_WORK,
        supplies=supplies or NO_SUPPLIES,
        offered=frozenset().union(*(operation.offered for operation in found.values())),
        programmes=programmes,
    )
    check_order(programmes, book, parser.problems)
    parser.problems.raise_if_any()
    return book


def _programmes(
    parser: _Parser,
    documents: Mapping[str, Document],
    operations: frozenset[str],
    vocabulary: Vocabulary,
    sources: Mapping[str, Source],
    grasses: Mapping[str, Grass],
    found: Mapping[str, Operation],
) -> dict[str, Programme]:
    """The programmes; none while a job's own file is at fault, which they would be blamed for."""
    if not operations <= found.keys():
        return {}
    known = (vocabulary, sources, grasses, found)
    files = _inside(documents, "programmes/")
    return parser.by_id({n: partial(read_programme, d, *known) for n, d in files.items()})


@dataclass
class _Parser:
    """Runs readers and keeps their problems, so that one bad file does not hide another."""

    problems: Problems = field(default_factory=Problems)

    def one(self, read: Callable[..., T], *arguments: object) -> T | None:
        try:
            return read(*arguments)
        except BadInput as error:
            self.problems.take(error)
            return None

    def each(self, readers: Mapping[str, Callable[[], T]]) -> dict[str, T]:
        done: dict[str, T] = {}
        for name, read in readers.items():
            try:
                done[name] = read()
            except BadInput as error:
                self.problems.take(error)
        return done

    def by_id(self, readers: Mapping[str, Callable[[], T]]) -> dict[str, T]:
        found: dict[str, T] = {}
        for name, item in self.each(readers).items():
            id = str(item.id)  # type: ignore[attr-defined]
            if id in found:
                self.problems.add(
                    Place(f"rules/{name}", 1), f"'{id}' is described in two files; keep one"
                )
            found[id] = item
        return found


def _inside(documents: Mapping[str, Document], folder: str) -> dict[str, Document]:
    return {name: d for name, d in documents.items() if name.startswith(folder)}


def _check_names(
    found: Mapping[str, Operation], operations: frozenset[str], problems: Problems
) -> None:
    """Operations may name each other only by ids that exist."""
    for operation in found.values():
        named: Iterable[str] = (
            *operation.order.after,
            *operation.order.before,
            *(later.operation for later in operation.later),
            *(a.instead for a in operation.advice if a.instead),
            *(lead.job for lead in operation.leads if lead.job),
        )
        for name in named:
            if name not in operations:
                place = Place(f"rules/operations/{operation.id}.yaml", 1)
                problems.add(place, f"operation '{name}' has no rule file")


def _check_invalidations(
    vocabulary: Vocabulary, operations: frozenset[str], document: Document, problems: Problems
) -> None:
    """Only work that the journal takes can make a reading void, or be told of by one."""
    operations |= OTHER_WORK
    for definition in vocabulary.definitions.values():
        named: dict[tuple[str | int, ...], str]
        named = {("invalidated_by", i): name for i, name in enumerate(definition.invalidated_by)}
        if definition.tells_of:
            named["tells_of",] = definition.tells_of
        for at, name in named.items():
            if name not in operations:
                place = document.place(("facts", definition.name, *at))
                near = did_you_mean(name, operations)
                problems.add(place, f"operation '{name}' has no rule file{near}")


def _check_seed_safe(
    ingredients: Mapping[str, Ingredient],
    grasses: Mapping[str, Grass],
    document: Document,
    problems: Problems,
) -> None:
    """An ingredient may be safe only on grasses that have a file."""
    for id, ingredient in ingredients.items():
        for name in sorted(ingredient.seed_safe_on - grasses.keys()):
            place = document.place(("ingredients", id, "seed_safe_on"))
            problems.add(place, f"grass '{name}' has no file{did_you_mean(name, grasses)}")


def _check_circles(found: Mapping[str, Operation], problems: Problems) -> None:
    """Neither intentions nor the order of work may come back to where they began."""
    intentions = {id: set(_intentions_read(operation)) for id, operation in found.items()}
    order: dict[str, set[str]] = {id: set(o.order.after) for id, o in found.items()}
    for operation in found.values():
        for later in operation.order.before:
            order.setdefault(later, set()).add(operation.id)
    for graph, what in (
        (intentions, "operations wait for each other's intentions in a circle"),
        (order, "the order of work goes in a circle"),
    ):
        try:
            TopologicalSorter(graph).prepare()
        except CycleError as error:
            place = Place(f"rules/operations/{error.args[1][0]}.yaml", 1)
            problems.add(place, f"{what}: {' → '.join(error.args[1])}")


def _intentions_read(operation: Operation) -> Iterator[str]:
    for tree in operation.trees().values():
        for name in facts_of(tree):
            if name.startswith(_INTENDED):
                yield name.removeprefix(_INTENDED)
