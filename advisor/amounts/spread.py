"""What is spread or watered: lime, topdressing, water; and what holds a dose down."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from advisor.amounts.amount import (
    Amount,
    area,
    bulk,
    mass,
    mass_unit,
    number,
    percent,
    rate,
    say_time,
)
from advisor.base.units import System, convert, show, whole_up
from advisor.facts.fact import Fact, Value
from advisor.records.record import Site
from advisor.records.sections import LimeBag, Topdressing
from advisor.rulebook.effort import Spreads, SupplyNumbers
from advisor.rulebook.law import LawRule
from advisor.rulebook.model import Grass, Operation


def product_weight(nitrogen: float, first_number: float) -> float:
    """Weight of a fertiliser that holds so much nitrogen; its first number is in per cent.

    Nebraska Extension, *Lawn fertilizer calculations*: 1 lb / 0.28 = 3.57 lb of a 28-3-6.
    """
    return nitrogen / (first_number / 100)


def liming_material(recommended: float, equivalent: float) -> float:
    """Weight of a lime with this calcium carbonate equivalent, per cent, for a recommendation.

    Penn State Agricultural Analytical Services Laboratory, *Home lawn*: 75 x 100 / 80 = 94 lb.
    """
    return recommended * 100 / equivalent


def dose_caps(
    spread: Spreads, grass: Grass, facts: Mapping[str, Fact], laws: Iterable[LawRule]
) -> dict[str, float]:
    """What holds a dose down, each with its g/m²; empty where no amount may be told."""
    caps = {"the most at a time": spread.most}
    if spread.what == "nitrogen":
        return caps | _nitrogen_caps(grass, facts, laws)
    left = _number(facts, "lime_left")
    return caps | {"what the laboratory asks for and was not spread": left} if left else {}


def _nitrogen_caps(
    grass: Grass, facts: Mapping[str, Fact], laws: Iterable[LawRule]
) -> dict[str, float]:
    """What holds a dose down: what is left for the grass, and the law."""
    caps: dict[str, float] = {}
    half, fed = facts["feeding_half"].value, _number(facts, "nitrogen_fed")
    budget = grass.limits.get(f"nitrogen_{str(half).removeprefix('to_')}")
    if budget is not None and fed is not None:
        caps["what is left for this half of the year"] = budget.value - fed
    for rule in laws:
        if rule.most is None or rule.soluble:
            continue
        if rule.per == "dose":
            caps["the most that the law here allows at a time"] = rule.most
        elif fed is not None:
            caps["what the law here leaves of the year"] = rule.most - fed
    return caps


def _number(facts: Mapping[str, Fact], name: str) -> float | None:
    value = facts[name].value if name in facts else None
    return value if isinstance(value, float) else None


def lime_line(
    operation: Operation,
    grass: Grass,
    bag: LimeBag | None,
    area_m2: float,
    facts: Mapping[str, Fact],
    units: System,
) -> tuple[Amount, float] | None:
    """The line, and the kg to buy for this go; None without a laboratory's amount."""
    spread = operation.spreads
    if spread is None or spread.what != "lime":
        return None
    caps = dose_caps(spread, grass, facts, ())
    if not caps:
        return None
    asked = facts["lime_left"].value
    assert isinstance(asked, float)
    dose = min(caps.values())
    goes = whole_up(asked / dose)
    pure = dose * area_m2 / 1000
    equivalent = bag.equivalent if bag is not None else None
    product = pure if equivalent is None else liming_material(pure, equivalent * 100)
    unit = mass_unit(units)
    shown = convert(product, "kg", unit)
    steps = [
        f"the laboratory asks for {rate(asked, units)} of pure lime, as far as not spread yet",
        f"at most {rate(spread.most, units)} at a time: {goes} "
        f"{'goes, one to six months apart' if goes > 1 else 'go'}",
        f"this go: {rate(dose, units)} on {area(area_m2, units)}: {mass(pure, units)} of pure lime",
    ]
    notes = []
    if equivalent is None:
        notes.append("multiply by 100 and divide by the calcium carbonate equivalent of the bag")
    else:
        steps.append(
            f"{mass(pure, units)} × 100 ÷ {100 * equivalent:g} (the bag's calcium carbonate "
            f"equivalent, {percent(equivalent)}) = {mass(product, units)}"
        )
    behind = tuple(operation.evidence[id] for id in spread.evidence if id in operation.evidence)
    says = f"{number(shown)} {unit} of {'lime of your bag' if equivalent else 'pure lime'}"
    if goes > 1:
        says += f", the first of {goes} goes"
    line = Amount(
        "lime", shown, shown, unit, says, "label" if equivalent else "general",
        min(caps, key=lambda name: caps[name]), tuple(steps), tuple(notes), behind,
    )  # fmt: skip
    return line, product


OPERATION = "topdressing"


def topdressing_litres(depth_mm: float, area_m2: float) -> float:
    """1 mm on 1 m² is one litre."""
    return depth_mm * area_m2


