"""Declared waits become conflicts, both ways: the later job is blocked while the wait runs, and
the first one while a later job is planned within it.

So a wait and its number stand once in the rule files, and neither job can be advised inside it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from advisor.base.problems import Place, Problems, did_you_mean
from advisor.base.record import replace
from advisor.rulebook.conditions import Condition, Group, Leaf
from advisor.rulebook.model import Advice, Conflict, Operation, VerdictName
from advisor.rulebook.order import Wait

_ASKED_BEFORE: frozenset[VerdictName] = frozenset({"wait", "hold", "ruled_out", "measure"})
_ASKED_AFTER: frozenset[VerdictName] = frozenset({"do", "wait", "hold", "ruled_out", "measure"})


@dataclass
class _Added:
    """What the waits add to one operation."""

    conflicts: list[Conflict] = field(default_factory=list)
    advice: list[Advice] = field(default_factory=list)
    waits: list[Wait] = field(default_factory=list)


def expand_waits(found: Mapping[str, Operation], problems: Problems) -> dict[str, Operation]:
    """The operations with the conflicts and the advice that follow from their waits."""
    titles = {id: operation.title.lower() for id, operation in found.items()}
    added = {id: _Added() for id in found}
    for wait in (w for operation in found.values() for w in operation.waits):
        unknown = [id for id in (*wait.after, *wait.blocks) if id not in found]
        for id in unknown:
            what = f"operation '{id}' has no rule file{did_you_mean(id, found)}"
            problems.add(wait.place or Place("rules"), what)
        if not unknown:
            _add(wait, titles, added)
    expanded = {}
    for id, operation in found.items():
        extra = added[id]
        _check_ids(operation, extra, problems)
        evidence = {
            cited(name, wait, id): found[wait.declared].evidence[name]
            for wait in extra.waits
            for name in wait.evidence
            if name in found[wait.declared].evidence
        }
        expanded[id] = replace(
            operation,
            conflicts=(*operation.conflicts, *extra.conflicts),
            advice=(*operation.advice, *extra.advice),
            evidence={**operation.evidence, **evidence},
        )
    return expanded


def cited(evidence: str, wait: Wait, operation: str) -> str:
    """The name of a wait's evidence in an operation that it reaches."""
    return evidence if wait.declared == operation else f"{wait.declared}.{evidence}"


def _names(wait: Wait, operation: str) -> tuple[str, ...]:
    return tuple(cited(name, wait, operation) for name in wait.evidence)


def _add(wait: Wait, titles: Mapping[str, str], added: Mapping[str, _Added]) -> None:
    for blocked in wait.blocks:
        added[blocked].conflicts += _after(wait, blocked, titles)
        added[blocked].waits.append(wait)
    if not wait.ahead:
        return
    for first in wait.after:
        for blocked in wait.blocks:
            ahead = _ahead(wait, first, blocked, titles)
            added[first].conflicts.append(ahead)
            if wait.rather:
                added[blocked].conflicts.append(_rather(wait, first, blocked, titles))
            if wait.choice:
                told = _choice(wait, first, blocked, ahead.when, _ASKED_BEFORE)
                added[first].advice.append(told)
                wished = Leaf(f"wanted.{first}", "is", True)
                both = _if_known(wished, f"advice.choice_{wait.id}_{first}")
                told = _choice(wait, blocked, first, both, _ASKED_AFTER)
                added[blocked].advice.append(told)
        added[first].waits.append(wait)


def _after(wait: Wait, blocked: str, titles: Mapping[str, str]) -> Iterator[Conflict]:
    """The later job while the wait runs."""
    names = _names(wait, blocked)
    if wait.days is None:
        path = f"conflict.{wait.id}"
        left = Leaf(
            "seeding_wait_left",
            "at_least",
            1.0,
            says="{value} of the wait after the weed preventer are left",
            otherwise="no wait after a weed preventer is left",
            evidence=names,
            range=wait.range,
            path=path,
        )
        yield Conflict(wait.id, left, wait.says, wait.strength, names, wait.grasses, wait=wait.name)
        return
    for first in wait.after:
        id = wait.id if len(wait.after) == 1 else f"{wait.id}_{first}"
        since = Leaf(
            f"days_since.{first}",
            "under",
            wait.days,
            says=f"the last {titles[first]} was {{value}} ago; wanted {{limit}}",
            otherwise=f"the last {titles[first]} was {{value}} ago, long enough",
            evidence=names,
            range=wait.range,
        )
        when = _if_known(since, f"conflict.{id}")
        yield Conflict(id, when, wait.says, wait.strength, names, wait.grasses, wait=wait.name)


