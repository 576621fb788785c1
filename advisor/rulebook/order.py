"""The order of work: what comes before and after a job, and the time that must pass between."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from graphlib import TopologicalSorter
from typing import TYPE_CHECKING, Literal

from advisor.base.problems import Place
from advisor.base.record import Record
from advisor.rulebook.actives import Options

if TYPE_CHECKING:
    from advisor.rulebook.model import RuleBook

Strength = Literal["law", "label", "caution"]


class Wait(Record, frozen=True):
    """Declared once, in the file of a job at one of its ends.

    declared: that job. days: None where the wait goes by the active ingredient of the weed
    preventer. says: why, as told to whoever asks for a blocked job. ahead: the same, told to
    whoever asks for the first job while a blocked one is planned within the wait; empty: the first
    job need not give way. rather: the first job gives way only to a later one that is wished for;
    told to whoever asks for one that is not, while the first is planned. choice: what either way
    costs. options: ingredients to choose from, said after it. grasses: those on which the later
    jobs have to wait; empty: all of them.
    """

    id: str
    declared: str
    after: tuple[str, ...]
    blocks: tuple[str, ...]
    days: float | None
    strength: Strength
    says: str
    ahead: str
    rather: str
    choice: str
    range: str
    evidence: tuple[str, ...]
    grasses: frozenset[str] = frozenset()
    place: Place | None = None
    options: Options | None = None

    @property
    def name(self) -> str:
        """What tells it from the waits of other files."""
        return f"{self.declared}.{self.id}"


CountsTo = Literal["opens", "work"]


class Order(Record, frozen=True):
    """What comes before and after when both are done."""

    after: tuple[str, ...] = ()
    before: tuple[str, ...] = ()


class Later(Record, frozen=True):
    """Where to turn when the window is over."""

    operation: str
    says: str


class Lead(Record, frozen=True):
    """Something to see to beforehand.

    before: days ahead of the window's opening (`counts_to` opens) or of the day for the work. job:
    the operation whose work it is, if any; where that speaks for itself the lead is not told.
    """

    id: str
    says: str
    before: int
    counts_to: CountsTo
    evidence: tuple[str, ...] = ()
    job: str = ""


def work_before(book: RuleBook) -> dict[str, tuple[str, ...]]:
    """For each operation, those that come straight before it, sorted."""
    graph: dict[str, set[str]] = {id: set(o.order.after) for id, o in book.operations.items()}
    for operation in book.operations.values():
        for later in operation.order.before:
            graph[later].add(operation.id)
    # Sorted, so that jobs of equal standing keep one order in every run.
    return {id: tuple(sorted(graph[id])) for id in sorted(graph)}


def all_before(book: RuleBook) -> Mapping[str, frozenset[str]]:
    """For each operation all that come before it, near and far."""
    graph = book.work_before
    found: dict[str, frozenset[str]] = {}
    for id in TopologicalSorter(graph).static_order():
        found[id] = frozenset(graph[id]).union(*(found[b] for b in graph[id]))
    return found


def in_working_order(book: RuleBook, ids: Collection[str]) -> list[str]:
    """The operations, each after those that come before it."""
    return sorted(ids, key=book.working_rank.__getitem__)


def working_rank(book: RuleBook) -> Mapping[str, int]:
    """The place of each operation in an order that keeps to all that come before."""
    order = TopologicalSorter(book.work_before).static_order()
    return {id: place for place, id in enumerate(order)}
