"""How much lime: what the laboratory asks for, the bag's equivalent, and in how many goes."""

from __future__ import annotations

import math
from collections.abc import Mapping

from advisor.amounts.amount import Amount
from advisor.amounts.doses import dose_caps, liming_material
from advisor.amounts.say import area, mass, mass_unit, number, percent, rate
from advisor.base.units import System, convert
from advisor.facts.fact import Fact
from advisor.rulebook.model import Grass, Operation
from advisor.site.supplies import LimeBag


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
    goes = math.ceil(asked / dose - 1e-9)
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
