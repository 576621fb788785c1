"""Fields of the site file that are written with a unit and kept as canonical floats."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import BeforeValidator

from advisor.base.units import UnitError, parse_quantity, show
from advisor.records.ranges import say_range


def quantity(unit: str, lowest: float, highest: float) -> BeforeValidator:
    """A validator that reads text such as `320 m` into the canonical `unit`.

    `lowest` and `highest` only catch slips of the pen (a wrong unit, a digit too many); they say
    nothing about turf. Refusals are `ValueError`, so that they become a problem with a place.
    """

    def read(given: Any) -> float:
        if isinstance(given, (dict, list)):
            kind = "mapping" if isinstance(given, dict) else "list"
            raise UnitError(f"wanted one quantity such as '{show(highest, unit)}'; found a {kind}")
        value = parse_quantity(given, unit)
        if not lowest <= value <= highest:
            wanted = say_range(unit, lowest, highest)
            raise ValueError(f"'{given}' is not plausible; wanted {wanted}")
        return value

    return BeforeValidator(read)


Metres = Annotated[float, quantity("m", -430, 5000)]
SquareMetres = Annotated[float, quantity("m2", 1, 1e6)]
Share = Annotated[float, quantity("share", 0.01, 1)]
MillimetresPerHour = Annotated[float, quantity("mm/h", 1, 150)]
Millimetres = Annotated[float, quantity("mm", 50, 5000)]
Hours = Annotated[float, quantity("h", 0.5, 24)]
# On a seed label every share may be nil; a liming material can be stronger than pure lime.
LabelShare = Annotated[float, quantity("share", 0, 1)]
Equivalent = Annotated[float, quantity("share", 0.1, 1.8)]
Kilograms = Annotated[float, quantity("kg", 0.05, 2000)]
Litres = Annotated[float, quantity("L", 1, 50000)]