def _exact(depth_mm: float, units: System) -> str:
    """A depth with the digits that the sum needs: `0.25 in`, `6.35 mm`."""
    return show(depth_mm, "mm", units) if units == "us" else f"{depth_mm:.3g} mm"


def topdressing_line(
    given: Topdressing | None, area_m2: float, numbers: SupplyNumbers, units: System
) -> tuple[Amount, float]:
    """The line, and the litres to buy."""
    depth = numbers["layer"]
    litres = topdressing_litres(depth, area_m2)
    kinds = [given.material] if given is not None and given.material else ["compost", "sand"]
    weights = [numbers[f"weight_{kind}"] * litres / 1000 for kind in kinds]
    loads = whole_up(litres / numbers["barrow"])
    unit = "yd3" if units == "us" else "m3"
    shown = convert(litres, "L", unit)
    heavy = " to ".join(f"{kg / 1000:.1f}" for kg in sorted(weights))
    name = kinds[0] if len(kinds) == 1 else "soil, compost or sand"
    steps = (
        f"{_exact(depth, units)} × {area(area_m2, units)} = {bulk(litres, units)}",
        f"about {heavy} t, moist ({' or '.join(kinds)}); {loads} barrow loads of "
        f"{'3 ft³' if units == 'us' else '85 L'}",
    )
    most = show(numbers["layer_most"], "mm", units)
    notes = (
        f"{show(depth, 'mm', units)} is one thin layer; at most {most} at a time, and never over "
        "the leaf tips",
    )
    behind = numbers.evidence("layer", "layer_most", "barrow", "weight_soil")
    says = f"{bulk(litres, units)} of {name}, {loads} barrow loads"
    return Amount(
        "topdressing", shown, shown, unit, says, steps=steps, notes=notes, evidence=behind
    ), litres


DEFICIT = "water_deficit"


def seed_water_line(area_m2: float, numbers: SupplyNumbers, units: System) -> Amount:
    """First soaking, then what a bare wet surface loses, for two to three weeks.

    1 mm on 1 m² is one litre.
    """
    soak = numbers["soak"]
    daily = numbers["surface_low"], numbers["surface_high"]
    days = round(numbers["wet_days_low"]), round(numbers["wet_days_high"])
    depths = [soak + each * count for each, count in zip(daily, days, strict=True)]
    unit = "gal" if units == "us" else "L"
    low, high = (convert(depth * area_m2, "L", unit) for depth in depths)
    steps = (
        f"first soaking {show(soak, 'mm', units)}, in turns where it would run off",
        f"then {show(daily[0], 'mm', units)} to {show(daily[1], 'mm', units)} a day, in two or "
        f"three short turns, for {days[0]} to {days[1]} days",
        f"altogether {show(depths[0], 'mm', units)} to {show(depths[1], 'mm', units)} on "
        f"{area(area_m2, units)}",
    )
    text = (
        f"{_round(low):,.0f} to {_round(high):,.0f} {unit} of water until it is up, less the rain"
    )
    behind = numbers.evidence("soak", "surface_low", "wet_days_low")
    return Amount("seed_water", low, high, unit, text, steps=steps, evidence=behind)


def _round(value: float) -> float:
    """Two figures: the days and the sun are not known better."""
    step = 10.0 ** max(len(f"{value:.0f}") - 2, 0)
    return float(round(value / step) * step)


def sprinkler_rates(site: Site, areas: Iterable[str]) -> tuple[float, ...]:
    """What the sprinklers of these areas (none: the whole lawn) put down, mm/h, slowest first."""
    wanted = frozenset(areas)
    found = {
        zone.precipitation_rate
        for zone in site.water.zones
        if zone.precipitation_rate and (not wanted or not zone.areas or wanted & set(zone.areas))
    }
    return tuple(sorted(found))


def refill_amount(
    values: Mapping[str, Value | None], area_m2: float, units: System, rates: tuple[float, ...]
) -> Amount | None:
    """The water that the root zone lacks, where an operation reads it and it is known.

    1 mm on 1 m² is 1 litre. rates: mm/h of the sprinklers; their minutes are depth ÷ rate × 60.
    """
    deficit = values.get(DEFICIT)
    if not isinstance(deficit, float) or deficit <= 0:
        return None
    unit = "gal" if units == "us" else "L"
    volume = convert(deficit * area_m2, "L", unit)
    depth = show(deficit, "mm", units)
    text = f"{depth} of water, about {volume:,.0f} {unit}"
    if rates:
        longest, shortest = (deficit / rate * 60 for rate in (rates[0], rates[-1]))
        times = dict.fromkeys((say_time(shortest), say_time(longest)))
        text += f", {' to '.join(times)} of your sprinklers"
    steps = f"what the root zone lacks by the water balance × {show(area_m2, 'm2', units)}"
    return Amount("water", volume, volume, unit, text, steps=(steps,))
