"""Operation files (rules/operations/*.yaml)."""

from __future__ import annotations

from collections.abc import Mapping

from advisor.base.checked_model import check_document
from advisor.base.problems import Problems
from advisor.base.strict_yaml import Document, Loc
from advisor.facts.fact import Vocabulary
from advisor.records.doing import DoneAs, DoneTo
from advisor.rulebook.actives import Actives
from advisor.rulebook.advice import BreaksSoil
from advisor.rulebook.conditions import leaves
from advisor.rulebook.grass import GrassLimit
from advisor.rulebook.model import (
    Advice,
    Caution,
    Conflict,
    Effort,
    Grass,
    Later,
    Lead,
    Operation,
    Order,
    Source,
    Spreads,
    Window,
)
from advisor.rulebook.operation_file import (
    BreaksSoilEntry,
    DoneAsEntry,
    EffortEntry,
    OperationFile,
    SpreadsEntry,
)
from advisor.rulebook.read_conditions import ConditionReader
from advisor.rulebook.read_entries import Entries
from advisor.rulebook.read_evidence import read_evidence
from advisor.rulebook.read_examples import read_examples
from advisor.rulebook.read_options import read_options
from advisor.rulebook.read_waits import read_waits


def operation_id(document: Document) -> str:
    """The id that a file claims, before it is checked; empty if it has none."""
    data = document.data
    return str(data.get("operation", "")) if isinstance(data, dict) else ""


def read_operation(
    document: Document,
    vocabulary: Vocabulary,
    sources: Mapping[str, Source],
    grasses: Mapping[str, Grass],
    cautions: Mapping[str, Caution],
    actives: Actives,
) -> Operation:
    """One operation. Raises `BadInput` with every problem found."""
    file = check_document(OperationFile, document)
    problems = Problems()
    evidence = read_evidence(file.evidence, sources, document, problems)
    limits = frozenset(name for grass in grasses.values() for name in grass.limits)
    trees = ConditionReader(document, vocabulary, frozenset(evidence), limits, problems)
    parts = _Parts(file, document, trees, problems, grasses, actives)
    parts.known(file.safety, cautions, "caution", "safety")
    if not file.safety:
        problems.add(document.place(("safety",)), "an operation needs at least one caution")
    operation = Operation(
        id=file.operation,
        title=file.title,
        asked_as=tuple(file.asked_as),
        done_as=parts.done_as(file.done_as),
        grasses=parts.grasses(file.applies_to, "applies_to"),
        need=parts.tree(file.need, "need"),
        ready=parts.tree(file.ready, "ready"),
        windows=parts.windows(),
        conflicts=parts.conflicts(),
        advice=parts.advice(),
        evidence=evidence,
        examples=read_examples(file.examples, vocabulary, grasses, document, problems),
        safety=tuple(file.safety),
        effort=parts.effort(file.effort),
        order=Order(tuple(file.order.after), tuple(file.order.before)),
        later=tuple(Later(x.operation, x.says) for x in file.later),
        steps=tuple(file.steps),
        do_nothing=file.do_nothing,
        delay=file.delay,
        seed_rate=file.seed_rate,
        spreads=parts.spreads(file.spreads),
        laws=tuple(file.laws),
        routine=file.routine,
        quiet=file.quiet,
        measure_lead=parts.days(file.measure_lead, "measure_lead"),
        leads=parts.leads(),
        waits=read_waits(file, document, evidence, problems, parts.grasses, actives),
        breaks_soil=parts.breaks_soil(file.breaks_soil),
        cites=parts.cites(),
    )
    _check_grass_limits(operation, grasses, vocabulary, problems)
    for id in sorted(operation.grasses):
        if not any(not w.grasses or id in w.grasses for w in operation.windows):
            problems.add(document.place(("windows",)), f"no window is for grass '{id}'; add one")
    problems.raise_if_any()
    return operation


