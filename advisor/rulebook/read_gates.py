"""Gates (rules/gates.yaml): what has to be seen to before a step that could hurt somebody."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Literal

from pydantic import Field

from advisor.base.checked_model import FileModel, check_document
from advisor.base.problems import Place, Problems, did_you_mean
from advisor.base.strict_yaml import Document, Loc
from advisor.base.units import UnitError, parse_quantity
from advisor.facts.fact import Vocabulary
from advisor.rulebook.advice import Elsewhere, GateRule, Tool
from advisor.rulebook.model import Evidence, Operation, Source
from advisor.rulebook.read_evidence import EvidenceEntry, read_evidence

GATES_FILE = "gates.yaml"


class _ElsewhereEntry(FileModel):
    country: str
    subdivision: str | None = None
    before: str
    evidence: Annotated[list[str], Field(min_length=1)]


class _ProtectsEntry(FileModel):
    breaks_soil: Annotated[list[Tool], Field(min_length=1)]


class _GateEntry(FileModel):
    title: str
    missing: str
    ask: str
    call: dict[str, str] = {}
    protects: _ProtectsEntry
    before: str = "0 d"
    working_days: bool = False
    elsewhere: list[_ElsewhereEntry] = []
    range: str = ""
    met_by: Annotated[dict[str, bool], Field(min_length=1)]
    note: str
    none: str = ""
    counts: str = ""
    evidence: Annotated[list[str], Field(min_length=1)]


class _GatesFile(FileModel):
    format: Literal[1]
    gates: dict[str, _GateEntry]
    evidence: list[EvidenceEntry]


def read_gates(
    document: Document, vocabulary: Vocabulary, sources: Mapping[str, Source]
) -> dict[str, GateRule]:
    """The gates by id. Raises `BadInput` with every problem found."""
    file = check_document(_GatesFile, document)
    problems = Problems()
    evidence = read_evidence(file.evidence, sources, document, problems)

    def days(text: str, *loc: str | int) -> int:
        try:
            return round(parse_quantity(text, "d"))
        except UnitError as error:
            problems.add(document.place(loc), str(error))
            return 0

    def cited(ids: list[str], *loc: str | int) -> tuple[Evidence, ...]:
        for i, id in enumerate(ids):
            if id not in evidence:
                near = did_you_mean(id, evidence)
                what = f"evidence '{id}' is not declared below{near}"
                problems.add(document.place((*loc, "evidence", i)), what)
        return tuple(evidence[id] for id in ids if id in evidence)

    found = {}
    for id, entry in file.gates.items():
        loc: Loc = ("gates", id)
        places = []
        for i, place in enumerate(entry.elsewhere):
            at = (*loc, "elsewhere", i)
            cited(place.evidence, *at)
            before = days(place.before, *at, "before")
            places.append(Elsewhere(place.country, place.subdivision, before))
        _check_records(entry, vocabulary, document, loc, problems)
        found[id] = GateRule(
            id=id,
            title=entry.title,
            missing=entry.missing,
            ask=entry.ask,
            call=dict(entry.call),
            protects=frozenset(entry.protects.breaks_soil),
            before=days(entry.before, *loc, "before"),
            working_days=entry.working_days,
            elsewhere=tuple(places),
            range=entry.range,
            met_by=dict(entry.met_by),
            note=entry.note,
            none=entry.none,
            counts=entry.counts,
            evidence=cited(entry.evidence, *loc),
        )
    problems.raise_if_any()
    return found


def _check_records(
    entry: _GateEntry, vocabulary: Vocabulary, document: Document, loc: Loc, problems: Problems
) -> None:
    """A gate is met by yes-or-no records that run out: a marking of years ago opens nothing."""
    for name in entry.met_by:
        definition = vocabulary.definitions.get(name)
        place = document.place((*loc, "met_by", name), key=True)
        if definition is None:
            near = did_you_mean(name, vocabulary.definitions)
            problems.add(place, f"fact '{name}' is not in facts.yaml{near}")
        elif definition.kind != "flag" or definition.varies != "record":
            problems.add(place, f"fact '{name}' is no yes-or-no record, which is what meets a gate")
        elif definition.stale_after is None:
            what = f"fact '{name}' meets a gate for ever; give it a 'stale_after' in facts.yaml"
            problems.add(place, what)


def check_guarded(
    operations: Mapping[str, Operation], gates: Mapping[str, GateRule], problems: Problems
) -> None:
    """Each job that breaks the soil stands behind a gate."""
    for operation in operations.values():
        breaks = operation.breaks_soil
        if breaks and not any(breaks.tool in gate.protects for gate in gates.values()):
            what = (
                f"it breaks the soil by {breaks.tool}, and no gate of rules/{GATES_FILE} protects "
                "that; add one, or leave 'breaks_soil' out"
            )
            problems.add(Place(f"rules/operations/{operation.id}.yaml", 1), what)
