"""Keeping the head of a digest short: what may give way, and in which order."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from advisor.base.record import replace
from advisor.digest.view import Digest

HEAD_WORDS = 350
_REDUCTIONS: tuple[Callable[[Digest], Digest], ...] = (
    lambda d: replace(d, leave=""),
    lambda d: replace(d, strip=d.strip[:1]),
    lambda d: replace(d, held=d.held[:3]),
    lambda d: replace(d, in_season=d.in_season[:3]),
    lambda d: replace(d, coming=d.coming[:2]),
    lambda d: replace(d, held=d.held[:1]),
    lambda d: replace(d, coming=d.coming[:1]),
    lambda d: replace(d, water=d.water[:1]),
    lambda d: replace(d, coming=()),
    lambda d: replace(d, held=()),
    lambda d: _without_seasons(d),
    lambda d: replace(d, dated=d.dated[:2]),
    lambda d: replace(d, finding=d.finding and replace(d.finding, how=_start(d.finding.how))),
    lambda d: replace(d, dated=d.dated[:1]),
    lambda d: replace(d, finding=None),
    lambda d: replace(d, changed=tuple(map(_bare, d.changed)), changed_why=d.changed),
    lambda d: _without_routine(d),
    lambda d: replace(d, water=()),
    lambda d: replace(d, dated=()),
    lambda d: replace(d, tasks=tuple(replace(t, why=t.why[:1]) for t in d.tasks)),
    lambda d: replace(d, tasks=tuple(replace(t, brief=True) for t in d.tasks)),
    lambda d: replace(d, strip=()),
    lambda d: _fewer_tasks(d),
)
"""First what a reader can do without this week. Cautions of what is told, and that a verdict
changed, never give way; the reason of a change may move below the line."""


def fitted(digest: Digest, count: Callable[[Digest], int]) -> Digest:
    """The digest with as many reductions as its head needs, and no more.

    count: the words of a digest's head, as it will be shown.
    """
    reduced = digest
    for reduced in reductions(digest):
        if count(reduced) <= HEAD_WORDS:
            break
    return reduced


def reductions(digest: Digest) -> Iterator[Digest]:
    """The digest as it is, then with one reduction, with two, and so on."""
    yield digest
    for reduce in _REDUCTIONS:
        digest = reduce(digest)
        yield digest


def _start(text: str) -> str:
    """The first sentence."""
    return text.split(". ")[0].rstrip(".") + "."


def _bare(change: str) -> str:
    """A change without its reason in brackets."""
    return change.split(" (")[0].rstrip(".") + "."


def _without_seasons(digest: Digest) -> Digest:
    """Open seasons left out beside season's work; else they are what the digest is about."""
    if all(task.routine for task in digest.tasks):
        return digest
    return replace(digest, in_season=(), in_season_mind=())


def _without_routine(digest: Digest) -> Digest:
    """Routine named in a line instead of told, where there is other work to tell of."""
    kept = tuple(task for task in digest.tasks if not task.routine)
    if not kept or len(kept) == len(digest.tasks):
        return digest
    names = ", ".join(task.title.lower() for task in digest.tasks if task.routine)
    return replace(digest, tasks=kept, then=f"{digest.then} Besides: {names}.".strip())


def _fewer_tasks(digest: Digest) -> Digest:
    """The last task named in a line instead of told."""
    if len(digest.tasks) < 2:
        return digest
    *kept, last = digest.tasks
    named = f"Then: {last.title.lower()}{f' ({last.when})' if last.when else ''}."
    return replace(digest, tasks=tuple(kept), then=f"{named} {digest.then}".strip())
