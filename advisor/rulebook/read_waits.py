"""The waits that an operation file declares."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from advisor.base.problems import Problems, did_you_mean
from advisor.base.record import replace
from advisor.base.strict_yaml import Document, Loc
from advisor.base.units import UnitError, parse_quantity
from advisor.rulebook.actives import Actives
from advisor.rulebook.conditions import Evidence
from advisor.rulebook.operation_file import OperationFile, WaitEntry
from advisor.rulebook.order import Wait
from advisor.rulebook.read_options import read_options
from advisor.rulebook.texts import check_once, check_text

BY_INGREDIENT = "ingredient"
"""The length of a wait that goes by the active ingredient of the weed preventer."""


def read_waits(
    file: OperationFile,
    document: Document,
    evidence: Mapping[str, Evidence],
    problems: Problems,
    grasses: Callable[..., frozenset[str]],
    actives: Actives,
) -> tuple[Wait, ...]:
    """The waits in file order; what does not hold together goes to `problems`.

    grasses: reads which grasses an entry admits, given the entry and its place.
    """
    places = [document.place(("waits", i, "id")) for i in range(len(file.waits))]
    check_once([w.id for w in file.waits], "wait", places, problems)
    found = []
    for i, entry in enumerate(file.waits):
        wait = _wait(entry, file.operation, document, ("waits", i), evidence, problems)
        at = ("waits", i, "options")
        options = read_options(entry.options, actives, document, at, problems)
        admitted = grasses(entry.only, "waits", i, "on")
        found.append(replace(wait, grasses=admitted, options=options))
    return tuple(found)


def _wait(
    entry: WaitEntry,
    operation: str,
    document: Document,
    at: Loc,
    evidence: Mapping[str, Evidence],
    problems: Problems,
) -> Wait:
    place = document.place(at)
    if operation not in (*entry.after, *entry.blocks):
        what = f"'{operation}' is neither in 'after' nor in 'blocks'; move the wait to its file"
        problems.add(place, what)
    for id in sorted(set(entry.after) & set(entry.blocks)):
        problems.add(place, f"'{id}' cannot wait for itself; use a conflict with days_since.{id}")
    if not entry.evidence:
        problems.add(place, "a number without evidence; add 'evidence: [ID]'")
    for i, id in enumerate(entry.evidence):
        if id not in evidence:
            what = f"evidence '{id}' is not declared{did_you_mean(id, evidence)}"
            problems.add(document.place((*at, "evidence", i)), what)
    for key in ("says", "ahead", "rather", "choice"):
        check_text(getattr(entry, key), (), document.place((*at, key)), problems)
    if entry.rather and (not entry.ahead or entry.strength == "caution"):
        what = "'rather' wants 'ahead' beside it, and the strength of a label or law"
        problems.add(document.place((*at, "rather")), what)
    return Wait(
        id=entry.id,
        declared=operation,
        after=tuple(entry.after),
        blocks=tuple(entry.blocks),
        days=_days(entry.length, document, (*at, "for"), problems),
        strength=entry.strength,
        says=entry.says,
        ahead=entry.ahead,
        rather=entry.rather,
        choice=entry.choice,
        range=entry.range,
        evidence=tuple(entry.evidence),
        place=place,
    )


def _days(length: str, document: Document, at: Loc, problems: Problems) -> float | None:
    if length == BY_INGREDIENT:
        return None
    try:
        days = parse_quantity(length, "d")
    except UnitError as error:
        problems.add(document.place(at), f"{error}; or write '{BY_INGREDIENT}'")
        return 1.0
    if days < 1:
        problems.add(document.place(at), f"'{length}' is no wait; wanted one day or more")
    return days
