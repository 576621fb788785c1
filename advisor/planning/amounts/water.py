"""How much water new seed takes until it is up, if no rain helps."""

from __future__ import annotations

from advisor.base.units import System, convert, show
from advisor.planning.amounts.line import Line
from advisor.planning.amounts.say import area
from advisor.rulebook.supplies import SupplyNumbers


def seed_water_line(area_m2: float, numbers: SupplyNumbers, units: System) -> Line:
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
    return Line("water", low, high, unit, text, steps, (), behind)


def _round(value: float) -> float:
    """Two figures: the days and the sun are not known better."""
    step = 10.0 ** max(len(f"{value:.0f}") - 2, 0)
    return float(round(value / step) * step)
