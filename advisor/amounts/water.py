"""How much water: what new seed takes until it is up, and what refills the root zone."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from advisor.amounts.amount import Amount, area, say_time
from advisor.base.units import System, convert, show
from advisor.facts.fact import Value
from advisor.records.record import Site
from advisor.rulebook.effort import SupplyNumbers

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
