"""The steps of each job, and the machines that do them (rules/work.yaml)."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from math import nan
from typing import Annotated, Any, Literal

from pydantic import Field

from advisor.base.checked_model import FileModel, check_document
from advisor.base.problems import Problems, did_you_mean
from advisor.base.strict_yaml import Document
from advisor.base.units import UnitError, parse_quantity
from advisor.rulebook.conditions import Evidence, Source
from advisor.rulebook.effort import Machine, Step, Work
from advisor.rulebook.model import Operation
from advisor.rulebook.owed_steps import check_owed
from advisor.rulebook.read_evidence import EvidenceEntry, read_evidence

WORK_FILE = "work.yaml"


Range = Annotated[list[str], Field(min_length=2, max_length=2)]
Cited = Annotated[list[str], Field(min_length=1)]


class _DoorEntry(FileModel):
    fetch: Range
    learn: Range
    load: Range
    clean: Range
    back: Range = Field(alias="return")
    evidence: Cited


class _MachineEntry(FileModel):
    title: str
    width: str
    speed: str
    efficiency: str
    met: float = Field(gt=0)
    engine: bool = False
    hired: str | None = None
    second: bool = False
    door: _DoorEntry | None = None
    does: dict[str, Cited] = {}
    evidence: Cited


class _StepEntry(FileModel):
    id: str
    title: str
    machine: str | None = None
    passes: int = Field(1, ge=1)
    by_hand: Range | None = None
    met: float | None = Field(None, gt=0)
    check: str = ""
    stop: str
    breaks_soil: bool = False
    can_wait: bool = False
    whole: bool = False
    owes: list[str] = []
    said: str = ""
    evidence: Cited


class _HiredEntry(FileModel):
    said: str = Field(min_length=1)
    evidence: Cited


class _WorkFile(FileModel):
    format: Literal[1]
    machines: dict[str, _MachineEntry]
    hired: _HiredEntry
    steps: dict[str, Annotated[list[_StepEntry], Field(min_length=1)]]
    evidence: list[EvidenceEntry]


def work_of(
    document: Document, sources: Mapping[str, Source], operations: Mapping[str, Operation]
) -> Work:
    """The work that a document describes. Raises `BadInput` with every problem found."""
    file = check_document(_WorkFile, document)
    problems = Problems()
    evidence = read_evidence(file.evidence, sources, document, problems)
    reader = _Reader(document, problems, evidence, operations)
    machines = {
        id: reader.machine(id, entry, _stands_in(file, id)) for id, entry in file.machines.items()
    }
    steps = {}
    for operation, entries in file.steps.items():
        if operation not in operations:
            near = did_you_mean(operation, operations)
            what = f"operation '{operation}' has no rule file{near}"
            problems.add(document.place(("steps", operation), key=True), what)
        steps[operation] = tuple(
            reader.step(operation, i, entry, machines) for i, entry in enumerate(entries)
        )
        check_owed(operation, steps[operation], document, problems)
        if operation in operations:
            _check_soil(operations[operation], steps[operation], document, problems)
    hired = reader._cited(file.hired.evidence, "hired")
    problems.raise_if_any()
    return Work(machines, steps, evidence, file.hired.said, hired)


def _stands_in(file: _WorkFile, machine: str) -> Iterator[str]:
    """The jobs in whose steps a machine stands."""
    for operation, entries in file.steps.items():
        if any(entry.machine == machine for entry in entries):
            yield operation


def _check_soil(
    operation: Operation, steps: tuple[Step, ...], document: Document, problems: Problems
) -> None:
    """A job that breaks the soil says which of its steps does, so that no other waits for it."""
    place = document.place(("steps", operation.id), key=True)
    breaking = [step.id for step in steps if step.breaks_soil]
    if operation.breaks_soil and not breaking:
        what = f"'{operation.id}' breaks the soil, but no step says 'breaks_soil: true'"
        problems.add(place, f"{what}; mark the one that does")
    if breaking and not operation.breaks_soil:
        what = f"step '{breaking[0]}' breaks the soil, but the rule file of '{operation.id}' does"
        problems.add(place, f"{what} not say 'breaks_soil'; say there how deep, and with what")


@dataclass
class _Reader:
    document: Document
    problems: Problems
    evidence: Mapping[str, Evidence]
    operations: Mapping[str, Operation]

    def machine(self, id: str, entry: _MachineEntry, stands_in: Iterable[str]) -> Machine:
        loc = ("machines", id)
        door = entry.door
        if (entry.hired is None) != (door is None):
            what = f"'{id}' has 'hired' and 'door' both or neither: what a hired machine takes"
            self.problems.add(self.document.place(loc, key=True), f"{what} from door to door")
        behind = {job: self._cited(ids, *loc, "does", job) for job, ids in entry.does.items()}
        for job in behind.keys() - self.operations.keys():
            place = self.document.place((*loc, "does", job), key=True)
            near = did_you_mean(job, self.operations)
            self.problems.add(place, f"'{id}' does '{job}', which has no rule file{near}")
        return Machine(
            id=id,
            title=entry.title,
            width_m=self._quantity(entry.width, "mm", *loc, "width") / 1000,
            speed_m_s=self._quantity(entry.speed, "m/s", *loc, "speed"),
            efficiency=self._quantity(entry.efficiency, "share", *loc, "efficiency"),
            met=entry.met,
            hired_h=self._quantity(entry.hired, "h", *loc, "hired") if entry.hired else None,
            second=entry.second,
            engine=entry.engine,
            evidence=self._cited(entry.evidence, *loc),
            does=frozenset((*stands_in, *behind)),
            does_evidence=tuple(dict.fromkeys(each for ids in behind.values() for each in ids)),
            **self._door(door, *loc, "door"),
        )

    def _door(self, door: _DoorEntry | None, *loc: str | int) -> dict[str, Any]:
        if door is None:
            return {}
        ends = {"fetch": door.fetch, "learn": door.learn, "load": door.load, "clean": door.clean,
                "return": door.back}  # fmt: skip
        found = {f"{name}_min": self._minutes(each, *loc, name) for name, each in ends.items()}
        middle = {name: (low + high) / 2 for name, (low, high) in found.items()}
        return {**middle, "door_evidence": self._cited(door.evidence, *loc)}

    def step(
        self, operation: str, i: int, entry: _StepEntry, machines: Mapping[str, Machine]
    ) -> Step:
        loc = ("steps", operation, i)
        if (entry.machine is None) == (entry.by_hand is None):
            what = f"step '{entry.id}' is done by a 'machine' or 'by_hand'; give one of them"
            self.problems.add(self.document.place(loc), what)
        machine = machines.get(entry.machine or "")
        if entry.machine and machine is None:
            near = did_you_mean(entry.machine, machines)
            what = f"machine '{entry.machine}' is not described above{near}"
            self.problems.add(self.document.place((*loc, "machine")), what)
        met = entry.met if entry.met is not None else machine.met if machine else 0.0
        if not entry.machine and entry.met is None:
            what = f"step '{entry.id}' is work by hand; say its effort under 'met'"
            self.problems.add(self.document.place(loc), what)
        return Step(
            id=entry.id,
            title=entry.title,
            machine=entry.machine,
            passes=entry.passes,
            by_hand_min=self._minutes(entry.by_hand, *loc, "by_hand") if entry.by_hand else None,
            met=met,
            check=entry.check,
            stop=entry.stop,
            evidence=self._cited(entry.evidence, *loc),
            breaks_soil=entry.breaks_soil,
            can_wait=entry.can_wait,
            whole=entry.whole,
            owes=tuple(entry.owes),
            said=entry.said,
        )

    def _minutes(self, ends: list[str], *loc: str | int) -> tuple[float, float]:
        # A quantity is kept with nine decimals, and a minute is not quite a sixtieth of an hour.
        hours = [self._quantity(text, "h", *loc, i) for i, text in enumerate(ends)]
        low, high = (round(60 * each, 6) for each in hours)
        if low > high:
            what = f"from '{ends[0]}' to '{ends[1]}' is no range; write the smaller first"
            self.problems.add(self.document.place(loc), what)
        return low, high

    def _quantity(self, text: str, unit: str, *loc: str | int) -> float:
        """In a unit; not a number where that is refused."""
        try:
            found = parse_quantity(text, unit)
        except UnitError as error:
            self.problems.add(self.document.place(loc), str(error))
            return nan
        if found <= 0:
            self.problems.add(self.document.place(loc), f"'{text}' must be over nothing")
            return nan
        return found

    def _cited(self, ids: list[str], *loc: str | int) -> tuple[str, ...]:
        for i, id in enumerate(ids):
            if id not in self.evidence:
                place = self.document.place((*loc, "evidence", i))
                near = did_you_mean(id, self.evidence)
                self.problems.add(place, f"evidence '{id}' is not declared below{near}")
        return tuple(ids)
