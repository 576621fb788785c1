"""Why a number is what it is: a source, a fit of ours, common practice, or memory."""

from __future__ import annotations

import datetime as dt
from typing import Literal

from advisor.base.record import Record

EvidenceKind = Literal["published", "derived", "common_practice", "from_memory"]

_READ = {
    "abstract": " (abstract read)",
    "second_hand": " (as restated elsewhere)",
    "memory": " (not read, from memory)",
}


class Source(Record, frozen=True):
    """One entry of rules/sources.yaml."""

    id: str
    authors: str
    title: str
    number: str = ""
    year: int | None = None
    kind: str = ""
    read: str = ""
    address: str = ""

    def __str__(self) -> str:
        number = f", {self.number}" if self.number else ""
        year = f" ({self.year})" if self.year else ""
        return f"{self.authors}{year}: {self.title}{number}"


class Evidence(Record, frozen=True):
    """Why a number is what it is. `source` is None for common practice and memory."""

    id: str
    kind: EvidenceKind
    says: str = ""
    source: Source | None = None
    at: str = ""
    checked: dt.date | None = None

    def __str__(self) -> str:
        if self.source is not None:
            where = f", {self.at}" if self.at else ""
            how = _READ.get(self.source.read, "")
            return f"{self.source}{where}{how}"
        label = {"common_practice": "common practice, no source", "from_memory": "from memory"}
        text = label.get(self.kind, self.kind)
        return f"{text}: {self.says}" if self.says else text
