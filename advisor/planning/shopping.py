"""What to get for the work of a season: which jobs belong on the list, and what each takes."""

from __future__ import annotations

from collections.abc import Sequence

from advisor.advice.book import Advice
from advisor.advice.item import Item
from advisor.amounts.compose import Amounts, amounts_of
from advisor.base.problems import BadInput, Place, did_you_mean
from advisor.base.record import Record

SEASON_DAYS = 92
"""How far ahead a season may open and its work still be on the list (chosen)."""


class Shopping(Record, frozen=True):
    """items: the jobs of the list, each with its amounts, in working order. without: what was asked
    for by name and is not to be done."""

    advice: Advice
    items: tuple[Item, ...]
    amounts: Amounts
    without: tuple[Item, ...] = ()


def compose_shopping(advice: Advice, only: Sequence[str] = ()) -> Shopping:
    """The list for all work of the coming season, or for these operations.

    Raises `BadInput` for an operation (asked for, or with a quote) that has no rule file.
    """
    case = advice.case
    for id in only:
        if id not in case.book.operations:
            near = did_you_mean(id, case.book.operations)
            raise BadInput.at(Place("--only"), f"'{id}' is no operation{near}")
    for quote in case.site.supplies.quotes:
        if quote.operation not in case.book.operations:
            near = did_you_mean(quote.operation, case.book.operations)
            what = f"supplies.quotes: '{quote.operation}' is no operation{near}"
            raise BadInput.at(case.place("site.yaml"), what)
    if only:
        named = [item for item in advice.items() if item.operation.id in only]
        chosen = [item for item in named if not _is_off(item)]
        return shopping_for(advice, chosen, [item for item in named if _is_off(item)], every=True)
    wanted = [i for i in advice.taken_up() if i.near(SEASON_DAYS) and i.verdict != "missed"]
    return shopping_for(advice, wanted)


def shopping_for(
    advice: Advice, items: Sequence[Item], without: Sequence[Item] = (), *, every: bool = False
) -> Shopping:
    """The list for chosen jobs. every: keep those that may not be needed and take nothing."""
    rank = advice.case.book.working_rank
    ordered = sorted(items, key=lambda item: rank[item.operation.id])
    jobs = [(item, advice.reckoned(item)) for item in ordered]
    shown = [(item, job) for item, job in jobs if every or job.worth_a_place]
    return Shopping(
        advice=advice,
        items=tuple(item for item, _ in shown),
        amounts=amounts_of(advice.case, [job for _, job in jobs], [job for _, job in shown]),
        without=tuple(without),
    )


def _is_off(item: Item) -> bool:
    return item.off or item.verdict == "missed"
