"""Sources (rules/sources.yaml) and the evidence blocks that cite them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from typing import Literal

from advisor.base.checked_model import FileModel, check_document
from advisor.base.problems import Problems, did_you_mean
from advisor.base.strict_yaml import Document, Loc
from advisor.rulebook.model import Evidence, EvidenceKind, Source


class EvidenceEntry(FileModel):
    """One line under `evidence:` of a rule or grass file."""

    id: str
    kind: EvidenceKind
    source: str | None = None
    at: str = ""
    says: str = ""
    checked: dt.date | None = None


class _SourceEntry(FileModel):
    authors: str
    title: str
    number: str | int | None = None
    year: int | None = None
    kind: str
    read: Literal["opened", "abstract", "second_hand", "memory"]
    address: str | None = None
    checked: dt.date | None = None
    says: str = ""


class _SourcesFile(FileModel):
    format: Literal[1]
    sources: dict[str, _SourceEntry]


def read_sources(document: Document) -> dict[str, Source]:
    """The bibliography by id. Raises `BadInput`."""
    file = check_document(_SourcesFile, document)
    return {
        id: Source(
            id=id,
            authors=s.authors,
            title=s.title,
            number=str(s.number or ""),
            year=s.year,
            kind=s.kind,
            read=s.read,
            address=s.address or "",
        )
        for id, s in file.sources.items()
    }


def read_evidence(
    entries: list[EvidenceEntry],
    sources: Mapping[str, Source],
    document: Document,
    problems: Problems,
    loc: Loc = ("evidence",),
) -> dict[str, Evidence]:
    """Evidence by id; what does not hold together goes to `problems`."""
    found: dict[str, Evidence] = {}
    for i, entry in enumerate(entries):
        place = document.place((*loc, i))
        if entry.id in found:
            problems.add(place, f"evidence id '{entry.id}' stands twice; keep one")
        if entry.kind == "published" and not entry.source:
            problems.add(place, f"evidence '{entry.id}' is published; name its 'source'")
        if entry.kind == "published" and not entry.at:
            what = f"evidence '{entry.id}' is published; say where in it under 'at'"
            problems.add(place, f"{what}, such as 'table 2'")
        if entry.kind != "published" and not entry.says:
            problems.add(place, f"evidence '{entry.id}' is {entry.kind}; say what in 'says'")
        if entry.source is not None and entry.source not in sources:
            near = did_you_mean(entry.source, sources)
            place = document.place((*loc, i, "source"))
            problems.add(place, f"source '{entry.source}' is not in sources.yaml{near}")
        found[entry.id] = Evidence(
            id=entry.id,
            kind=entry.kind,
            says=entry.says,
            source=sources.get(entry.source or ""),
            at=entry.at,
            checked=entry.checked,
        )
    return found
