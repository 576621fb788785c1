"""The shape of an operation file: which keys, which kinds of values. No meaning yet."""

from __future__ import annotations

import re
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, Field

from advisor.base.checked_model import FileModel
from advisor.rulebook.advice import Tool
from advisor.rulebook.law import Subject
from advisor.rulebook.model import Anchor, CountsTo, SeedRate, Strength, VerdictName
from advisor.rulebook.read_evidence import EvidenceEntry
from advisor.rulebook.read_examples import ExampleEntry

_PHRASE = re.compile(r"[a-z]+( [a-z]+)*")


def _phrase(text: str) -> str:
    if not _PHRASE.fullmatch(text):
        raise ValueError(f"'{text}' never matches; wanted small letters, one blank between words")
    return text


Phrase = Annotated[str, AfterValidator(_phrase)]
Phrases = Annotated[list[Phrase], Field(min_length=1)]
Pair = Annotated[list[float | int], Field(min_length=2, max_length=2)]


class ForEntry(FileModel):
    """Which grasses something is for: those of the season types, those named, or both at once."""

    season_type: list[Literal["cool", "warm"]] = []
    grasses: list[str] = []


class BoundaryEntry(FileModel):
    """One entry of an operation file."""

    day: Anchor
    plus: str = "0 d"


class WindowEntry(FileModel):
    """One entry of an operation file."""

    id: str
    title: str
    prefer: int
    only: ForEntry = Field(ForEntry(), alias="for")
    after: BoundaryEntry
    until: BoundaryEntry
    opens: Any
    closes: Any = None
    best: Any = None
    held: str = "1 d"
    closes_held: str = "1 d"
    cost: str = ""
    evidence: list[str] = []


class ConflictEntry(FileModel):
    """One entry of an operation file."""

    id: str
    when: Any
    says: str
    strength: Strength
    only: ForEntry = Field(ForEntry(), alias="for")
    warns: list[str] = []
    evidence: list[str] = []


class OptionsEntry(FileModel):
    """Active ingredients to choose from."""

    lead: str = ""
    any: Annotated[list[str], Field(min_length=1)]
    none: str = ""


class WaitEntry(FileModel):
    """One entry of an operation file. `for` is a time, or `ingredient`."""

    id: str
    after: Annotated[list[str], Field(min_length=1)]
    blocks: Annotated[list[str], Field(min_length=1)]
    length: str = Field(alias="for")
    only: ForEntry = Field(ForEntry(), alias="on")
    strength: Strength
    says: str
    ahead: str = ""
    rather: str = ""
    choice: str = ""
    options: OptionsEntry | None = None
    range: str = ""
    evidence: list[str] = []


class DoneToEntry(FileModel):
    """One entry of an operation file."""

    did: Phrases
    what: Phrases
    unless: list[Phrase] = []
    passive: bool = True


class DoneAsEntry(FileModel):
    """One entry of an operation file: how keepers tell that the job was done."""

    alone: list[Phrase] = []
    to: list[DoneToEntry] = Field([], alias="with")
    called: list[Phrase] = []
    unless: list[Phrase] = []


class AdviceEntry(FileModel):
    """One entry of an operation file."""

    id: str
    says: str
    verdicts: list[VerdictName]
    when: Any = None
    instead: str | None = None
    only: ForEntry = Field(ForEntry(), alias="for")
    options: OptionsEntry | None = None
    warns: list[str] = []
    hired: bool = False
    evidence: list[str] = []


class EffortEntry(FileModel):
    """One entry of an operation file."""

    minutes_per_1000_ft2: Pair
    machine: str = ""
    debris_bags_per_1000_ft2: Pair | None = None
    evidence: list[str]


class SpreadsEntry(FileModel):
    """One entry of an operation file."""

    what: Literal["nitrogen", "lime"]
    most: str
    evidence: Annotated[list[str], Field(min_length=1)]


class BreaksSoilEntry(FileModel):
    """One entry of an operation file."""

    depth: Annotated[list[str], Field(min_length=2, max_length=2)]
    tool: Tool
    how: str
    evidence: Annotated[list[str], Field(min_length=1)]


class OrderEntry(FileModel):
    """One entry of an operation file."""

    after: list[str] = []
    before: list[str] = []


class LaterEntry(FileModel):
    """One entry of an operation file."""

    operation: str
    says: str


class LeadEntry(FileModel):
    """One entry of an operation file."""

    id: str
    says: str
    before: str
    counts_to: CountsTo
    job: str = ""
    evidence: list[str] = []


class CitesEntry(FileModel):
    """Evidence behind the numbers in the plain texts of an operation file."""

    steps: list[str] = []
    delay: list[str] = []
    do_nothing: list[str] = []
    measure_lead: list[str] = []


class OperationFile(FileModel):
    """A whole operation file. Condition trees stay raw; `read_conditions` reads them."""

    format: Literal[1]
    operation: str
    title: str
    asked_as: list[str]
    done_as: DoneAsEntry = Field(default_factory=dict, validate_default=True)
    applies_to: ForEntry
    need: Any
    windows: Annotated[list[WindowEntry], Field(min_length=1)]
    ready: Any
    conflicts: list[ConflictEntry] = []
    waits: list[WaitEntry] = []
    advice: list[AdviceEntry] = []
    order: OrderEntry = OrderEntry()
    later: list[LaterEntry] = []
    effort: EffortEntry | None = None
    steps: list[str] = []
    safety: list[str]
    do_nothing: str
    delay: str = ""
    seed_rate: SeedRate | None = None
    spreads: SpreadsEntry | None = None
    laws: list[Subject] = []
    routine: bool = False
    quiet: bool = False
    measure_lead: str = "28 d"
    leads: list[LeadEntry] = []
    breaks_soil: BreaksSoilEntry | None = None
    cites: CitesEntry = CitesEntry()
    evidence: list[EvidenceEntry]
    examples: list[ExampleEntry]
