"""What cans or the water meter say of a zone, in words, and the lines to note in site.yaml."""

from __future__ import annotations

import json
from collections.abc import Sequence

from advisor.base.problems import BadInput, Place
from advisor.base.units import System, UnitError, convert, parse_quantity, show
from advisor.planning.irrigation_audit import (
    FEW_IN_GROUND,
    FEW_MOVED,
    MANY_IN_GROUND,
    MANY_MOVED,
    Audit,
    audit,
    depth_from_volume,
    multiplier,
    rate_from_flow,
)

POOR = 0.5
"""Under this share the driest quarter gets half the mean or less: mend before watering (chosen)."""


def cans_text(catches: Sequence[str], minutes: float, size: str | None) -> str:
    """Rate and evenness. Raises `BadInput`."""
    found, units = _audit(catches, minutes, size)
    lines = [
        f"Rate {_both(found.rate, units)}; the lowest quarter gets {found.uniformity:.0%} of "
        "the mean.",
        f"So run it {60 * multiplier(found.uniformity):.0f} minutes where even sprinklers would "
        "take an hour.",
    ]
    if found.uniformity < POOR:
        lines.append("That is uneven: look for clogged, tilted or blocked heads, then try again.")
    if found.error_within_quarter != "sure":
        lines.append(
            f"{found.cans} cans: for a rate within 25 % (nine tests in ten) fixed sprinklers took "
            f"{FEW_IN_GROUND} to {MANY_IN_GROUND} cans, one moved by hand "
            f"{FEW_MOVED} to over {MANY_MOVED}."
        )
    lines.append(_note(found.rate, found.uniformity, units))
    return "\n".join(lines) + "\n"


def cans_json(catches: Sequence[str], minutes: float, size: str | None) -> str:
    """The same for other programs; mm/h and a share."""
    found, _ = _audit(catches, minutes, size)
    told = {
        "format": 1,
        "cans": found.cans,
        "precipitation_rate_mm_h": round(found.rate, 3),
        "uniformity": round(found.uniformity, 3),
        "run_time_multiplier": round(multiplier(found.uniformity), 3),
        "within_25_percent": found.error_within_quarter,
    }
    return json.dumps(told, indent=2) + "\n"


def flow_text(flow: str, area: str) -> str:
    """Rate from gallons or litres a minute on an area. Raises `BadInput`."""
    litres, on = _quantity(flow, "L", "--per-minute"), _quantity(area, "m2", "--area")
    units: System = "metric" if area.rstrip().endswith(("m2", "m²", "m")) else "us"
    try:
        rate = rate_from_flow(litres, on)
    except ValueError as error:
        raise BadInput.at(Place("the flow"), str(error)) from None
    return (
        f"Rate {_both(rate, units)}, if all of it falls on the lawn.\n{_note(rate, None, units)}\n"
    )


def _audit(catches: Sequence[str], minutes: float, size: str | None) -> tuple[Audit, System]:
    """Depths, or volumes where the can's diameter is given."""
    if size is None:
        depths = [_quantity(c, "mm", "the catches") for c in catches]
    else:
        across = _quantity(size, "mm", "--size")
        depths = [_volume(c, across) for c in catches]
    us = catches[0].rstrip().endswith(("in", '"', "gal"))
    try:
        return audit(depths, minutes), "us" if us else "metric"
    except ValueError as error:
        raise BadInput.at(Place("the catches"), str(error)) from None


def _volume(text: str, across_mm: float) -> float:
    plain = text.strip().lower()
    # A measuring cylinder reads in millilitres, which no other quantity of the program needs.
    litres = plain.removesuffix("ml").strip() + " L" if plain.endswith("ml") else text
    factor = 1e-3 if plain.endswith("ml") else 1.0
    try:
        return depth_from_volume(factor * _quantity(litres, "L", "the catches"), across_mm)
    except ValueError as error:
        raise BadInput.at(Place("--size"), str(error)) from None


def _both(rate: float, units: System) -> str:
    inches, mm = f"{convert(rate, 'mm/h', 'in/h'):.2f} in/h", f"{rate:.1f} mm/h"
    return f"{inches} ({mm})" if units == "us" else f"{mm} ({inches})"


def _note(rate: float, uniformity: float | None, units: System) -> str:
    text = show(rate, "mm/h", units) if units == "us" else f"{rate:.1f} mm/h"
    even = "" if uniformity is None else f", uniformity: {uniformity:.0%}"
    return f"To keep it, write under water, zones: {{name: NAME, precipitation_rate: {text}{even}}}"


def _quantity(text: str, unit: str, option: str) -> float:
    try:
        return parse_quantity(text, unit)
    except UnitError as error:
        raise BadInput.at(Place(option), str(error)) from None
