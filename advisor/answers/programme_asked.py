"""A question about a whole programme, such as `how far are we with the renovation`."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING

from advisor.answers.question_text import Names, plain, tokenise

if TYPE_CHECKING:
    from advisor.rulebook.programme import Programme


def programmes_asked(
    question: str, programmes: Mapping[str, Programme], jobs: Mapping[str, Iterable[str]]
) -> frozenset[str]:
    """The ids of the programmes that it names; none where it names a job beside them as well.

    jobs: the everyday names of each operation, by id.
    """
    tokens = tokenise(plain(question))
    table = {id: each.asked_as for id, each in programmes.items() if each.asked_as}
    named = Names(table).find(tokens)
    if not named:
        return frozenset()
    beside = (
        job
        for job in Names(jobs).find(tokens)
        if not any(job.start < each.end and each.start < job.end for each in named)
    )
    if any(beside):
        return frozenset()
    return frozenset().union(*(each.ids for each in named))
