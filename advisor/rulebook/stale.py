"""Evidence that nobody has looked at for years."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping

from advisor.base.record import Record
from advisor.rulebook.model import Evidence, RuleBook


class Stale(Record, frozen=True):
    """One piece of evidence. where: the operation, programme, grass, ingredient, place (its laws)
    or key (`identify`) whose file cites it.

    checked: None if nobody has written down when it was read.
    """

    where: str
    evidence: str
    what: str
    checked: dt.date | None


def stale(book: RuleBook, on: dt.date, years: float = 2.0) -> tuple[Stale, ...]:
    """Published evidence checked more than `years` before `on`, or never; the oldest first.

    Our own fits, common practice and memory have no page to read again, and are not among it.
    """
    found = [
        Stale(where, evidence.id, str(evidence), evidence.checked)
        for where, evidence in _all_evidence(book)
        if evidence.kind == "published" and is_old(evidence.checked, on, years)
    ]
    return tuple(sorted(found, key=lambda s: (s.checked or dt.date.min, s.where, s.evidence)))


def is_old(checked: dt.date | None, on: dt.date, years: float) -> bool:
    """Whether a day lies more than so many years (of 365.25 days) back, or is not known."""
    return checked is None or (on - checked).days > years * 365.25


def _all_evidence(book: RuleBook) -> Iterator[tuple[str, Evidence]]:
    files: Mapping[str, Mapping[str, Evidence]] = {
        **{id: operation.evidence for id, operation in book.operations.items()},
        **{f"programme {id}": x.evidence for id, x in book.programmes.items()},
        **{id: grass.evidence for id, grass in book.grasses.items()},
        **{id: {e.id: e for e in i.evidence} for id, i in book.ingredients.items()},
        **{id: {e.id: e for e in gate.evidence} for id, gate in book.gates.items()},
        **{id: {e.id: e for r in law.rules for e in r.evidence} for id, law in book.laws.items()},
    }
    if book.key is not None:
        traits = [t for traits in book.key.grasses.values() for t in traits.values()]
        files = {**files, "identify": {e.id: e for trait in traits for e in trait.evidence}}
    for where, evidence in files.items():
        yield from ((where, e) for e in evidence.values())
