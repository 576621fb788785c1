"""How much topdressing: depth times area, its weight, and how often the barrow goes."""

from __future__ import annotations

import math

from advisor.amounts.amount import Amount
from advisor.amounts.say import area, bulk
from advisor.base.units import System, convert, show
from advisor.rulebook.supply_numbers import SupplyNumbers
from advisor.site.supplies import Topdressing

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
    loads = math.ceil(litres / numbers["barrow"] - 1e-9)
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