class _Parts(Entries[OperationFile]):
    """Turns the entries of one file into parts of the model, collecting problems."""

    def cites(self) -> dict[str, tuple[str, ...]]:
        named = self.file.cites.model_dump().items()
        return {text: self.cited(ids, "cites", text) for text, ids in named if ids}

    def done_as(self, entry: DoneAsEntry) -> DoneAs:
        to = tuple(
            DoneTo(tuple(x.did), tuple(x.what), tuple(x.unless), x.passive) for x in entry.to
        )
        return DoneAs(tuple(entry.alone), to, tuple(entry.called), tuple(entry.unless))

    def windows(self) -> tuple[Window, ...]:
        self.once("window", [w.id for w in self.file.windows], "windows")
        found = []
        for i, w in enumerate(self.file.windows):
            at: Loc = ("windows", i)
            optional = {
                part: self.tree(data, *at, part, window=True) if data is not None else None
                for part, data in (("closes", w.closes), ("best", w.best))
            }
            found.append(
                Window(
                    id=w.id,
                    title=w.title,
                    prefer=w.prefer,
                    after=self.boundary(w.after, *at, "after"),
                    until=self.boundary(w.until, *at, "until"),
                    opens=self.tree(w.opens, *at, "opens", window=True),
                    closes=optional["closes"],
                    best=optional["best"],
                    held=self.days(w.held, *at, "held"),
                    closes_held=self.days(w.closes_held, *at, "closes_held"),
                    cost=w.cost,
                    evidence=self.cited(w.evidence, *at),
                    grasses=self.grasses(w.only, *at, "for"),
                )
            )
        return tuple(found)

    def conflicts(self) -> tuple[Conflict, ...]:
        self.once("conflict", [c.id for c in self.file.conflicts], "conflicts")
        for i, c in enumerate(self.file.conflicts):
            self.warns(c.warns, "conflicts", i)
        return tuple(
            Conflict(
                id=c.id,
                when=self.tree(c.when, "conflicts", i, "when"),
                says=c.says,
                strength=c.strength,
                evidence=self.cited(c.evidence, "conflicts", i),
                grasses=self.grasses(c.only, "conflicts", i, "for"),
            )
            for i, c in enumerate(self.file.conflicts)
        )

    def advice(self) -> tuple[Advice, ...]:
        self.once("advice", [a.id for a in self.file.advice], "advice")
        return tuple(
            Advice(
                id=a.id,
                says=a.says,
                verdicts=frozenset(a.verdicts),
                when=self.tree(a.when, "advice", i, "when") if a.when is not None else None,
                instead=a.instead,
                grasses=self.grasses(a.only, "advice", i, "for"),
                evidence=self.cited(a.evidence, "advice", i),
                options=read_options(
                    a.options, self.actives, self.document, ("advice", i, "options"), self.problems
                ),
                warns=self.warns(a.warns, "advice", i),
                hired=a.hired,
            )
            for i, a in enumerate(self.file.advice)
        )

    def leads(self) -> tuple[Lead, ...]:
        self.once("lead", [x.id for x in self.file.leads], "leads")
        found = []
        for i, x in enumerate(self.file.leads):
            before = self.days(x.before, "leads", i, "before", least=1)
            if not x.evidence:
                what = "a number without evidence; add 'evidence: [ID]'"
                self.problems.add(self.document.place(("leads", i)), what)
            cited = self.cited(x.evidence, "leads", i)
            found.append(Lead(x.id, x.says, before, x.counts_to, cited, x.job))
        return tuple(found)

    def effort(self, entry: EffortEntry | None) -> Effort | None:
        if entry is None:
            return None
        bags = entry.debris_bags_per_1000_ft2
        low, high = entry.minutes_per_1000_ft2
        cited = self.cited(entry.evidence, "effort")
        return Effort((low, high), entry.machine, (bags[0], bags[1]) if bags else None, cited)

    def spreads(self, entry: SpreadsEntry | None) -> Spreads | None:
        if entry is None:
            return None
        most = self.quantity(entry.most, "g/m2", "spreads", "most")
        return Spreads(entry.what, most, self.cited(entry.evidence, "spreads"))

    def breaks_soil(self, entry: BreaksSoilEntry | None) -> BreaksSoil | None:
        if entry is None:
            return None
        low, high = (self.quantity(text, "mm", "breaks_soil", "depth") for text in entry.depth)
        cited = self.cited(entry.evidence, "breaks_soil")
        return BreaksSoil((low, high), entry.tool, entry.how, cited)


def _check_grass_limits(
    operation: Operation,
    grasses: Mapping[str, Grass],
    vocabulary: Vocabulary,
    problems: Problems,
) -> None:
    """Each grass limit must exist in every grass the operation is for, in its fact's unit."""
    for grass in (g for g in grasses.values() if g.id in operation.grasses):
        for leaf in (x for tree in operation.trees(grass.id).values() for x in leaves(tree)):
            if isinstance(leaf.limit, GrassLimit) and leaf.place is not None:
                unit = vocabulary[leaf.fact].unit
                limit = grass.limits.get(leaf.limit)
                if limit is None:
                    what = f"grass '{grass.id}' states no limit '{leaf.limit}'"
                    problems.add(leaf.place, what)
                elif limit.unit != unit:
                    what = f"grass '{grass.id}' states '{leaf.limit}' in {limit.unit}, not {unit}"
                    problems.add(leaf.place, what)
