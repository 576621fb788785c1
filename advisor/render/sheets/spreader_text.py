"""Spreader calibration in words, in the units in which it was measured."""

from __future__ import annotations

import json
from collections.abc import Sequence

from advisor.answers.words import sentence
from advisor.base.commands import command
from advisor.base.problems import BadInput, Place
from advisor.base.units import System, UnitError, convert, parse_quantity, show
from advisor.planning.spreader import (
    EVEN_ENOUGH,
    TOLERANCE,
    Swath,
    Trial,
    half_rate_swath,
    overlapped,
    trial,
    variation,
    widest_even_swath,
)

_HOW = (
    "Now walk a known distance with the hopper half full and weigh it before and after. Then ask, "
    "with your own numbers, '{trial}'. Wear gloves and no dust; do it on a floor that can be "
    "swept, never beside a drain.\n"
)
_TRIED = {"us": ("2.4 lb", "83 ft", "5 lb/1000ft2"), "metric": ("1.1 kg", "25 m", "25 g/m2")}
"""What was spent, how far one walked, and the rate wanted: numbers for an example."""


def pans_text(catches: Sequence[float], spacing: str) -> str:
    """The effective swath by both rules. Raises `BadInput`."""
    apart, units = _length(spacing, "--spacing")
    half, found = _swaths(catches, apart)
    lines = [
        f"Walk {_walk(half, units)} apart: twice as far as where half of the middle is caught."
    ]
    even = variation(overlapped(catches, max(1, round(half / apart))))
    lines.append(f"There the cover varies by {even:.0%} (under {EVEN_ENOUGH:.0%} is even).")
    if found is None:
        lines.append("No distance gives an even cover; mend the pattern first.")
    elif even > EVEN_ENOUGH:
        lines.append(
            f"An even cover needs {_walk(found.width_m, units)} or less "
            f"({found.variation:.0%}): walk that far apart instead."
        )
    left, right = sum(catches[: len(catches) // 2]), sum(catches[len(catches) // 2 + 1 :])
    if abs(left - right) > EVEN_ENOUGH * (left + right) / 2:
        side = "left" if left > right else "right"
        lines.append(f"More falls to the {side}: adjust the pattern before anything else.")
    return "\n".join(lines) + "\n" + _HOW.format(trial=_then_try(half, units))


def _then_try(swath: float, units: System) -> str:
    spent, length, wanted = _TRIED[units]
    return command(
        "spreader", "trial", "--spent", spent, "--length", length, "--swath", _walk(swath, units),
        "--wanted", wanted,
    )  # fmt: skip


def pans_json(catches: Sequence[float], spacing: str) -> str:
    """The same for other programs; metres."""
    apart, _ = _length(spacing, "--spacing")
    half, found = _swaths(catches, apart)
    told = {
        "format": 1,
        "half_rate_swath_m": round(half, 3),
        "widest_even_swath_m": round(found.width_m, 3) if found else None,
        "variation": round(found.variation, 3) if found else None,
    }
    return json.dumps(told, indent=2) + "\n"


def trial_text(spent: str, length: str, swath: str, wanted: str, passes: int) -> str:
    """What to do with the setting. Raises `BadInput`."""
    found, units = _trial(spent, length, swath, wanted, passes)
    rate, goal = (show(x, "g/m2", units) for x in (found.rate, found.wanted))
    each = " in each direction" if passes == 2 else ""
    lines = [sentence(f"it gives {rate}; wanted {goal}{each}")]
    if found.is_set:
        lines.append(f"That is within {TOLERANCE:.0%}: set.")
    else:
        way = "open it" if found.factor > 1 else "close it"
        lines.append(
            f"{way[0].upper()}{way[1:]}: {found.factor:.2f} times as much must flow. Walk at the "
            "same speed and try again; the numbers on the dial are no scale."
        )
    lines.append("Edges first: one pass along each, thrower shut on the side of paving and water.")
    return "\n".join(lines) + "\n"


def trial_json(spent: str, length: str, swath: str, wanted: str, passes: int) -> str:
    """The same for other programs; g/m²."""
    found, _ = _trial(spent, length, swath, wanted, passes)
    told = {
        "format": 1,
        "rate_g_m2": round(found.rate, 3),
        "wanted_g_m2": round(found.wanted, 3),
        "factor": round(found.factor, 3),
        "set": found.is_set,
    }
    return json.dumps(told, indent=2) + "\n"


def _swaths(catches: Sequence[float], apart: float) -> tuple[float, Swath | None]:
    try:
        return half_rate_swath(catches, apart), widest_even_swath(catches, apart)
    except ValueError as error:
        raise BadInput.at(Place("the catches"), str(error)) from None


def _trial(spent: str, length: str, swath: str, wanted: str, passes: int) -> tuple[Trial, System]:
    grams = 1000 * _quantity(spent, "kg", "--spent")
    metres, units = _length(length, "--length")
    width, _ = _length(swath, "--swath")
    rate = _quantity(wanted, "g/m2", "--wanted")
    try:
        return trial(grams, metres, width, rate, passes), units
    except ValueError as error:
        raise BadInput.at(Place("the trial"), str(error)) from None


def _walk(metres: float, units: System) -> str:
    """To half a foot or a tenth of a metre."""
    if units == "us":
        return f"{round(convert(metres, 'm', 'ft') * 2) / 2:g} ft"
    return f"{metres:.1f} m"


def _length(text: str, option: str) -> tuple[float, System]:
    """Metres, and the system of units in which it was written."""
    metric = any(text.rstrip().endswith(unit) for unit in ("m", "metres", "meters"))
    return _quantity(text, "m", option), "metric" if metric else "us"


def _quantity(text: str, unit: str, option: str) -> float:
    try:
        return parse_quantity(text, unit)
    except UnitError as error:
        raise BadInput.at(Place(option), str(error)) from None
