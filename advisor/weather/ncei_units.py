"""In which units an NCEI daily-summaries file is, which the file itself does not say.

The service writes one of three systems: *standard* (°F, inches, mph), *metric* (°C, mm, m/s), or,
when no units were asked for, *tenths* (tenths of °C, mm and m/s; snow depth in mm). A system is
ruled out only by values that cannot be true in it; if one remains, it is the answer.
"""

from __future__ import annotations

from typing import Literal, get_args

import numpy as np
from numpy.typing import NDArray

from advisor.base.problems import BadInput, Place
from advisor.weather.checks import ROUNDING_C, WARMEST_DAY_C
from advisor.weather.columns import COLUMNS
from advisor.weather.table import DAYS_OF_A_YEAR

NceiUnits = Literal["standard", "metric", "tenths"]

#: Element → (column, {system: (slope, intercept)}), canonical = slope × value + intercept.
ELEMENTS: dict[str, tuple[str, dict[NceiUnits, tuple[float, float]]]] = {
    "TMAX": ("air_max_c", {
        "standard": (5 / 9, -160 / 9), "metric": (1.0, 0.0), "tenths": (0.1, 0.0)}),
    "TMIN": ("air_min_c", {
        "standard": (5 / 9, -160 / 9), "metric": (1.0, 0.0), "tenths": (0.1, 0.0)}),
    "PRCP": ("rain_mm", {
        "standard": (25.4, 0.0), "metric": (1.0, 0.0), "tenths": (0.1, 0.0)}),
    "SNWD": ("snow_depth_mm", {
        "standard": (25.4, 0.0), "metric": (1.0, 0.0), "tenths": (1.0, 0.0)}),
    "AWND": ("wind_m_s", {
        "standard": (0.44704, 0.0), "metric": (1.0, 0.0), "tenths": (0.1, 0.0)}),
}  # fmt: skip

_SAYS = {
    "standard": "°F and inches",
    "metric": "°C and mm",
    "tenths": "tenths of °C and mm",
}


def find_units(
    values: dict[str, NDArray[np.float64]], place: Place, given: NceiUnits | None
) -> tuple[NceiUnits, str]:
    """The system and a note that says how it is known.

    values: element → numbers as written (rows,). Raises `BadInput` if more than one system is
    possible and none was given, if none is possible, or if the given one is not.
    """
    against = {system: _why_not(values, system) for system in get_args(NceiUnits)}
    if given is not None:
        if against[given]:
            possible = [s for s, why in against.items() if not why]
            hint = f"; try '{possible[0]}'" if len(possible) == 1 else ""
            what = f"units '{given}' ({_SAYS[given]}) cannot be right: {against[given]}{hint}"
            raise BadInput.at(place, what)
        return given, f"units '{given}' ({_SAYS[given]}) as set for this site"
    possible = [system for system, why in against.items() if not why]
    if len(possible) == 1:
        found = possible[0]
        reasons = "; ".join(f"not {_SAYS[s]}: {why}" for s, why in against.items() if why)
        return found, f"units found to be '{found}' ({_SAYS[found]}), since {reasons}"
    if not possible:
        reasons = "; ".join(f"not {_SAYS[s]}: {why}" for s, why in against.items())
        raise BadInput.at(place, f"the values fit no unit system of this format: {reasons}")
    options = " or ".join(f"'{system}' ({_SAYS[system]})" for system in possible)
    what = (
        f"the file does not say its units, and its values could be {options}; "
        "set weather_units for this site, or fetch at least one whole year"
    )
    raise BadInput.at(place, what)


def _why_not(values: dict[str, NDArray[np.float64]], system: NceiUnits) -> str:
    """Why the values cannot be in a system, or an empty string."""
    if system == "tenths":
        for element in ("TMAX", "TMIN", "PRCP"):
            numbers = values.get(element, np.empty(0))
            broken = numbers[np.isfinite(numbers) & (numbers != np.round(numbers))]
            if len(broken):
                return f"{element} {broken[0]:g} is not a whole number"
    for element in ("TMAX", "TMIN", "PRCP"):
        if element not in values:
            continue
        column, conversions = ELEMENTS[element]
        slope, intercept = conversions[system]
        numbers = values[element][np.isfinite(values[element])]
        canonical = numbers * slope + intercept
        limits = COLUMNS[column]
        beyond = numbers[
            (canonical < limits.low - ROUNDING_C) | (canonical > limits.high + ROUNDING_C)
        ]
        if len(beyond):
            return f"{element} {beyond[0]:g} is beyond the world record"
        if element == "TMAX" and len(numbers) >= DAYS_OF_A_YEAR:
            warmest = float(canonical.max())
            if warmest < WARMEST_DAY_C:
                return f"the warmest of {len(numbers):,} days would have {warmest:.0f} °C"
    return ""
