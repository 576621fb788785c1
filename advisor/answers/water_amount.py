"""How much water refills the root zone of an area, and how long its sprinklers take for it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from advisor.answers.amount import Amount
from advisor.answers.amounts import say_time
from advisor.base.units import System, convert, show
from advisor.facts.fact import Value
from advisor.site.record import Site

DEFICIT = "water_deficit"


def sprinkler_rates(site: Site, areas: Iterable[str]) -> tuple[float, ...]:
    """What the sprinklers of these areas (none: the whole lawn) put down, mm/h, slowest first."""
    wanted = frozenset(areas)
    found = {
        zone.precipitation_rate
        for zone in site.water.zones
        if zone.precipitation_rate and (not wanted or not zone.areas or wanted & set(zone.areas))
    }
    return tuple(sorted(found))


def water_amount(
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
    return Amount("water", volume, volume, unit, text, steps, ("balance_own",))