def _ahead(wait: Wait, first: str, blocked: str, titles: Mapping[str, str]) -> Conflict:
    """The first job while a later one is planned within the wait."""
    id = f"{wait.id}_{blocked}"
    path = f"conflict.{id}"
    names = _names(wait, first)
    planned = Leaf(
        f"wanted.{blocked}" if wait.rather else f"intended.{blocked}",
        "is",
        True,
        says=f"{titles[blocked]} is planned",
        otherwise=f"no {titles[blocked]} is planned",
    )
    if wait.days is None:
        reached: Leaf = Leaf(
            f"wait_reaches.{blocked}",
            "is",
            True,
            says=f"the wait after this preventer would reach into the season of {titles[blocked]}",
            otherwise=f"the wait after this preventer ends before {titles[blocked]}",
            evidence=names,
            range=wait.range,
            path=f"{path}.1",
        )
    else:
        reached = Leaf(
            f"days_to.{blocked}",
            "under",
            wait.days,
            says=f"the season of {titles[blocked]} is {{value}} away; wanted {{limit}}",
            otherwise=f"the season of {titles[blocked]} is {{value}} away, long enough",
            evidence=names,
            range=wait.range,
            path=f"{path}.1",
        )
    when = Group("all", (_if_known(planned, f"{path}.0"), reached))
    return Conflict(id, when, wait.ahead, wait.strength, names, wait=wait.name)


def _rather(wait: Wait, first: str, blocked: str, titles: Mapping[str, str]) -> Conflict:
    """The later job, not wished for, while the first is planned."""
    id = f"{wait.id}_or_{first}"
    path = f"conflict.{id}"
    planned = Leaf(f"intended.{first}", "is", True, says=f"{titles[first]} is planned")
    wished = Leaf(f"wanted.{blocked}", "is", True)
    when = Group(
        "all",
        (
            _if_known(planned, f"{path}.0"),
            Group("none", (_if_known(wished, f"{path}.1"),)),
        ),
    )
    # As a caution it would bind only once the keeper has said yes or no to the later job.
    return Conflict(id, when, wait.rather, wait.strength, _names(wait, blocked), wait=wait.name)


def _choice(
    wait: Wait, told_at: str, other: str, when: Condition, verdicts: frozenset[VerdictName]
) -> Advice:
    """What either way costs, said at one of the two jobs."""
    id = f"choice_{wait.id}_{other}"
    return Advice(
        id,
        wait.choice,
        verdicts,
        when=_moved(when, f"advice.{id}"),
        evidence=_names(wait, told_at),
        wait=wait.name,
        options=wait.options,
    )


def _if_known(leaf: Leaf, path: str) -> Group:
    """The leaf, which counts as false while its fact is unknown."""
    known = Leaf(leaf.fact, "known", True, path=f"{path}.known")
    return Group("all", (known, replace(leaf, path=f"{path}.is")))


def _moved(condition: Condition, path: str) -> Condition:
    """The tree with paths of its own, as two trees may not share them."""
    if isinstance(condition, Leaf):
        return replace(condition, path=path)
    parts = (_moved(part, f"{path}.{i}") for i, part in enumerate(condition.parts))
    return replace(condition, parts=tuple(parts))


def _check_ids(operation: Operation, extra: _Added, problems: Problems) -> None:
    seen = {c.id for c in operation.conflicts}
    for conflict in extra.conflicts:
        if conflict.id in seen:
            wait = next(w for w in extra.waits if w.name == conflict.wait)
            what = f"'{operation.id}' has a conflict '{conflict.id}' already; rename the wait"
            problems.add(wait.place or Place("rules"), what)
        seen.add(conflict.id)
