"""Programme files (rules/programmes/*.yaml)."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any, Literal

from pydantic import Field

from advisor.base.checked_model import FileModel, check_document
from advisor.base.problems import Place, Problems, did_you_mean
from advisor.base.strict_yaml import Document, Loc
from advisor.facts.fact import Vocabulary
from advisor.rulebook.actives import Actives
from advisor.rulebook.conditions import Condition, Group
from advisor.rulebook.model import Grass, Operation, RuleBook, Source
from advisor.rulebook.operation_file import ForEntry
from advisor.rulebook.programme import (
    Anew,
    Cause,
    Days,
    Programme,
    ProgrammeJob,
    ThroughStep,
)
from advisor.rulebook.read_conditions import ConditionReader
from advisor.rulebook.read_entries import Entries
from advisor.rulebook.read_evidence import EvidenceEntry, read_evidence
from advisor.rulebook.texts import check_text

_Text = Annotated[str, Field(min_length=1)]
_Range = Annotated[list[str], Field(min_length=2, max_length=2)]


class _JobEntry(FileModel):
    job: str
    says: _Text
    heart: bool = False
    days: _Range | None = None
    hangs_on: list[str] = []
    causes: list[str] = []
    only: ForEntry = Field(ForEntry(), alias="for")
    evidence: list[str] = []


class _ThroughEntry(FileModel):
    job: str
    says: _Text
    days: _Range
    lasts: _Range | None = None
    times: Annotated[int, Field(ge=1)] = 1
    evidence: Annotated[list[str], Field(min_length=1)]


class _CauseEntry(FileModel):
    id: str
    title: _Text
    when: Any


class ProgrammeFile(FileModel):
    """A whole programme file. Condition trees stay raw; `read_conditions` reads them."""

    format: Literal[1]
    programme: str
    title: _Text
    aim: _Text
    asked_as: list[_Text] = []
    applies_to: ForEntry
    when: Any = None
    causes: list[_CauseEntry] = []
    anew: Anew | None = None
    jobs: Annotated[list[_JobEntry], Field(min_length=1)]
    through: list[_ThroughEntry] = []
    evidence: list[EvidenceEntry]


def read_programme(
    document: Document,
    vocabulary: Vocabulary,
    sources: Mapping[str, Source],
    grasses: Mapping[str, Grass],
    operations: Mapping[str, Operation],
) -> Programme:
    """One programme. Raises `BadInput` with every problem found."""
    file = check_document(ProgrammeFile, document)
    problems = Problems()
    evidence = read_evidence(file.evidence, sources, document, problems)
    trees = ConditionReader(document, vocabulary, frozenset(evidence), frozenset(), problems)
    parts = _Parts(file, document, trees, problems, grasses, Actives())
    suited = parts.grasses(file.applies_to, "applies_to") or frozenset(grasses)
    causes = parts.causes()
    found = Programme(
        id=file.programme,
        title=file.title,
        aim=file.aim,
        grasses=suited,
        when=parts.when(causes),
        jobs=parts.jobs(suited, operations),
        through=parts.through(suited, operations),
        causes=causes,
        anew=file.anew,
        asked_as=tuple(file.asked_as),
        evidence=evidence,
    )
    if not found.hearts:
        what = "no job is the heart; say 'heart: true' of what the programme is about"
        problems.add(document.place(("jobs",), key=True), what)
    problems.raise_if_any()
    return found


class _Parts(Entries[ProgrammeFile]):
    """Turns the entries of one file into parts of a programme, collecting problems."""

    def causes(self) -> tuple[Cause, ...]:
        self.once("cause", [cause.id for cause in self.file.causes], "causes")
        return tuple(
            Cause(cause.id, cause.title, self.tree(cause.when, "causes", i, "when"))
            for i, cause in enumerate(self.file.causes)
        )

    def when(self, causes: tuple[Cause, ...]) -> Condition:
        if (self.file.when is None) == (not causes):
            what = "say when it applies: either by 'when', or by the 'when' of each of its 'causes'"
            self.problems.add(self.document.place(("programme",), key=True), what)
        if causes:
            return Group("any", tuple(cause.when for cause in causes))
        return self.tree(self.file.when, "when") if self.file.when is not None else self._nothing

    def jobs(
        self, suited: frozenset[str], operations: Mapping[str, Operation]
    ) -> tuple[ProgrammeJob, ...]:
        ids = [entry.job for entry in self.file.jobs]
        places = [self.document.place(("jobs", i, "job")) for i in range(len(ids))]
        for i, id in enumerate(ids):
            if id in ids[:i]:
                self.problems.add(places[i], f"job '{id}' stands twice; keep one")
        causes = {cause.id: cause for cause in self.file.causes}
        found = []
        for i, entry in enumerate(self.file.jobs):
            at: Loc = ("jobs", i)
            only = self.grasses(entry.only, *at, "for")
            self._job(entry.job, only or suited, operations, at)
            if i and entry.days is None:
                what = "say how many days after the job before it: 'days: [0 d, 7 d]'"
                self.problems.add(self.document.place(at), what)
            if entry.days is not None and not entry.evidence:
                what = "a number without evidence; add 'evidence: [ID]'"
                self.problems.add(self.document.place((*at, "days")), what)
            found.append(
                ProgrammeJob(
                    job=entry.job,
                    says=self._text(entry.says, at),
                    heart=entry.heart,
                    days=self._range(entry.days, *at, "days") if entry.days else None,
                    hangs_on=self._hangs_on(entry, ids, at),
                    causes=frozenset(self.known(entry.causes, causes, "cause", *at, "causes")),
                    grasses=only,
                    evidence=self.cited(entry.evidence, *at),
                    place=places[i],
                )
            )
        return tuple(found)

    def through(
        self, suited: frozenset[str], operations: Mapping[str, Operation]
    ) -> tuple[ThroughStep, ...]:
        found = []
        for i, entry in enumerate(self.file.through):
            at: Loc = ("through", i)
            self._job(entry.job, suited, operations, at)
            found.append(
                ThroughStep(
                    job=entry.job,
                    says=self._text(entry.says, at),
                    days=self._range(entry.days, *at, "days"),
                    lasts=self._range(entry.lasts, *at, "lasts") if entry.lasts else None,
                    times=entry.times,
                    evidence=self.cited(entry.evidence, *at),
                    place=self.document.place((*at, "job")),
                )
            )
        among = {entry.job for entry in self.file.jobs}
        for i, step in enumerate(found):
            if step.job in among or step.job in (other.job for other in found[:i]):
                place = step.place or self.document.place(("through",))
                self.problems.add(place, f"job '{step.job}' stands twice; keep one")
        return tuple(found)

    def _job(
        self, id: str, grasses: frozenset[str], operations: Mapping[str, Operation], at: Loc
    ) -> None:
        """A job has a rule file, and it is for every grass on which the programme asks for it."""
        place = self.document.place((*at, "job"))
        if id not in operations:
            what = f"job '{id}' has no rule file{did_you_mean(id, operations)}"
            self.problems.add(place, what)
        elif strange := sorted(grasses - operations[id].grasses):
            what = f"job '{id}' is not for {', '.join(strange)}; narrow it by 'for' beside it"
            self.problems.add(place, what)

    def _hangs_on(self, entry: _JobEntry, ids: list[str], at: Loc) -> tuple[str, ...]:
        named = self.known(entry.hangs_on, dict.fromkeys(ids), "job", *at, "hangs_on")
        if entry.job in named:
            place = self.document.place((*at, "hangs_on"))
            self.problems.add(place, f"'{entry.job}' cannot hang on itself")
        return named

    def _range(self, texts: list[str], *loc: str | int) -> Days:
        low, high = (self.days(text, *loc, i) for i, text in enumerate(texts))
        if not 0 <= low <= high:
            what = f"found {low} to {high} days; wanted the fewer days first, and none below 0"
            self.problems.add(self.document.place(loc), what)
        return low, high

    def _text(self, text: str, at: Loc) -> str:
        check_text(text, (), self.document.place((*at, "says")), self.problems)
        return text


def check_order(programmes: Mapping[str, Programme], book: RuleBook, problems: Problems) -> None:
    """No programme puts two jobs the other way round than their own files do.

    Care that goes on without a reminder stands before and after, so it has no place in this order.
    """
    before = {
        id: frozenset(b for b in all if not book.operations[b].routine)
        for id, all in book.all_before.items()
    }
    for programme in programmes.values():
        steps: list[ProgrammeJob | ThroughStep] = [*programme.jobs, *programme.through]
        for i, later in enumerate(steps):
            for first in steps[:i]:
                if not book.operations[first.job].routine and later.job in before[first.job]:
                    what = f"'{later.job}' comes before '{first.job}', as the rule files have it"
                    problems.add(later.place or Place(programme.id), f"{what}; move it up")
