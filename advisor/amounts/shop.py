"""Wishes put together into things to buy: whole bags, what is left, what it costs."""

from __future__ import annotations

from collections.abc import Iterable

from advisor.amounts.amount import Wish, bagged, bulk, mass, money
from advisor.amounts.bags import Bags, bags_for, lifting_note
from advisor.base.record import Record
from advisor.base.units import System


class Buy(Record, frozen=True):
    """One thing to get. needed: kg or L. bags: None where the size of a bag is not known.

    warnings: what the label says, and heavy bags. notes: what is left over, and how it keeps.
    """

    product: str
    jobs: tuple[str, ...]
    needed: float
    dimension: str
    bags: Bags | None
    sure: bool
    says: str
    steps: tuple[str, ...]
    warnings: tuple[str, ...]
    notes: tuple[str, ...]
    safety: tuple[str, ...]

    @property
    def cost(self) -> float | None:
        return self.bags.cost if self.bags is not None else None


def to_buy(wishes: Iterable[Wish], units: System, code: str) -> tuple[Buy, ...]:
    """Everything to get, those of one kind together; what is only perhaps needed by itself.

    code: of the money that prices are in.
    """
    groups: dict[tuple[object, ...], list[Wish]] = {}
    for wish in wishes:
        key = (wish.product, wish.bag, wish.price, wish.loose, wish.sure)
        groups.setdefault(key, []).append(wish)
    return tuple(_buy(group, units, code) for group in groups.values())


def _buy(group: list[Wish], units: System, code: str) -> Buy:
    first = group[0]
    needed = sum(wish.needed for wish in group)
    steps = []
    if len(group) > 1:
        added = " + ".join(_size(wish.needed, first, units) for wish in group)
        steps.append(f"{added} = {_size(needed, first, units)}")
    warnings, notes = list(first.label), []
    product = first.product[0].upper() + first.product[1:]
    if first.bag is None:
        bags = None
        says = f"{product}: {_size(needed, first, units)}"
        notes.append("round up to the bag that the shop sells")
    else:
        bags = bags_for(needed, first.bag, first.price, _LOOSE_SLACK if first.loose else 0.0)
        each = _size(first.bag, first, units)
        steps.append(
            f"{_size(needed, first, units)} ÷ {each} = {needed / first.bag:.2f}, "
            f"{'taken as' if bags.count < needed / first.bag else 'rounded up to'} {bags.count}"
        )
        if first.loose:
            says = f"{product}: {_size(bags.count * first.bag, first, units)}, loose"
        else:
            says = f"{product}: {bags.count} {'bag' if bags.count == 1 else 'bags'} of {each}"
        if bags.cost is not None:
            says += f", {money(bags.cost, code)}"
        if bags.left / first.bag > _LEFT_WORTH and not first.loose:
            keeps = f"; {first.keeps}" if first.keeps else ""
            notes.append(f"{_size(bags.left, first, units)} left over{keeps}")
        heavy = lifting_note(first.bag, units) if first.dimension == "kg" else ""
        warnings += [heavy] if heavy else []
    return Buy(
        product=first.product,
        jobs=tuple(dict.fromkeys(wish.job for wish in group)),
        needed=needed,
        dimension=first.dimension,
        bags=bags,
        sure=first.sure,
        says=says,
        steps=tuple(steps),
        warnings=tuple(warnings),
        notes=tuple(notes),
        safety=tuple(dict.fromkeys(id for wish in group for id in wish.safety if id in SPOKEN)),
    )


_LEFT_WORTH = 0.02
"""Less of a bag than this is not worth a word."""
_LOOSE_SLACK = 0.03
"""A layer is no more exact than this (chosen)."""
SPOKEN = frozenset(
    {"fertiliser", "lifting", "lime_dust", "silica_dust", "hearing_dust", "treated_seed"}
)
"""Cautions that belong to what is bought and carried; the others belong to the work."""


def _size(value: float, wish: Wish, units: System) -> str:
    if wish.dimension == "kg":
        return mass(value, units)
    return bagged(value, units) if wish.bag and not wish.loose else bulk(value, units)
