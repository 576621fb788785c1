"""How much seed: pure live seed from the label, a mixture by its shares, a little for waste.

And what its label says that should be heard before paying.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping

from advisor.amounts.amount import Amount, area, mass, mass_unit, number, percent
from advisor.amounts.amount import rates as spread_of
from advisor.base.record import Record
from advisor.base.units import System, convert
from advisor.records.sections import SeedBag
from advisor.rulebook.effort import SupplyNumbers
from advisor.rulebook.model import Grass, Operation

_DAYS_A_MONTH = 30.4


def label_notes(
    bag: SeedBag, grasses: Mapping[str, Grass], numbers: SupplyNumbers, on: dt.date
) -> Iterator[str]:
    """A sentence for each thing on the label that is worse than it should be, or missing."""
    for key, limit, said in (
        ("weed_seed", "weed_seed_most", "weed seed"),
        ("other_crop", "other_crop_most", "seed of other crops"),
        ("inert", "inert_most", "inert matter"),
    ):
        share = getattr(bag, key)
        if share is not None and share > numbers[limit]:
            more = "; coated seed weighs so, sow by the live share" if key == "inert" else ""
            yield (
                f"{percent(share)} {said}: a good label stays under {percent(numbers[limit])}{more}"
            )
    missing = [said for key, said in _ASKED.items() if getattr(bag, key) is None]
    if missing:
        yield f"read {', '.join(missing)} off the label too; a bag without it is not to be trusted"
    for part in bag_parts(bag):
        if part.germination < numbers["germination_least"]:
            title = grasses[part.grass].title if part.grass in grasses else part.grass
            yield (
                f"{title} sprouts at {percent(part.germination)}; "
                f"{percent(numbers['germination_least'])} and more is good seed"
            )
    yield from _old_test(bag, grasses, numbers, on)


_ASKED = {"weed_seed": "weed seed", "other_crop": "other crop", "inert": "inert matter"}


def germination_counts_to(
    tested: dt.date, season_types: Iterator[str] | list[str], numbers: SupplyNumbers
) -> dt.date:
    """Until when a germination test counts, from the end of its month.

    Kentucky: 15 months for cool-season grasses, 9 for others; the shortest in the bag decides.
    """
    kinds = set(season_types)
    days = numbers["test_days_cool" if kinds <= {"cool"} else "test_days_warm"]
    months = round(days / _DAYS_A_MONTH)
    year, month = divmod(tested.year * 12 + tested.month + months, 12)
    return dt.date(year, month + 1, 1) - dt.timedelta(days=1)


def _old_test(
    bag: SeedBag, grasses: Mapping[str, Grass], numbers: SupplyNumbers, on: dt.date
) -> Iterator[str]:
    if bag.tested is None:
        yield "look for the date of the germination test; an old test says little"
        return
    kinds = [str(grasses[g].traits["season_type"]) for g in bag.grasses if g in grasses]
    until = germination_counts_to(bag.tested, kinds, numbers)
    if on > until:
        yield (
            f"its germination test of {bag.tested:%B %Y} has run out (it counts to "
            f"{until:%B %Y}): test a hundred seeds on damp paper, or leave it in the shop"
        )


PURPOSE = {"new": "a new lawn", "over": "overseeding"}


def pure_live_seed(purity: float, germination: float) -> float:
    """Share of the weight in the bag that is seed of the grass and will sprout.

    Penn State, *Calculating the price of pure live seed*: 92 % x 80 % = 74 %.
    """
    return purity * germination


def bag_rate(parts: Iterable[tuple[float, float]]) -> float:
    """Rate of what is in the bag, from (pure live share, rate wanted of that grass alone).

    One grass: rate / share. In a mixture each grass fills as much of the area as its live seed
    would by itself, so the parts of the area add up to one (our own arithmetic).
    Raises `ValueError` if nothing in the bag lives.
    """
    filled = sum(live / wanted for live, wanted in parts)
    if filled <= 0:
        raise ValueError("nothing in the bag will sprout")
    return 1 / filled


class Rates(Record, frozen=True):
    """Seed rates of a grass for a purpose, g/m² of live seed."""

    low: float
    high: float


def rates_of(grass: Grass, purpose: str) -> Rates | None:
    """The rates that the grass file prints; None where it has none."""
    low, high = (grass.limits.get(f"seed_rate_{purpose}_{end}") for end in ("low", "high"))
    return None if low is None or high is None else Rates(low.value, high.value)


class Labelled(Record, frozen=True):
    """One grass of a bag as its label has it; shares from 0 to 1."""

    grass: str
    purity: float
    germination: float


def bag_parts(bag: SeedBag) -> tuple[Labelled, ...]:
    """The grasses of a bag with what the label says of each; none where it says too little."""
    if bag.parts:
        return tuple(Labelled(p.grass, p.purity, p.germination) for p in bag.parts)
    if bag.grass is None or bag.purity is None or bag.germination is None:
        return ()
    return (Labelled(bag.grass, bag.purity, bag.germination),)


def seed_line(
    operation: Operation,
    grass: Grass,
    grasses: Mapping[str, Grass],
    bag: SeedBag | None,
    area_m2: float,
    numbers: SupplyNumbers,
    units: System,
) -> tuple[Amount, float] | None:
    """The line, and the kg to buy; None for a job that sows nothing, or a grass without rates."""
    purpose = operation.seed_rate
    if purpose is None:
        return None
    own = rates_of(grass, purpose)
    if own is None:
        return None
    parts = bag_parts(bag) if bag is not None else ()
    rated = [(p, rates_of(grasses[p.grass], purpose)) for p in parts if p.grass in grasses]
    known = [(p, r) for p, r in rated if r is not None]
    if known:
        ends = [
            bag_rate((pure_live_seed(p.purity, p.germination), getattr(r, end)) for p, r in known)
            for end in ("low", "high")
        ]
    else:
        ends = [own.low, own.high]
    waste = numbers["seed_waste"]
    low, high = (end * area_m2 / 1000 for end in ends)
    buy = high * (1 + waste)
    unit = mass_unit(units)
    shown = [convert(kg, "kg", unit) for kg in (low, high)]
    what = " and ".join(grasses[p.grass].title for p, _ in known) or grass.title
    of_bag = f"{spread_of(ends[0], ends[1], units)} " if known else ""
    steps = [
        *_rate_steps(known, own, grass, grasses, purpose, units),
        f"{of_bag}on {area(area_m2, units)}: {number(shown[0])} to {number(shown[1])} {unit}",
        f"to buy: the upper amount and {percent(waste)} more for edges and spills, "
        f"{mass(buy, units)}",
    ]
    notes = () if known else ("divide by purity × germination of the label before buying",)
    limits = (grass.limits[f"seed_rate_{purpose}_low"], grass.limits[f"seed_rate_{purpose}_high"])
    ids = dict.fromkeys(id for limit in limits for id in limit.evidence)
    line = Amount(
        name="seed",
        low=shown[0],
        high=shown[1],
        unit=unit,
        says=f"{number(shown[0])} to {number(shown[1])} {unit} of {what} seed",
        basis="label" if known else "general",
        steps=tuple(steps),
        notes=notes,
        evidence=(
            *(grass.evidence[id] for id in ids if id in grass.evidence),
            *numbers.evidence("seed_waste"),
        ),
    )
    return line, buy


def _rate_steps(
    known: list[tuple[Labelled, Rates]],
    own: Rates,
    grass: Grass,
    grasses: Mapping[str, Grass],
    purpose: str,
    units: System,
) -> Iterator[str]:
    if not known:
        yield _wanted_rate(grass, own, purpose, units)
        return
    for part, rates in known:
        title = grasses[part.grass].title
        live = pure_live_seed(part.purity, part.germination)
        yield _wanted_rate(grasses[part.grass], rates, purpose, units)
        yield (
            f"{title} on the label: {percent(part.purity)} pure × "
            f"{percent(part.germination)} germination = {percent(live)} pure live seed"
        )
        if len(known) == 1:
            found = spread_of(rates.low / live, rates.high / live, units)
            yield f"the rate ÷ {live:.3f}: {found} of what is in the bag"
    if len(known) > 1:
        yield "1 ÷ (live share ÷ rate, added up over the grasses) is the rate of the mixture"


def _wanted_rate(grass: Grass, rates: Rates, purpose: str, units: System) -> str:
    wanted = spread_of(rates.low, rates.high, units)
    return f"{grass.title}, {PURPOSE[purpose]}: {wanted} of seed that sprouts"
