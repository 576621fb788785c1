"""The counts of the rule book for a terminal."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from advisor.rulebook.conditions import EvidenceKind
from advisor.rulebook.coverage import KINDS, Coverage
from advisor.rulebook.pages.words import plain

_COUNTED = ("operations", "grasses", "examples", "facts", "sources", "cautions")


def coverage_lines(found: Coverage) -> Iterator[str]:
    """Totals, then a row for each operation and grass, then who reads which fact."""
    for name in _COUNTED:
        yield f"{getattr(found, name):6}  {name}"
    yield f"{found.limits:6}  limits that decide a verdict, of which"
    for kind, count in found.evidence.items():
        share = f"{100 * count / found.limits:3.0f} %" if found.limits else ""
        yield f"{count:6}    {plain(kind):16} {share}"
    yield ""
    width = max(map(len, ("operation", *found.by_operation, *found.by_grass)))
    yield f"{'operation':{width}} {' '.join(f'{plain(kind):>15}' for kind in KINDS)} examples"
    for id, part in found.by_operation.items():
        yield f"{id:{width}} {_cells(part.evidence)} {part.examples:8}"
    yield ""
    yield f"{'grass':{width}}"
    for id, kinds in found.by_grass.items():
        yield f"{id:{width}} {_cells(kinds)}"
    yield ""
    yield "fact: the operations that read it, and where"
    for fact, by_operation in found.facts_read.items():
        readers = ", ".join(f"{id} ({' '.join(gates)})" for id, gates in by_operation.items())
        yield f"{fact}: {readers}"


def _cells(kinds: Mapping[EvidenceKind, int]) -> str:
    return " ".join(f"{kinds[kind]:15}" for kind in KINDS)
