"""The rule book as typed data: operations, grasses, evidence. No file knowledge, no decisions."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cached_property
from typing import TYPE_CHECKING, Literal

from advisor.base.problems import Place
from advisor.base.record import Record, field, replace
from advisor.facts.fact import Vocabulary
from advisor.records.doing import DoneAs
from advisor.rulebook import order
from advisor.rulebook.actives import Actives
from advisor.rulebook.advice import Advice as Advice
from advisor.rulebook.advice import BreaksSoil, GateRule
from advisor.rulebook.advice import Conflict as Conflict
from advisor.rulebook.advice import VerdictName as VerdictName
from advisor.rulebook.conditions import Condition, leaves
from advisor.rulebook.conditions import Evidence as Evidence
from advisor.rulebook.conditions import EvidenceKind as EvidenceKind
from advisor.rulebook.conditions import Source as Source
from advisor.rulebook.effort import NO_SUPPLIES, NO_WORK, SupplyNumbers, Work
from advisor.rulebook.effort import Effort as Effort
from advisor.rulebook.effort import Spreads as Spreads
from advisor.rulebook.grass import Grass as Grass
from advisor.rulebook.grass import resolve
from advisor.rulebook.key import Key
from advisor.rulebook.law import Laws, Subject
from advisor.rulebook.order import CountsTo as CountsTo
from advisor.rulebook.order import Later as Later
from advisor.rulebook.order import Lead as Lead
from advisor.rulebook.order import Order as Order
from advisor.rulebook.order import Strength as Strength
from advisor.rulebook.order import Wait as Wait

if TYPE_CHECKING:
    from advisor.rulebook.programme import Programme

SeedRate = Literal["new", "over"]
Anchor = Literal["midsummer", "autumn_equinox", "midwinter", "spring_equinox", "next_midsummer"]


class Boundary(Record, frozen=True):
    """A day of the season year: an astronomical anchor plus some days."""

    anchor: Anchor
    plus: int = 0


class Window(Record, frozen=True):
    """When an operation may be done, as an interval of days.

    It opens on the first day on or after `after` on which `opens` has held for `held` days in a
    row, and closes on the first later day on which `closes` has held for `closes_held` days, or on
    `until`. At most one opening in a season year. Days on which `best` holds are graded best.
    `evidence` stands behind the days of `after`, `until` and `held`. `grasses` are those that it is
    for; empty: all grasses of the operation (the same holds for conflicts and advice).
    """

    id: str
    title: str
    prefer: int
    after: Boundary
    until: Boundary
    opens: Condition
    closes: Condition | None
    best: Condition | None
    held: int = 1
    closes_held: int = 1
    cost: str = ""
    evidence: tuple[str, ...] = ()
    grasses: frozenset[str] = frozenset()

    @property
    def undated(self) -> bool:
        """Whether it asks for nothing that a season brings: open at any time of the year."""
        return self.closes is None and all(x.comparison == "known" for x in leaves(self.opens))


class Example(Record, frozen=True):
    """An inline example: facts and what must come of them.

    `of` empty: the verdict, with `window` as the state of the window. Otherwise `of` names a tree
    (`need`, `ready`, `conflict.ID`, `windows.ID.opens` …) and `expect` is its truth.
    """

    name: str
    grass: str
    facts: Mapping[str, float | bool | str]
    expect: str
    window: str = "open"
    lasting: bool = False
    of: str = ""
    place: Place | None = None


class Operation(Record, frozen=True):
    """All that is known about one job on the lawn.

    `cites` names the evidence behind the numbers in a plain text: `steps`, `delay`, `do_nothing`
    or `measure_lead`. `grasses` are those that the operation is for. `laws`: subjects of
    law that concern it.
    """

    id: str
    title: str
    asked_as: tuple[str, ...]
    grasses: frozenset[str]
    need: Condition
    ready: Condition
    windows: tuple[Window, ...]
    conflicts: tuple[Conflict, ...]
    advice: tuple[Advice, ...]
    evidence: Mapping[str, Evidence]
    examples: Sequence[Example]
    safety: tuple[str, ...]
    effort: Effort | None = None
    order: Order = field(default_factory=Order)
    later: tuple[Later, ...] = ()
    steps: tuple[str, ...] = ()
    do_nothing: str = ""
    delay: str = ""
    seed_rate: SeedRate | None = None
    spreads: Spreads | None = None
    laws: tuple[Subject, ...] = ()
    routine: bool = False
    quiet: bool = False
    measure_lead: int = 28
    leads: tuple[Lead, ...] = ()
    waits: tuple[Wait, ...] = ()
    breaks_soil: BreaksSoil | None = None
    cites: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    done_as: DoneAs = field(default_factory=DoneAs)

    def trees(self, grass: str = "") -> dict[str, Condition]:
        """Every condition tree by its name in the file; with a grass only those that it has."""
        named: dict[str, Condition] = {"need": self.need, "ready": self.ready}
        named |= {f"conflict.{c.id}": c.when for c in self.conflicts if _is_for(c, grass)}
        named |= {
            f"advice.{a.id}": a.when
            for a in self.advice
            if a.when is not None and _is_for(a, grass)
        }
        for window in (w for w in self.windows if _is_for(w, grass)):
            for part in ("opens", "closes", "best"):
                tree = getattr(window, part)
                if tree is not None:
                    named[f"windows.{window.id}.{part}"] = tree
        return named

    @property
    def offered(self) -> frozenset[str]:
        """The active ingredients that its texts offer as a choice."""
        choices = (*(a.options for a in self.advice), *(w.options for w in self.waits))
        return frozenset().union(*(each.actives for each in choices if each is not None))

    def trees_of_waits(self) -> frozenset[str]:
        """The names of the trees that follow from declared waits."""
        conflicts = {f"conflict.{c.id}" for c in self.conflicts if c.wait}
        return frozenset(conflicts | {f"advice.{a.id}" for a in self.advice if a.wait})

    def for_grass(self, grass: Grass) -> Operation:
        """The operation as it is for one grass: only its parts, and its own `grass.NAME` limits."""
        windows = tuple(
            replace(
                w,
                opens=resolve(w.opens, grass),
                closes=w.closes and resolve(w.closes, grass),
                best=w.best and resolve(w.best, grass),
            )
            for w in self.windows
            if _is_for(w, grass.id)
        )
        conflicts = tuple(
            replace(c, when=resolve(c.when, grass)) for c in self.conflicts if _is_for(c, grass.id)
        )
        advice = tuple(
            replace(a, when=a.when and resolve(a.when, grass))
            for a in self.advice
            if _is_for(a, grass.id)
        )
        return replace(
            self,
            need=resolve(self.need, grass),
            ready=resolve(self.ready, grass),
            windows=windows,
            conflicts=conflicts,
            advice=advice,
            evidence={**self.evidence, **grass.evidence},
        )


class Caution(Record, frozen=True):
    """One danger: the full text, and a short form that stands beside a task."""

    short: str
    text: str


class Ingredient(Record, frozen=True):
    """An active ingredient of a weed preventer. longest_wait: days before seed, the longest of the
    trial's and the labels' kind; None where only the label can tell. The keeper's own label stands
    above it."""

    id: str
    title: str
    longest_wait: float | None
    seed_safe_on: frozenset[str]
    range: str
    evidence: tuple[Evidence, ...]


class RuleBook(Record, frozen=True, dict=True):
    """Everything under rules/, read and checked. `hash` identifies its exact text.

    asked_as, done_as: of each operation the words that keepers use, asking for it and telling that
    it was done, to be had without opening the operation.
    key: which grass it is; None where the folder has no identify.yaml. actives: the names of active
    ingredients. offered: those that some text offers as a choice. work, supplies: empty where the
    folder has no such file.
    """

    operations: Mapping[str, Operation]
    grasses: Mapping[str, Grass]
    vocabulary: Vocabulary
    sources: Mapping[str, Source]
    cautions: Mapping[str, Caution]
    ingredients: Mapping[str, Ingredient]
    hash: str
    asked_as: Mapping[str, tuple[str, ...]]
    done_as: Mapping[str, DoneAs] = field(default_factory=dict)
    laws: Mapping[str, Laws] = field(default_factory=dict)
    key: Key | None = None
    work: Work = NO_WORK
    supplies: SupplyNumbers = NO_SUPPLIES
    actives: Actives = field(default_factory=Actives)
    offered: frozenset[str] = frozenset()
    gates: Mapping[str, GateRule] = field(default_factory=dict)
    programmes: Mapping[str, Programme] = field(default_factory=dict)

    @cached_property
    def work_before(self) -> Mapping[str, tuple[str, ...]]:
        """For each operation, those that come straight before it."""
        return order.work_before(self)

    @cached_property
    def all_before(self) -> Mapping[str, frozenset[str]]:
        """For each operation all that come before it, near and far."""
        return order.all_before(self)

    @cached_property
    def working_rank(self) -> Mapping[str, int]:
        """The place of each operation in the order of work."""
        return order.working_rank(self)

    @cached_property
    def stands_in_for(self) -> Mapping[str, tuple[str, ...]]:
        """For each operation that stands in for others once these are over, those."""
        found: dict[str, tuple[str, ...]] = {}
        for operation in self.operations.values():
            for later in operation.later:
                found[later.operation] = (*found.get(later.operation, ()), operation.id)
        return found


def _is_for(part: Window | Conflict | Advice, grass: str) -> bool:
    return not grass or not part.grasses or grass in part.grasses
